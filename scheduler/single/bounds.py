"""Minutes from which each limit holds, per sample, and their weighted safe bound.

Enters: `StandHeat` and a weight per sample. Leaves: minutes after in-block.
"""

from dataclasses import dataclass

import numpy as np

from scheduler.options import Limit
from scheduler.readiness.figures import followed_rows, latest_first
from scheduler.readiness.limits import COLUMNS, SampleMinutes, minutely, rank_of
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.departure import (
    StandCurve,
    first_minute,
    indicated_minute,
    indication_valid_minute,
)
from thermal.turnaround import fan_job
from thermal.units import MINUTE_S

FOLLOWED = 64
FOLLOWED_WEIGHT = 0.05
NEGLIGIBLE = 1e-4
AFTER_FAN_MINUTES = 180
_FAN_GRID = np.concatenate(
    [np.arange(0.0, 15.0), np.arange(15.0, AFTER_FAN_MINUTES + 1, 5.0)]
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Confidence:
    """Share of cases that a bound has to cover, and how sure that has to be."""

    share: float
    assurance: float


def counted(weight: FloatArray) -> np.ndarray:
    """Which samples weigh enough to matter, shape (sample,)."""
    return np.asarray(weight > NEGLIGIBLE * weight.max())


def share_to_cover(effective_count: float, confidence: Confidence) -> float:
    """Share of the weight that has to be ready at the bound.

    With ``n`` effective samples, the order statistic of rank ``r`` has the share
    ``(r - 1) / n`` of them below it (Wilks 1941, doi 10.1214/aoms/1177731788), so that
    one sample later is that order statistic where all weigh the same. Where there are
    too few for such a rank (299 for 99 % at 95 %) all but the last one count. Never
    less than the confidence itself.
    """
    count = int(effective_count)
    least = int(np.ceil(np.log(1.0 - confidence.assurance) / np.log(confidence.share)))
    rank = count
    if count >= least:
        rank = rank_of(count, confidence.share, confidence.assurance)
    return max(confidence.share, (rank - 1) / count)


def weighted_bound(
    found: SampleMinutes,
    weight: FloatArray,
    to_cover: float,
    limit: Limit | None = None,
) -> tuple[float, int]:
    """Smallest minute with enough weight ready, then one sample later.

    The extra sample honours that few count: it stands for the one that was missed.

    Returns
    -------
    minute : float
        After in-block; infinite where it does not hold within the time looked at.
    place : int
        Followed row that sets it, -1 where none was followed.
    """
    use = counted(weight)[found.sample]
    if limit is not None:
        use &= found.limit == COLUMNS.index(limit)
    places = np.flatnonzero(use)
    if not places.size:
        return 0.0, -1
    order = places[np.argsort(-found.minute[places], kind="stable")]
    _, firsts = np.unique(found.sample[order], return_index=True)
    latest = order[np.sort(firsts)]
    own = weight[found.sample[latest]]
    later = np.cumsum(own) - own
    enough = int((later <= 1.0 - to_cover + 1e-12).sum()) - 1
    place = int(latest[max(enough - 1, 0)])
    return float(found.minute[place]), place


def still_minutes(heat: StandHeat, weight: FloatArray) -> SampleMinutes:
    """Minutes in still air of the samples that can set either bound.

    The worst by count are followed for the even bound, the worst by weight for the
    weighted one.
    """
    even_row, even_column = followed_rows(heat, 0)
    row, column = _worst_by_weight(heat, weight)
    pairs = np.unique(
        np.stack([np.append(even_row, row), np.append(even_column, column)]), axis=1
    )
    row, column = pairs
    curve = heat.states
    minute = first_minute(
        heat.network,
        heat.rows.select(row),
        StandCurve(minute=curve.minute, state_k=curve.state_k[row]),
        column,
        np.zeros(row.size),
        float(heat.hold_minutes),
    )
    every = np.arange(heat.rows.count)
    both = np.append(row, every)
    return SampleMinutes(
        row=both,
        sample=heat.rows.sample[both],
        limit=np.append(column, np.full(every.size, COLUMNS.index(Limit.INDICATED))),
        minute=np.append(minute, _indicated(heat)),
    )


def _worst_by_weight(
    heat: StandHeat, weight: FloatArray
) -> tuple[np.ndarray, np.ndarray]:
    """Rows that come latest among those that count, per limit."""
    mine = np.flatnonzero(counted(weight)[heat.rows.sample])
    rows, columns = [], []
    for column, order in latest_first(heat, mine):
        reached = np.cumsum(weight[heat.rows.sample[order]])
        enough = int(np.searchsorted(reached, FOLLOWED_WEIGHT)) + 1
        top = order[: max(FOLLOWED, enough)]
        rows.append(top)
        columns.append(np.full(top.size, column))
    return np.concatenate(rows), np.concatenate(columns)


def _indicated(heat: StandHeat) -> FloatArray:
    """First minute with a valid indication within its limit, all rows."""
    brake = heat.network.brake
    whole = np.arange(heat.hold_minutes + 1.0)
    shown_k = minutely(heat.minute, heat.curve.indicated_k, whole)
    valid = indication_valid_minute(brake, heat.rows)
    return indicated_minute(brake, whole, shown_k, valid)


def fan_minutes(
    heat: StandHeat, still: SampleMinutes, span: tuple[int, int], air_m_per_s: float
) -> tuple[SampleMinutes, FloatArray]:
    """Minutes of the followed samples with a fan, without its removal.

    Parameters
    ----------
    span : tuple of two int
        First and last minute of air, after in-block.

    Returns
    -------
    minutes : SampleMinutes
    plug_k : array, shape (followed,)
        Hottest that each followed row's plug gets on the stand.
    """
    shown = COLUMNS.index(Limit.INDICATED)
    followed = np.flatnonzero(still.limit != shown)
    row, limit = still.row[followed], still.limit[followed]
    unique, back = np.unique(row, return_inverse=True)
    back = back.reshape(-1)
    rows = heat.rows.select(unique)
    start, end = (np.full(unique.size, float(minute)) for minute in span)
    curve = cool(
        heat.network,
        rows.variation,
        fan_job(
            rows,
            start,
            end,
            np.full(unique.size, air_m_per_s),
            float(AFTER_FAN_MINUTES),
        ),
        heat.states.at(unique, start),
        _FAN_GRID * MINUTE_S,
        start_s=-(end - start) * MINUTE_S,
    )
    minute = first_minute(
        heat.network,
        rows.select(back),
        StandCurve(minute=_FAN_GRID, state_k=curve.temperature_k[back]),
        limit,
        np.zeros(row.size),
        float(AFTER_FAN_MINUTES),
        offset_minute=end[back],
    )
    brake = heat.network.brake
    whole = np.arange(AFTER_FAN_MINUTES + 1.0)
    # Past this fan, and past the lag and the aircraft's own fan where these end later.
    wait = np.maximum(
        brake.limits.fan_invalid_s / MINUTE_S,
        indication_valid_minute(brake, rows) - end,
    )
    indicated = indicated_minute(
        brake, whole, minutely(_FAN_GRID, curve.indicated_k, whole), wait
    )
    before = np.where(heat.minute <= start[:, None], heat.curve.plug_k[unique], -np.inf)
    peak_k = np.maximum(before.max(axis=1), curve.plug_k.max(axis=1))
    both = np.append(row, unique)
    return (
        SampleMinutes(
            row=both,
            sample=heat.rows.sample[both],
            limit=np.append(limit, np.full(unique.size, shown)),
            minute=float(span[1]) + np.append(minute, indicated),
        ),
        np.append(peak_k[back], peak_k),
    )
