"""How a sample's minutes and peaks go with its brake heat, from a few landings.

Enters: cases that differ by the landing alone. Leaves: `Rungs`; for any such case the
few rows of each limit that can set a bound, and figures of every sample.

All samples are followed for four landings, from the least to the most heat.
The minutes of the rows that come latest there, and the peaks of all samples, are
interpolated by the heat of the brake: between two landings the same sample keeps its
draws, and more heat is later.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case
from scheduler.day import Day
from scheduler.readiness.figures import followed_rows
from scheduler.readiness.stand import StandHeat, stand_heat
from thermal.arrays import FloatArray
from thermal.departure import Margin, first_minute

_RUNGS = 4
# Rows of each limit whose minutes are computed on every rung.
_FOLLOWED = 24
# Of each limit, of plugs for the risk that few of many samples make, of peaks.
_TOP, _TOP_PLUGS, _TOP_PEAKS = 5, 8, 8
# How many spans of two rungs lines are continued beyond them.
_BEYOND = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wanted:
    """What of a case is followed, and what its other samples do.

    ``key`` (sample x brake) and ``column`` name the rows that are followed for a
    limit; ``samples`` are theirs and those with the highest peaks. ``released`` and
    ``near`` count the other samples whose plugs let go, and come within their margin.
    """

    key: np.ndarray
    column: np.ndarray
    samples: np.ndarray
    released: int
    near: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rungs:
    """Minutes and peaks on a few rungs of heat.

    Attributes
    ----------
    keys : tuple of int array, one per limit column
    heat_j, minute : tuple of array, shape (rung, key)
    every : int array, shape (row,)
        Keys of all rows that can bind.
    every_j, peak_k : array, shape (rung, row)
        Heat and plug peak of each of them.
    """

    keys: tuple[np.ndarray, ...]
    columns: tuple[int, ...]
    heat_j: tuple[FloatArray, ...]
    minute: tuple[FloatArray, ...]
    every: np.ndarray
    every_j: FloatArray
    peak_k: FloatArray
    near_k: float
    above: int

    @classmethod
    def of(cls, day: Day, cases: list[Case], above: int) -> "Rungs":
        """Follow all samples of the rungs among some cases."""
        chosen = [cases[k] for k in _spread([one.energy_j.mean() for one in cases])]
        station = day.station
        heat = stand_heat(
            tuple(numbered(case, place) for place, case in enumerate(chosen)),
            station.hold_minutes,
            rule=station.approach,
        )
        rows = _common_rows(heat)
        every, peak_k = row_keys(heat, rows[0]), heat.curve.plug_k[rows].max(axis=-1)
        columns, keys = _latest_keys(heat, every, peak_k)
        energy_j = np.stack([case.energy_j.reshape(-1) for case in chosen])
        plug = heat.network.brake.plug
        return cls(
            keys=keys,
            columns=columns,
            heat_j=tuple(energy_j[:, some] for some in keys),
            minute=_minutes(heat, columns, keys),
            every=every,
            every_j=energy_j[:, every],
            peak_k=peak_k,
            near_k=plug.release_k - plug.margin_k,
            above=above,
        )

    def ready_minute(self, case: Case) -> float:
        """Estimate from which minute after in-block all limits hold in still air."""
        energy_j, samples = case.energy_j.reshape(-1), np.zeros(case.shape[0])
        for k, mine in enumerate(self.keys):
            minute = _between(self.heat_j[k], self.minute[k], energy_j[mine])
            np.maximum.at(samples, mine // case.shape[1], minute)
        return float(np.sort(samples)[-1 - self.above])

    def wanted(self, case: Case) -> Wanted:
        """Choose what to follow of a case."""
        energy_j = case.energy_j.reshape(-1)
        peak_k = _between(self.every_j, self.peak_k, energy_j[self.every])
        highest = self.every[np.argsort(-peak_k)]
        keys, columns = [], []
        for k, column in enumerate(self.columns):
            mine = self.keys[k]
            minute = _between(self.heat_j[k], self.minute[k], energy_j[mine])
            latest = mine[np.lexsort((-energy_j[mine], -minute))][: _TOP + self.above]
            if column == Margin.PLUG:
                peaks = highest[: _TOP_PLUGS + self.above]
                latest = np.union1d(latest, peaks)
            keys.append(latest)
            columns.append(np.full(latest.size, column))
        sample = self.every // case.shape[1]
        beyond_k = peak_k - case.release_k.reshape(-1)[self.every]
        stack = case.rows.stack_fraction.reshape(case.shape)
        thin_j = (case.energy_j / stack).max(axis=1)
        count, key = _TOP_PEAKS + self.above, np.concatenate(keys)
        samples = np.unique(
            np.concatenate(
                [
                    key // case.shape[1],
                    sample[np.argsort(-beyond_k)[:count]],
                    np.argsort(-thin_j)[:count],
                ]
            )
        )
        released, near = (
            np.setdiff1d(sample[hit], samples).size
            for hit in (beyond_k > 0, peak_k > self.near_k)
        )
        return Wanted(
            key=key,
            column=np.concatenate(columns),
            samples=samples,
            released=released,
            near=near,
        )


def numbered(case: Case, number: int) -> Case:
    """Give the case another number in its rows."""
    return replace(case, rows=replace(case.rows, case=np.full(case.rows.count, number)))


def row_keys(heat: StandHeat, rows: np.ndarray) -> np.ndarray:
    """Sample and brake of rows as one number, the same in every case."""
    brakes = heat.cases[0].shape[1]
    return np.asarray(heat.rows.sample[rows] * brakes + heat.rows.brake[rows])


def _spread(heat_j: list[float]) -> list[int]:
    """Places of the least, the most, and those nearest to even steps between them."""
    heat = np.array(heat_j)
    steps = np.linspace(heat.min(), heat.max(), _RUNGS)
    places = {int(np.abs(heat - step).argmin()) for step in steps}
    return sorted(places, key=lambda place: heat_j[place])


def _common_rows(heat: StandHeat) -> np.ndarray:
    """Rows that every rung has, (rung, row)."""
    rungs = range(len(heat.cases))
    every = row_keys(heat, heat.rows_of(0))
    for rung in rungs:
        every = np.intersect1d(every, row_keys(heat, heat.rows_of(rung)))
    return np.stack([place_of(heat, rung, every) for rung in rungs])


def _latest_keys(
    heat: StandHeat, every: np.ndarray, peak_k: FloatArray
) -> tuple[tuple[int, ...], tuple[np.ndarray, ...]]:
    """Limit columns, and the keys that come late on any rung."""
    found: dict[int, list[np.ndarray]] = {}
    for rung in range(len(heat.cases)):
        rows, column = followed_rows(heat, rung, _FOLLOWED)
        for one in np.unique(column):
            found.setdefault(int(one), []).append(row_keys(heat, rows[column == one]))
        highest = np.argsort(-peak_k[rung])[:_FOLLOWED]
        found[int(Margin.PLUG)].append(every[highest])
    keys = [np.intersect1d(np.concatenate(parts), every) for parts in found.values()]
    return tuple(found), tuple(keys)


def _minutes(
    heat: StandHeat, columns: tuple[int, ...], keys: tuple[np.ndarray, ...]
) -> tuple[FloatArray, ...]:
    """Minute of each key on each rung, (rung, key) per column; late where none."""
    rungs, late = len(heat.cases), 2.0 * heat.hold_minutes
    rows = [place_of(heat, rung, some) for some in keys for rung in range(rungs)]
    column = [
        np.full(some.size, one)
        for one, some in zip(columns, keys, strict=True)
        for _ in range(rungs)
    ]
    minute = stand_minute(heat, np.concatenate(rows), np.concatenate(column))
    parts = np.split(
        np.minimum(minute, late), np.cumsum([rungs * some.size for some in keys])[:-1]
    )
    return tuple(part.reshape(rungs, -1) for part in parts)


def place_of(heat: StandHeat, case: int, keys: np.ndarray) -> np.ndarray:
    """Row numbers of keys of a case."""
    mine = heat.rows_of(case)
    known = row_keys(heat, mine)
    order = np.argsort(known)
    return np.asarray(mine[order[np.searchsorted(known, keys, sorter=order)]])


def stand_minute(heat: StandHeat, rows: np.ndarray, column: np.ndarray) -> FloatArray:
    """Minute after in-block from which a limit of each row holds in still air."""
    curve = heat.states
    return first_minute(
        heat.network,
        heat.rows.select(rows),
        replace(curve, state_k=curve.state_k[rows]),
        column,
        np.zeros(rows.size),
        float(heat.hold_minutes),
    )


def _between(at_j: FloatArray, values: FloatArray, heat_j: FloatArray) -> FloatArray:
    """Straight lines between rungs (rung, n), continued a little beyond the outer ones.

    Which landing of two is the hotter may differ from sample to sample.
    """
    if at_j.shape[0] == 1:
        return np.asarray(values[0])
    order = np.argsort(at_j, axis=0, kind="stable")
    at_j = np.take_along_axis(at_j, order, axis=0)
    values = np.take_along_axis(values, order, axis=0)
    cell = (heat_j > at_j[1:-1]).sum(axis=0)
    every = np.arange(heat_j.size)
    low_j, high_j = at_j[cell, every], at_j[cell + 1, every]
    part = (heat_j - low_j) / np.maximum(high_j - low_j, 1.0)
    low, high = values[cell, every], values[cell + 1, every]
    with np.errstate(invalid="ignore"):
        found = low + np.clip(part, -_BEYOND, 1.0 + _BEYOND) * (high - low)
    return np.asarray(np.where(low == high, low, found))
