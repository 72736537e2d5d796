"""Per sample and limit, the minute from which it holds; then the safe bound.

Enters: `StandHeat` or the curves behind a fan. Leaves: minutes after in-block.

Only the samples that can set the bound are followed to the minute: the bound is one
of the largest few of all samples, so the others only need to lie below it.
"""

from dataclasses import dataclass

import numpy as np

from scheduler.options import Limit
from scheduler.readiness.figures import falls_below, followed_rows
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.departure import (
    Margin,
    StandCurve,
    indication_valid_minute,
)
from thermal.leading import Asked, leading_minutes
from thermal.sampling import bound_rank

LIMIT_OF = {
    Margin.STOPPING: Limit.STOPPING,
    Margin.PLUG: Limit.PLUG,
    Margin.WHEEL_WELL: Limit.WHEEL_WELL,
    Margin.OTHER: Limit.OTHER,
}
COLUMNS = (*LIMIT_OF.values(), Limit.INDICATED)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SampleMinutes:
    """Minutes after in-block per row that was followed.

    Attributes
    ----------
    row : int array, shape (followed,)
        Row numbers of the stand heat.
    sample : int array, shape (followed,)
    limit : int array, shape (followed,)
        Place in ``COLUMNS``.
    minute : array, shape (followed,)
        Infinite where the limit does not hold within the time looked at.
    """

    row: np.ndarray
    sample: np.ndarray
    limit: np.ndarray
    minute: FloatArray

    def bound(
        self, rank: int, count: int, limit: Limit | None = None
    ) -> tuple[float, int]:
        """Bound of one limit or of all at once, and the followed row that sets it."""
        use = np.ones(self.row.size, dtype=bool)
        if limit is not None:
            use = self.limit == COLUMNS.index(limit)
        if not use.any():
            return 0.0, -1
        places = np.flatnonzero(use)
        order = places[np.argsort(-self.minute[places], kind="stable")]
        _, firsts = np.unique(self.sample[order], return_index=True)
        worst = order[np.sort(firsts)]
        above = min(count - rank, worst.size - 1)
        return float(self.minute[worst[above]]), int(worst[above])


def rank_of(count: int, confidence: float, assurance: float) -> int:
    """Rank of the sample that sets a bound, 1 the smallest."""
    return bound_rank(count, confidence, assurance)


def stand_minutes(
    heat: StandHeat, followed: int | None = None, spare: int | None = None
) -> list[SampleMinutes]:
    """Minutes in still air for every case, in one batch.

    ``followed`` is how many rows of each limit are followed, as in `followed_rows`;
    ``spare`` how many samples may lie above a bound, as in `leading_minutes`: without
    it the minutes of all rows followed are exact, not only of those at the bound.
    """
    parts = [followed_rows(heat, k, followed) for k in range(len(heat.cases))]
    rows = np.concatenate([part[0] for part in parts])
    column = np.concatenate([part[1] for part in parts])
    curve = heat.states
    minute = leading_minutes(
        heat.network,
        heat.rows.select(rows),
        StandCurve(minute=curve.minute, state_k=curve.state_k[rows]),
        Asked(
            column=column,
            group=heat.rows.case[rows] * len(COLUMNS) + column,
            earliest_minute=np.zeros(rows.size),
            latest_minute=np.full(rows.size, float(heat.hold_minutes)),
            offset_minute=np.zeros(rows.size),
        ),
        spare,
    )
    shown = _indicated(heat)
    found = []
    for case in range(len(heat.cases)):
        mine, inside = heat.rows_of(case), heat.rows.case[rows] == case
        every = np.concatenate([rows[inside], mine])
        found.append(
            SampleMinutes(
                row=every,
                sample=heat.rows.sample[every],
                limit=np.concatenate(
                    [column[inside], np.full(mine.size, COLUMNS.index(Limit.INDICATED))]
                ),
                minute=np.concatenate([minute[inside], shown[mine]]),
            )
        )
    return found


def _indicated(heat: StandHeat) -> FloatArray:
    """First minute with a valid indication within its limit, for all rows."""
    brake = heat.network.brake
    falls = falls_below(heat.minute, heat.curve.indicated_k, brake.limits.indicated_k)
    within = np.ceil(np.maximum(falls, 0.0))
    return np.maximum(within, indication_valid_minute(brake, heat.rows))


def minutely(minute: FloatArray, values: FloatArray, whole: FloatArray) -> FloatArray:
    """Values on whole minutes by straight lines between grid points, (row, minute)."""
    cell = np.clip(np.searchsorted(minute, whole, side="right") - 1, 0, minute.size - 2)
    part = (whole - minute[cell]) / (minute[cell + 1] - minute[cell])
    low = values[:, cell]
    return np.asarray(low + part * (values[:, cell + 1] - low))
