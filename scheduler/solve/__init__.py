"""The day's best plan: `plan_day`, and what it is made of."""

from scheduler.assemble import assemble
from scheduler.solve.config import Outcome, SolveConfig, SolveResult
from scheduler.solve.improve import decide, first_come, improve
from scheduler.solve.planning import (
    HEAT_ROUNDS,
    LATER_MINUTES,
    SEARCHING,
    later,
    plan_day,
)

__all__ = [
    "HEAT_ROUNDS",
    "LATER_MINUTES",
    "SEARCHING",
    "Outcome",
    "SolveConfig",
    "SolveResult",
    "assemble",
    "decide",
    "first_come",
    "improve",
    "later",
    "plan_day",
]
