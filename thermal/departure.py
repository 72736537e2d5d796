"""The departure limits on curves: from which minute on each of them holds.

Enters: rows, their states at the stand, brake limits. Leaves: margins in kelvin at a
given off-block time and, per row and limit, the first minute from which it holds.

- stopping: mean enthalpy of the stack at line-up plus the accelerate-stop's share, and
  the hottest disc likewise, against the stack's limits
- plug: its peak from off-block to two hours in the wheel well, against release less
  margin
- wheel well: hottest disc at retraction
- other: piston housing, tyre bead and wheel where the brake data give limits
- indicated: the indication at off-block, valid only past its lag and past a fan
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.cooling import CoolingCurve, cool
from thermal.materials import property_table
from thermal.network import Network
from thermal.turnaround import TAKE_OFF_RUN_S, WELL_S, Rows, departure
from thermal.units import MINUTE_S

_WELL_SAMPLE_S = 300.0
_REFINEMENTS = 7


class Margin(IntEnum):
    """Columns of a margin array."""

    STOPPING = 0
    PLUG = 1
    WHEEL_WELL = 2
    OTHER = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StandCurve:
    """States on a grid of minutes after in-block, for linear interpolation.

    The grid is fine while curves bend; between its points a straight line lies above
    a decaying curve, on the late side.

    Attributes
    ----------
    minute : array, shape (time,)
    state_k : array, shape (row, time, node)
    """

    minute: FloatArray
    state_k: FloatArray

    @classmethod
    def of(cls, curve: CoolingCurve) -> "StandCurve":
        """From a curve that keeps all nodes."""
        return cls(minute=curve.time_s / MINUTE_S, state_k=curve.temperature_k)

    def at(self, rows: np.ndarray, minute: FloatArray) -> FloatArray:
        """States of some rows, each at its own minute, shape (row, node)."""
        cell = np.searchsorted(self.minute, minute, side="right") - 1
        cell = np.clip(cell, 0, self.minute.size - 2)
        span = self.minute[cell + 1] - self.minute[cell]
        part = ((minute - self.minute[cell]) / span)[:, None]
        low, high = self.state_k[rows, cell], self.state_k[rows, cell + 1]
        return low + part * (high - low)


def departure_margins_k(
    network: Network, rows: Rows, state_k: FloatArray, off_block_minute: FloatArray
) -> FloatArray:
    """Margins in kelvin if the aircraft leaves the stand at these minutes.

    Parameters
    ----------
    rows : Rows
    state_k : array, shape (row, node)
        Temperatures at off-block.
    off_block_minute : array, shape (row,)
        Minutes after in-block.

    Returns
    -------
    margins : array, shape (row, 4)
        Columns by `Margin`; positive where the limit holds. Infinite where the brake
        data give no further limit.
    """
    gears_s, which = np.unique(rows.gear_down_s, return_inverse=True)
    retracted_s = TAKE_OFF_RUN_S + gears_s
    end_s = retracted_s[0] + WELL_S
    after_s = np.arange(retracted_s[-1] + _WELL_SAMPLE_S, end_s + 1e-6, _WELL_SAMPLE_S)
    curve = cool(
        network,
        rows.variation,
        departure(rows, off_block_minute),
        state_k,
        np.concatenate([[0.0], retracted_s, after_s]),
        start_s=-rows.taxi_out_s,
    )
    return margins_k(network.brake, rows, curve, retraction=1 + which.reshape(-1))


def margins_k(
    brake: Brake, rows: Rows, curve: CoolingCurve, *, retraction: np.ndarray
) -> FloatArray:
    """Margins of a departure curve whose first instant is line-up.

    ``retraction`` gives the instant of each row's gear retraction, shape (row,).
    """
    limits, plug = brake.limits, brake.plug
    table = property_table(brake.stack_material)
    stop_j_per_kg = rows.stop_j / (brake.stack_mass_kg * rows.stack_fraction)
    after = curve.stack_j_per_kg[:, 0] + stop_j_per_kg
    heat = float(
        table.specific_heat(table.temperature(np.float64(limits.stack_j_per_kg)))
    )
    mean_margin = (limits.stack_j_per_kg - after) / heat
    hottest = table.enthalpy(curve.hottest_k[:, 0]) + stop_j_per_kg
    ceiling = float(table.enthalpy(np.float64(limits.disc_k)))
    disc_margin = (ceiling - hottest) / heat
    peak_k = curve.plug_k.max(axis=1)
    return np.stack(
        [
            np.minimum(mean_margin, disc_margin),
            plug.release_k - plug.margin_k - peak_k,
            limits.wheel_well_k - curve.hottest_k[np.arange(rows.count), retraction],
            _other_margin_k(brake, curve),
        ],
        axis=1,
    )


def _other_margin_k(brake: Brake, curve: CoolingCurve) -> FloatArray:
    """Least margin of housing, bead and wheel over the departure."""
    limits = brake.limits
    margin = np.full(curve.hottest_k.shape[0], np.inf)
    for limit_k, nodes in (
        (limits.housing_k, ("piston housing",)),
        (limits.bead_k, ("tyre bead",)),
        (limits.wheel_k, ("wheel inboard", "wheel outboard")),
    ):
        if limit_k is not None:
            for node in nodes:
                margin = np.minimum(margin, limit_k - curve.node_k(node).max(axis=1))
    return margin


def not_assessed(brake: Brake) -> tuple[str, ...]:
    """Limits for which the brake data give no figure."""
    named = (
        ("piston housing", brake.limits.housing_k),
        ("tyre bead", brake.limits.bead_k),
        ("wheel", brake.limits.wheel_k),
    )
    return tuple(name for name, limit in named if limit is None)


def first_minute(
    network: Network,
    rows: Rows,
    curve: StandCurve,
    column: np.ndarray,
    earliest_minute: FloatArray,
    latest_minute: float,
    *,
    offset_minute: FloatArray | float = 0.0,
) -> FloatArray:
    """First minute from which one limit per row holds, shape (row,).

    A bracket between a failing and a passing minute is closed by false position, helped
    along by two halvings; its passing end is returned, which is late by
    what is left of the bracket. Infinite where the limit fails at ``latest_minute``.

    Parameters
    ----------
    rows : Rows
        As in ``curve``, row by row.
    column : int array, shape (row,)
        Which `Margin` each row is asked for.
    earliest_minute : array, shape (row,)
        Nothing before this minute is looked at.
    offset_minute : float or array, shape (row,)
        Where the curve's axis starts after in-block, for the weather.
    """
    every = np.arange(rows.count)
    offset = np.broadcast_to(np.asarray(offset_minute, dtype=np.float64), every.shape)

    def margin(which: np.ndarray, minute: FloatArray) -> FloatArray:
        part = rows.select(which)
        state_k = curve.at(which, minute)
        found = departure_margins_k(network, part, state_k, minute + offset[which])
        return found[np.arange(which.size), column[which]]

    low = earliest_minute.astype(np.float64)
    low_margin = margin(every, low)
    high = np.full(rows.count, latest_minute)
    result = np.where(low_margin >= 0, low, np.inf)
    open_rows = every[low_margin < 0]
    if open_rows.size:
        high_margin = np.full(rows.count, np.nan)
        high_margin[open_rows] = margin(open_rows, high[open_rows])
        open_rows = open_rows[high_margin[open_rows] >= 0]
        _close(margin, open_rows, low, low_margin, high, high_margin)
        result[open_rows] = high[open_rows]
    return result


def _close(
    margin: Callable[[np.ndarray, FloatArray], FloatArray],
    which: np.ndarray,
    low: FloatArray,
    low_margin: FloatArray,
    high: FloatArray,
    high_margin: FloatArray,
) -> None:
    """Narrow the brackets of some rows in place to a third of a minute."""
    for turn in range(_REFINEMENTS):
        which = which[high[which] - low[which] > 0.34]
        if not which.size:
            return
        a, b = low[which], high[which]
        fa, fb = low_margin[which], high_margin[which]
        guess = b - fb * (b - a) / (fb - fa)
        # Step a little past the root, so that the next bracket closes from above too.
        guess = guess + (0.15 if turn % 2 else -0.15)
        middle = turn in (2, 4)
        guess = np.where(middle, 0.5 * (a + b), guess)
        guess = np.clip(guess, a + 0.05 * (b - a), b - 0.05 * (b - a))
        found = margin(which, guess)
        passes = found >= 0
        low[which] = np.where(passes, a, guess)
        low_margin[which] = np.where(passes, fa, found)
        high[which] = np.where(passes, guess, b)
        high_margin[which] = np.where(passes, found, fb)


def indicated_minute(
    brake: Brake,
    minute: FloatArray,
    indicated_k: FloatArray,
    valid_from_minute: FloatArray,
) -> FloatArray:
    """First minute from which the indication stays within its limit and is valid.

    Parameters
    ----------
    minute : array, shape (time,)
    indicated_k : array, shape (row, time)
    valid_from_minute : array, shape (row,)
        Past the indicator's lag, and past the disturbance of a fan.
    """
    above = indicated_k > brake.limits.indicated_k
    last = np.where(
        above.any(axis=1), above.shape[1] - above[:, ::-1].argmax(axis=1), 0
    )
    within = np.where(
        last < minute.size, minute[np.minimum(last, minute.size - 1)], np.inf
    )
    return np.maximum(within, valid_from_minute)
