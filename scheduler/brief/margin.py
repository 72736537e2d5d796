"""The verdict on a rollout's stop, as `scheduler.cases.stopping` gives it."""

from scheduler.brief.rollouts import Rollout
from scheduler.cases.landing import Roll
from scheduler.cases.stopping import Verdict, stop_verdict
from scheduler.day import Day
from thermal.rollout_heat import RolloutHeat

__all__ = ["Verdict", "verdict"]


def verdict(
    day: Day, rollout: Rollout, planned: Roll, heat: RolloutHeat, above: int
) -> Verdict:
    """Judge a rollout; parameters as of `stop_verdict`."""
    return stop_verdict(day, rollout.turnaround, rollout.level, planned, heat, above)
