"""Minutes of the rows that come last, of many rows in groups.

Enters: rows in groups, curves of their states at the stand, limits. Leaves: per row the
first whole minute after in-block from which its limit holds. A group's bound is one of
its largest minutes: those near it are found by departures, as exactly as
`thermal.departure.first_minute` finds them; the others only need to lie below.

- A margin follows the state at off-block nearly along a straight line, with the slopes
  of `thermal.slopes`. One departure of each row pins its line; along the curve the line
  says when the margin comes to stay.
- Rows whose line comes near their group's bound are closed on whole minutes by pairs of
  departures. Where the line dips again later, a departure there decides.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.departure import GUARD_K, TOLERANCE_K, StandCurve
from thermal.margins import departure_margins_k
from thermal.network import Network
from thermal.rows import Rows
from thermal.slopes import margin_lines_k

# Rows whose line comes this close to the bound, or to zero after it, are closed.
_SLACK_MINUTES = 3.0
_CLOSE_K = 2.5
# How far off a line's minute may be, as a share of the way from its departure.
_UNSURE = 0.4
_STRAIGHT_ROUNDS = 4
_ROUNDS = 24
# So few rows leave in six minutes at once, more of them in two.
_FEW_ROWS = 64
# A later dip is looked at if it is as deep as this and comes as low as that.
_DIP_K = 1.0
_LOW_K = 8.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """What is asked of each row; arrays of shape (row,).

    Attributes
    ----------
    column : int array
        Which `thermal.margins.Margin`.
    group : int array
        Rows whose bound is one of their own largest minutes, numbered from zero.
    earliest_minute, latest_minute : array
        On the curve's axis. Nothing before the one, rounded up, is looked at, and
        nothing after the other, rounded down.
    offset_minute : array
        Where the curve's axis starts after in-block, for the weather.
    """

    column: np.ndarray
    group: np.ndarray
    earliest_minute: FloatArray
    latest_minute: FloatArray
    offset_minute: FloatArray


def leading_minutes(
    network: Network, rows: Rows, curve: StandCurve, asked: Asked, spare: int | None
) -> FloatArray:
    """First whole minute from which one limit per row holds for good, shape (row,).

    Parameters
    ----------
    spare : int or None
        How many samples of a group may lie above its bound. Rows at the bound and
        above it are exact, all others lie below it. None makes all rows exact.

    Returns
    -------
    minute : array, shape (row,)
        On the curve's axis; infinite where a limit fails at the latest minute.
    """
    if rows.count == 0:
        return np.zeros(0)
    search = _Search(network, rows, curve, asked)
    search.begin()
    open_ = search.open_rows(spare)
    for number in range(_ROUNDS):
        if not open_.size:
            break
        search.close(open_, straight=number < _STRAIGHT_ROUNDS)
        open_ = search.open_rows(spare)
    return search.minute(open_)


class _Search:
    """Brackets of all rows on whole minutes, and the lines of their margins."""

    def __init__(
        self, network: Network, rows: Rows, curve: StandCurve, asked: Asked
    ) -> None:
        self.network, self.rows, self.curve, self.asked = network, rows, curve, asked
        self.first = np.ceil(asked.earliest_minute)
        self.last = np.maximum(np.floor(asked.latest_minute), self.first)
        # Last minute that fails, first that holds; the ends until one is known.
        self.low, self.high = self.first - 1.0, self.last.copy()
        self.holds = np.zeros(rows.count, dtype=bool)
        self.looked_later = np.zeros(rows.count, dtype=bool)
        self.pinned_at = self.first.copy()
        self.raw_k = margin_lines_k(
            network, rows, curve, asked.column, (self.first, self.last)
        )
        # What departures at both ends of the bracket add to the lines.
        self.low_k, self.high_k = np.zeros(rows.count), np.zeros(rows.count)

    def _margin(self, which: np.ndarray, minute: FloatArray) -> FloatArray:
        """Margins of departures at minutes of the curve's axis, shape (row,)."""
        found = departure_margins_k(
            self.network,
            self.rows.select(which),
            self.curve.at(which, minute),
            minute + self.asked.offset_minute[which],
            tolerance_k=TOLERANCE_K,
        )
        asked: FloatArray = found[np.arange(which.size), self.asked.column[which]]
        return asked

    def begin(self) -> None:
        """Pin every row's line to a departure near where it crosses zero."""
        every = np.arange(self.rows.count)
        self.look(every, self.crossing(every)[:, None])

    def lines(self, which: np.ndarray) -> FloatArray:
        """Lines through what was found at both ends of the bracket, (row, time)."""
        low, high = self.low[which, None], self.high[which, None]
        span = np.maximum(high - low, 1.0)
        part = np.clip((self.curve.minute - low) / span, 0.0, 1.0)
        low_k, high_k = self.low_k[which, None], self.high_k[which, None]
        return np.asarray(self.raw_k[which] + low_k + part * (high_k - low_k))

    def crossing(self, which: np.ndarray) -> FloatArray:
        """Whole minute at which the lines come to stay above zero, in the bracket."""
        minute, line = self.curve.minute, self.lines(which)
        below = line < 0.0
        last = minute.size - 1 - below[:, ::-1].argmax(axis=1)
        after = np.minimum(last + 1, minute.size - 1)
        row = np.arange(which.size)
        low_k, high_k = line[row, last], line[row, after]
        part = -low_k / np.where(high_k > low_k, high_k - low_k, 1.0)
        found = np.ceil(minute[last] + part * (minute[after] - minute[last]))
        found = np.where(last == minute.size - 1, np.inf, found)
        found = np.where(below.any(axis=1), found, -np.inf)
        return np.clip(found, self.low[which] + 1.0, self.high[which])

    def look(self, which: np.ndarray, minute: FloatArray) -> None:
        """Let rows leave at rising whole minutes, shape (row, look)."""
        flat, at = np.repeat(which, minute.shape[1]), minute.ravel()
        found = self._margin(flat, at) - GUARD_K
        margin = np.clip(found, -1e4, 1e4).reshape(minute.shape)
        shift = margin - self._raw_at(flat, at).reshape(minute.shape)
        self._raise_low(which, np.where(margin < 0.0, minute, -np.inf), shift)
        good = (margin >= 0.0) & (minute > self.low[which, None])
        self._lower_high(which, np.where(good, minute, np.inf), shift)
        nearest = np.abs(margin).argmin(axis=1)
        self.pinned_at[which] = minute[np.arange(which.size), nearest]

    def _raise_low(
        self, which: np.ndarray, fails: FloatArray, shift: FloatArray
    ) -> None:
        """Take the last minutes that fail; what held before them holds no more."""
        row, last = np.arange(which.size), fails.argmax(axis=1)
        found = fails[row, last]
        new = found > self.low[which]
        rows, low_k = which[new], shift[row, last][new]
        self.low[rows], self.low_k[rows] = found[new], low_k
        lost = ~self.holds[rows] | (self.high[rows] <= self.low[rows])
        self.high_k[rows[lost]] = low_k[lost]
        self.holds[rows[lost]], self.high[rows[lost]] = False, self.last[rows[lost]]

    def _lower_high(
        self, which: np.ndarray, holds: FloatArray, shift: FloatArray
    ) -> None:
        """Take the first minutes that hold, after those that fail."""
        row, first = np.arange(which.size), holds.argmin(axis=1)
        found = holds[row, first]
        new = (found < self.high[which]) | (np.isfinite(found) & ~self.holds[which])
        rows, high_k = which[new], shift[row, first][new]
        self.high[rows], self.high_k[rows] = found[new], high_k
        self.holds[rows] = True
        free = self.low[rows] < self.first[rows]
        self.low_k[rows[free]] = high_k[free]

    def _raw_at(self, which: np.ndarray, minute: FloatArray) -> FloatArray:
        """Lines as the slopes say, between the curve's instants, shape (row,)."""
        grid = self.curve.minute
        cell = np.searchsorted(grid, minute, side="right") - 1
        cell = np.clip(cell, 0, grid.size - 2)
        part = (minute - grid[cell]) / (grid[cell + 1] - grid[cell])
        low = self.raw_k[which, cell]
        return np.asarray(low + part * (self.raw_k[which, cell + 1] - low))

    def open_rows(self, spare: int | None) -> np.ndarray:
        """Rows still open that may set their group's bound."""
        likely = self._likely()
        bound = self._bounds(likely, spare)[self.asked.group]
        later = self.curve.minute >= (bound - _SLACK_MINUTES)[:, None]
        later &= self.curve.minute <= self.last[:, None]
        lines_k = self.lines(np.arange(self.rows.count))
        least_k = np.where(later, lines_k, np.inf).min(axis=1)
        known = np.where(np.isfinite(likely), likely, self.pinned_at)
        unsure = _SLACK_MINUTES + _UNSURE * np.abs(known - self.pinned_at)
        near = (likely + unsure >= bound) | (least_k < _CLOSE_K)
        shut = self.holds & (self.high - self.low <= 1.0)
        dips = shut & ~self.looked_later & (least_k < _LOW_K)
        dips[dips] = np.isfinite(self._dip(np.flatnonzero(dips)))
        never = self.low >= self.last
        return np.flatnonzero(~never & (dips | (near & ~shut)))

    def _bounds(self, likely: FloatArray, spare: int | None) -> FloatArray:
        """Minute of each group that so many of its samples lie above, by the lines."""
        group, samples = self.asked.group, int(self.rows.sample.max()) + 1
        groups = int(group.max()) + 1
        if spare is None:
            return np.full(groups, -np.inf)
        pair, back = np.unique(group * samples + self.rows.sample, return_inverse=True)
        worst = np.full(pair.size, -np.inf)
        np.maximum.at(worst, back.reshape(-1), likely)
        of_group = pair // samples
        order = np.lexsort((-worst, of_group))
        edges = np.searchsorted(of_group, np.arange(groups + 1))
        place = edges[:-1] + spare
        at_place = worst[order[np.minimum(place, order.size - 1)]]
        return np.where(place < edges[1:], at_place, -np.inf)

    def _dip(self, which: np.ndarray) -> FloatArray:
        """Minute after the bracket at which the line dips, infinite where none."""
        minute, line = self.curve.minute, self.lines(which)
        later = minute > self.high[which][:, None]
        later &= minute <= self.last[which][:, None]
        line = np.where(later, line, np.inf)
        deepest = line.argmin(axis=1)
        least_k = line[np.arange(which.size), deepest]
        level_k = self._raw_at(which, self.high[which]) + self.high_k[which]
        dips = (least_k < level_k - _DIP_K) & (least_k < _LOW_K)
        return np.where(dips, np.floor(minute[deepest]), np.inf)

    def _likely(self) -> FloatArray:
        """Minutes of the lines, and those found where a bracket is one minute."""
        found = self.crossing(np.arange(self.rows.count))
        return np.where(self.low >= self.last, np.inf, found)

    def close(self, which: np.ndarray, *, straight: bool) -> None:
        """Let rows leave in minutes beside each other, by the line or halfway.

        Rows whose bracket is one minute leave where their line dips later.
        """
        low, high = self.low[which], self.high[which]
        at = self.crossing(which) if straight else np.ceil(0.5 * (low + high))
        shut = self.holds[which] & (high - low <= 1.0)
        at[shut] = self._dip(which[shut])
        high = np.where(shut, self.last[which], high)
        self.looked_later[which[shut]] = True
        looks = [at - 1.0, at]
        if which.size <= _FEW_ROWS:
            halves = [np.rint(0.5 * (low + at)), np.rint(0.5 * (at + high))]
            looks += [at - 2.0, at + 1.0, *halves]
        minute = np.clip(np.stack(looks), low + 1.0, high)
        self.look(which, np.sort(minute.T, axis=1))

    def minute(self, unsettled: np.ndarray) -> FloatArray:
        """Minutes of all rows; of those still open only what is known to hold."""
        shut = self.holds & (self.high - self.low <= 1.0)
        found = np.where(shut, self.high, self._likely() + 1.0)
        found[unsettled] = np.where(self.holds[unsettled], self.high[unsettled], np.inf)
        return np.where(self.low >= self.last, np.inf, found)
