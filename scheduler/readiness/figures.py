"""Figures at the stand that go with the departure limits, to choose whom to follow.

Enters: `StandHeat`. Leaves: per row and limit a figure that a departure would be judged
by if the brake did not change on the way, and the minute at which it falls below its
limit in still air. Rows are ranked by that minute: only those that come late can set a
bound, the others only need to lie below it.
"""

import numpy as np

from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.departure import Margin
from thermal.materials import property_table

FOLLOWED = 32
FOLLOWED_SHARE = 16
LOOK_MINUTE = 60.0
# Share of the hottest disc's excess over the plug that still reaches the plug.
_REACHES = 0.12
# Where the stack's specific heat is taken to turn taxi heat into kelvin.
_TYPICAL_K = 600.0


def figures(
    heat: StandHeat, rows: np.ndarray, times: slice = slice(None)
) -> FloatArray:
    """Figure of each limit over the time at the stand, shape (limit, row, time).

    Rows of the first axis by `Margin`: J/kg for stopping, K for plug and wheel well,
    a share of the limit for the other parts.
    """
    brake, curve = heat.network.brake, heat.curve
    chosen = heat.rows.select(rows)
    kept_j = chosen.stop_j + chosen.taxi_out_j
    stop = kept_j / (brake.stack_mass_kg * chosen.stack_fraction)
    table = property_table(brake.stack_material)
    heat_j_per_k = float(table.specific_heat(_TYPICAL_K)) * brake.stack_mass_kg
    taxi_k = chosen.taxi_out_j / (heat_j_per_k * chosen.stack_fraction)
    plug_k = curve.plug_k[rows, times]
    hottest_k = curve.hottest_k[rows, times] + taxi_k[:, None]
    others = [
        curve.node_k(node)[rows, times] / limit for node, limit in _other_limits(brake)
    ]
    return np.stack(
        [
            curve.stack_j_per_kg[rows, times] + stop[:, None],
            plug_k + _REACHES * (hottest_k - plug_k),
            hottest_k,
            np.max(others, axis=0) if others else np.zeros_like(plug_k),
        ]
    )


def figures_at(heat: StandHeat, rows: np.ndarray, minute: float) -> FloatArray:
    """Figures at the first grid minute from the given one on, shape (limit, row)."""
    place = min(int(np.searchsorted(heat.minute, minute)), heat.minute.size - 1)
    found = figures(heat, rows, slice(place, place + 1))
    return np.asarray(found[:, :, 0])


def latest_first(heat: StandHeat, rows: np.ndarray) -> list[tuple[int, np.ndarray]]:
    """Rows by the minute of each limit, the latest first, with the limit's column."""
    found = figures(heat, rows)
    place = min(int(np.searchsorted(heat.minute, LOOK_MINUTE)), heat.minute.size - 1)
    orders = []
    for column, limit in zip(Margin, _thresholds(heat.network.brake), strict=True):
        if limit is not None:
            minute = falls_below(heat.minute, found[column], limit)
            # Rows that never lie above the limit are ranked by the figure itself.
            order = np.lexsort((-found[column][:, place], -minute))
            orders.append((int(column), rows[order]))
    return orders


def followed_rows(
    heat: StandHeat, case: int, followed: int | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """Rows worth following for a case, and the column each is followed for.

    ``followed`` is how many of each limit; by default it goes with the samples.
    """
    orders = latest_first(heat, heat.rows_of(case))
    # The more samples, the more of them may lie above the bound.
    count = max(FOLLOWED, heat.cases[case].shape[0] // FOLLOWED_SHARE)
    count = count if followed is None else followed
    rows = [order[:count] for _, order in orders]
    columns = [np.full(top.size, orders[k][0]) for k, top in enumerate(rows)]
    return np.concatenate(rows), np.concatenate(columns)


def _thresholds(brake: Brake) -> tuple[float | None, ...]:
    """Limit of each figure, None where the brake data give none."""
    return (
        brake.limits.stack_j_per_kg,
        brake.plug.release_k - brake.plug.margin_k,
        brake.limits.wheel_well_k,
        1.0 if _other_limits(brake) else None,
    )


def _other_limits(brake: Brake) -> list[tuple[str, float]]:
    named = (
        ("piston housing", brake.limits.housing_k),
        ("tyre bead", brake.limits.bead_k),
        ("wheel inboard", brake.limits.wheel_k),
    )
    return [(node, limit) for node, limit in named if limit is not None]


def falls_below(minute: FloatArray, values: FloatArray, limit: float) -> FloatArray:
    """Minute of the last fall below a limit by straight lines, shape (row,).

    Minus one where a row never lies above it, infinite where it ends above it.
    """
    above = values > limit
    last = values.shape[1] - 1 - above[:, ::-1].argmax(axis=1)
    after = np.minimum(last + 1, values.shape[1] - 1)
    row = np.arange(values.shape[0])
    high, low = values[row, last], values[row, after]
    part = (high - limit) / np.where(high > low, high - low, 1.0)
    fall = minute[last] + part * (minute[after] - minute[last])
    fall = np.where(last == values.shape[1] - 1, np.inf, fall)
    return np.where(above.any(axis=1), fall, -1.0)
