"""Take-off weight against the earliest off-block, with the planned fan job.

Enters: the day, a turnaround, what the plan says of it. Leaves: a `WeightCurve` and
answers to a load planner: how long at this weight, how much weight at this minute.
"""

from scheduler.tradeoff.curve import bare_curve, weight_curve
from scheduler.tradeoff.planned import with_load_trades
from scheduler.tradeoff.record import Point, Relief, WeightCurve
from scheduler.tradeoff.weigher import Weigher

__all__ = [
    "Point",
    "Relief",
    "Weigher",
    "WeightCurve",
    "bare_curve",
    "weight_curve",
    "with_load_trades",
]
