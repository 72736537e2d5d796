"""The departure limits on curves: from which minute on each of them holds.

Enters: rows, curves of their states at the stand, brake limits. Leaves: per row and
limit the first minute after in-block from which it holds; the indication counts only
past its lag and past a fan.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.cooling import CoolingCurve
from thermal.margins import Margin, departure_margins_k, not_assessed
from thermal.network import Network
from thermal.rows import Rows
from thermal.units import MINUTE_S

__all__ = [
    "Margin",
    "StandCurve",
    "departure_margins_k",
    "first_minute",
    "indicated_minute",
    "indication_valid_minute",
    "not_assessed",
]

_REFINEMENTS = 24
# Steps as long as minutes need, and a guard of what they may be off.
TOLERANCE_K = 1.5
GUARD_K = 0.1
# Parts of the time looked at, closer together early, where limits bend most.
LOOKS = (0.0, 0.08, 0.2, 0.42, 1.0)


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
        state: FloatArray = low + part * (high - low)
        return state


def first_minute(
    network: Network,
    rows: Rows,
    curve: StandCurve,
    column: np.ndarray,
    earliest_minute: FloatArray,
    latest_minute: FloatArray | float,
    *,
    offset_minute: FloatArray | float = 0.0,
    looks: tuple[float, ...] = LOOKS,
) -> FloatArray:
    """First whole minute from which one limit per row holds for good, shape (row,).

    A few minutes up to ``latest_minute`` are looked at first: limits need not be
    monotone, so the bracket starts at the last of them that fails. It is closed on
    whole minutes by false position, and by halving where that is slow. A margin of
    less than `GUARD_K` counts as none. Infinite where the limit fails at
    ``latest_minute``.

    Parameters
    ----------
    rows : Rows
        As in ``curve``, row by row.
    column : int array, shape (row,)
        Which `Margin` each row is asked for.
    earliest_minute : array, shape (row,)
        Nothing before this minute is looked at; rounded up to a whole one.
    offset_minute : float or array, shape (row,)
        Where the curve's axis starts after in-block, for the weather.
    looks : tuple of float
        Parts of the time that are looked at first, from 0 to 1; the two ends alone
        where a limit is known to hold for good once it holds.
    """
    if rows.count == 0:
        return np.zeros(0)
    every = np.arange(rows.count)
    offset = np.broadcast_to(np.asarray(offset_minute, dtype=np.float64), every.shape)

    def margin(which: np.ndarray, minute: FloatArray) -> FloatArray:
        part = rows.select(which)
        state_k = curve.at(which, minute)
        found = departure_margins_k(
            network, part, state_k, minute + offset[which], tolerance_k=TOLERANCE_K
        )
        asked: FloatArray = found[np.arange(which.size), column[which]]
        return asked - GUARD_K

    first = np.ceil(earliest_minute)
    span = np.maximum(np.floor(latest_minute) - first, 0.0)
    seen = first[:, None] + np.floor(span[:, None] * np.array(looks))
    found = np.stack([margin(every, minute) for minute in seen.T], axis=1)
    fails = found < 0
    last = np.where(
        fails.any(axis=1), len(looks) - 1 - fails[:, ::-1].argmax(axis=1), -1
    )
    result = np.where(last < 0, first, np.inf)
    inside = np.flatnonzero((last >= 0) & (last < len(looks) - 1))
    low, high = (seen[every, np.clip(last + k, 0, len(looks) - 1)] for k in (0, 1))
    low_margin, high_margin = (
        found[every, np.clip(last + k, 0, len(looks) - 1)] for k in (0, 1)
    )
    _close(margin, inside, low, low_margin, high, high_margin)
    result[inside] = high[inside]
    return result


def _close(
    margin: Callable[[np.ndarray, FloatArray], FloatArray],
    which: np.ndarray,
    low: FloatArray,
    low_margin: FloatArray,
    high: FloatArray,
    high_margin: FloatArray,
) -> None:
    """Narrow the brackets of some rows in place to one minute."""
    slow = np.zeros(high.size, dtype=bool)
    for _ in range(_REFINEMENTS):
        which = which[high[which] - low[which] > 1.0]
        if not which.size:
            return
        a, b = low[which], high[which]
        fa, fb = low_margin[which], high_margin[which]
        guess = b - fb * (b - a) / (fb - fa)
        # The middle where the last guess did not halve the bracket.
        guess = np.rint(np.where(slow[which], 0.5 * (a + b), guess))
        guess = np.clip(guess, a + 1.0, b - 1.0)
        found = margin(which, guess)
        passes = found >= 0
        low[which] = np.where(passes, a, guess)
        low_margin[which] = np.where(passes, fa, found)
        high[which] = np.where(passes, guess, b)
        high_margin[which] = np.where(passes, found, fb)
        slow[which] = high[which] - low[which] > 0.5 * (b - a)


def indication_valid_minute(brake: Brake, rows: Rows) -> FloatArray:
    """Minute after in-block from which the indication counts, shape (row,).

    Past its lag since the stop, and past the disturbance of an onboard fan.
    """
    limits, fan_s = brake.limits, rows.onboard_fan_s
    lag_s = np.maximum(limits.indicated_valid_after_s - rows.taxi_in_s, 0.0)
    undisturbed_s = np.where(fan_s > 0, fan_s + limits.fan_invalid_s, 0.0)
    return np.asarray(np.maximum(lag_s, undisturbed_s)) / MINUTE_S


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
