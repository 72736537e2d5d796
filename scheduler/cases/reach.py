"""Which brakes the air of a fan job reaches.

Enters: a turnaround, a fan type, a number of units. Leaves: one yes or no per brake.
"""

import numpy as np

from scheduler.day import Day, FanType, Turnaround
from thermal.shares import share_of_brakes


def reached_brakes(
    day: Day, turnaround: Turnaround, fan: FanType, units: int
) -> np.ndarray:
    """Brakes that so many units cool, bool array of shape (brake,).

    Where one unit cools only some brakes, those with the most planned energy come
    first, as many brakes of the same energy by their place among the positions.
    """
    tail = day.tail_of(turnaround)
    count = len(tail.positions)
    if fan.brakes_per_unit is None:
        return np.ones(count, dtype=bool)
    serviceable = np.array([name not in tail.inoperative for name in tail.positions])
    planned = share_of_brakes(count, serviceable)
    reached = np.zeros(count, dtype=bool)
    first = np.argsort(-planned, kind="stable")[: units * fan.brakes_per_unit]
    reached[first] = True
    return reached
