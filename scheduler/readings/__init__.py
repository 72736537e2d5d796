"""Readings of one turnaround → its draws as far as they agree with them.

Enters: the day, a turnaround, its rows. Leaves: rows that the readings allow, each as
likely as any other, and the estimate behind them.
"""

from scheduler.readings.informed import (
    Informed,
    has_readings,
    informed,
    informed_middle,
)

__all__ = ["Informed", "has_readings", "informed", "informed_middle"]
