"""Which draw and which brake stand behind a minute, by names that others can follow.

Enters: `StandHeat` and rows with their minutes. Leaves: sample number and brake
position.
"""

import numpy as np

from scheduler.options import Limit
from scheduler.readiness.limits import COLUMNS, SampleMinutes
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray


def witness(heat: StandHeat, case: int, row: int) -> tuple[int, str]:
    """Sample and brake position of a row of a case."""
    positions = heat.cases[case].positions
    return int(heat.rows.sample[row]), positions[int(heat.rows.brake[row])]


def row_behind_fan(
    found: SampleMinutes, still: FloatArray, valid_minute: float, above: int
) -> int:
    """Row that sets the bound behind a fan job.

    Many rows share a minute there: that at which the fan is away, and that at which
    the indicator can be trusted again, which says nothing of a draw. Of those the rows
    that come later in still air count as the later ones.

    Parameters
    ----------
    found : SampleMinutes
        Rows followed behind the job.
    still : array, shape (followed,)
        Their minutes in still air.
    valid_minute : float
        From when on the indicator can be trusted.
    above : int
        How many samples may lie above the bound.
    """
    waits = (found.limit == COLUMNS.index(Limit.INDICATED)) & (
        found.minute <= valid_minute
    )
    minute = np.where(waits, -np.inf, found.minute)
    order = np.lexsort((-still, -minute))
    _, firsts = np.unique(found.sample[order], return_index=True)
    worst = order[np.sort(firsts)]
    return int(found.row[worst[min(above, worst.size - 1)]])
