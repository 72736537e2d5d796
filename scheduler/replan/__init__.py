"""A day that has begun, planned again with as little change as possible.

Enters: the day with what was logged and its minute now, the published plan. Leaves:
the new plan and its difference from the published one.
"""

from scheduler.replan.difference import Change, differences
from scheduler.replan.freeze import frozen_day
from scheduler.replan.known import known_tables
from scheduler.replan.replanning import Replan, replan_day

__all__ = [
    "Change",
    "Replan",
    "differences",
    "frozen_day",
    "known_tables",
    "replan_day",
]
