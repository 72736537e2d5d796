"""The arrival brief: rollout options side by side, before the aircraft lands.

Enters: the day and a turnaround. Leaves: a `Brief` with heat, minutes and stop margin
of each option, and what single changes cost.
"""

from scheduler.brief.compose import SAMPLE_COUNT, compose
from scheduler.brief.record import Brief, Change, RolloutOption

__all__ = ["SAMPLE_COUNT", "Brief", "Change", "RolloutOption", "compose"]
