"""Readings that cannot be what they say: found, named and left out.

Enters: a `Problem` with all readings. Leaves: which of them count, and what was odd.

- *Outside*: below the air, or hotter than the materials stand.
- *Frozen*: three or more equal values while every landing that fits moves on.
- *Rise*: from every earlier reading, faster than the hottest landing could drive it.
- *Fahrenheit*: all readings, those of one brake, or one of them are far likelier as °F.
- *Swapped*: two readings of one moment fit far better the other way round.
- *Fault*: whatever is left that lies too far from what the others say.
"""

from collections.abc import Callable, Iterator
from itertools import combinations

import numpy as np

from thermal.arrays import FloatArray
from thermal.estimate.layout import ODD_SHARE_SD
from thermal.estimate.records import Oddity, OddReading, Readings
from thermal.estimate.update import Problem, likeliest
from thermal.units import ZERO_CELSIUS_K

FAR = 6.0
LIKELIER = 12.0
_COLDER_K, _HOTTEST_K = 20.0, 1500.0
_FROZEN_COUNT, _FROZEN_S, _FROZEN_STEPS = 3, 360.0, 3.0
_FROZEN_K = 15.0
_RISE_FACTOR, _RISE_K = 1.3, 25.0
_MOST_LEFT_OUT = 6
_APART_K = 30.0


def sorted_out(problem: Problem) -> tuple[np.ndarray, Readings, list[OddReading]]:
    """Give the readings that count, with their positions put right, and what was odd.

    Returns
    -------
    kept : int array
        Which of the readings given.
    readings : Readings
        Those, with the positions that they fit.
    odd : list of OddReading
    """
    odd: list[OddReading] = []
    kept = np.arange(problem.readings.count)

    def leave_out(found: list[OddReading]) -> None:
        nonlocal kept, problem
        if found:
            odd.extend(found)
            stays = ~np.isin(kept, [one.reading for one in found])
            kept, problem = kept[stays], problem.select(np.flatnonzero(stays))

    def leave_out_by(*rules: Callable[[Problem], list[OddReading]]) -> None:
        for rule in rules:
            if kept.size:
                leave_out([_numbered(one, kept) for one in rule(problem)])

    leave_out_by(_outside, _fahrenheit, _frozen)
    if kept.size > 1:
        brake, found = _swapped(problem)
        odd.extend(_numbered(one, kept) for one in found)
        problem = problem.relabelled(brake)
    leave_out_by(_too_fast)
    while kept.size > 1 and len(odd) < _MOST_LEFT_OUT:
        faults = [_numbered(one, kept) for one in _fault(problem)]
        if not faults:
            break
        leave_out(faults)
    return kept, problem.readings, odd


def _numbered(one: OddReading, kept: np.ndarray) -> OddReading:
    return OddReading(
        reading=int(kept[one.reading]),
        oddity=one.oddity,
        expected_k=one.expected_k,
        other_brake=one.other_brake,
    )


def _outside(problem: Problem) -> list[OddReading]:
    air = problem.fitted.base.ambient_k
    shown = problem.readings.shown_k
    outside = (shown < air - _COLDER_K) | (shown > _HOTTEST_K)
    return [
        OddReading(reading=int(k), oddity=Oddity.OUT_OF_RANGE, expected_k=air)
        for k in np.flatnonzero(outside)
    ]


def _groups(readings: Readings) -> Iterator[np.ndarray]:
    """All readings, those of each brake, each alone; every set once."""
    seen = set()
    every = np.arange(readings.count)
    sets = [every]
    sets += [np.flatnonzero(readings.brake == one) for one in np.unique(readings.brake)]
    sets += [every[k : k + 1] for k in every]
    for group in sets:
        if tuple(group) not in seen:
            seen.add(tuple(group))
            yield group


def _fahrenheit(problem: Problem) -> list[OddReading]:
    """Find the largest group that is far likelier in °F, and fits then."""
    shown = problem.readings.shown_k
    groups = list(_groups(problem.readings))
    data = np.repeat(shown[None], len(groups) + 1, axis=0)
    for row, group in enumerate(groups):
        as_said = shown[group] - ZERO_CELSIUS_K
        data[row + 1, group] = (as_said - 32.0) / 1.8 + ZERO_CELSIUS_K
    moved = likeliest(problem, problem.layout.variance[None], data)
    gain = moved.evidence[1:] - moved.evidence[0]
    fits = np.array(
        [
            np.abs(moved.missed[row + 1, group]).max() < 3.0
            for row, group in enumerate(groups)
        ]
    )
    gain = np.where(fits, gain, -np.inf)
    best = int(gain.argmax())
    if gain[best] < LIKELIER:
        return []
    expected = data[best + 1] - moved.left_k[best + 1]
    return [
        OddReading(reading=int(k), oddity=Oddity.FAHRENHEIT, expected_k=expected[k])
        for k in groups[best]
    ]


def _series(problem: Problem) -> Iterator[np.ndarray]:
    """Give the readings of each known brake in order of time."""
    readings = problem.readings
    for brake in np.unique(readings.brake[readings.brake >= 0]):
        mine = np.flatnonzero(readings.brake == brake)
        yield mine[np.argsort(readings.time_s[mine], kind="stable")]


def _too_fast(problem: Problem) -> list[OddReading]:
    """Rises beyond what the hottest brake of the design drives."""
    readings, found = problem.readings, []
    layout = problem.layout
    hottest = layout.mean[None].copy()
    hottest[:, 0] *= 1.8
    centre = layout.fixed.mean(axis=0)[None]
    most, _ = problem.foretold(hottest, centre)
    slack_k = _RISE_K + 2.0 * layout.probe.display_step_k
    for order in _series(problem):
        for place, after in enumerate(order[1:], start=1):
            # From any earlier reading, so that one that is too low accuses no other.
            driven = np.maximum(most[0, after] - most[0, order[:place]], 0.0)
            reach = readings.shown_k[order[:place]] + _RISE_FACTOR * driven
            expected = reach.max()
            if readings.shown_k[after] > expected + slack_k:
                found.append(
                    OddReading(
                        reading=int(after),
                        oddity=Oddity.IMPOSSIBLE_RISE,
                        expected_k=float(expected),
                    )
                )
    return found


def _frozen(problem: Problem) -> list[OddReading]:
    """Equal values in a row where the likeliest landing moves on; the first stays."""
    readings, layout = problem.readings, problem.layout
    moved = likeliest(problem, _wide(problem), readings.shown_k[None])
    expected = readings.shown_k - moved.left_k[0]
    step = layout.probe.display_step_k
    found = []
    for order in _series(problem):
        shown = readings.shown_k[order]
        runs = np.split(order, np.flatnonzero(np.abs(np.diff(shown)) > 0.1) + 1)
        for run in runs:
            lasts = np.ptp(readings.time_s[run]) >= _FROZEN_S
            moves = np.ptp(expected[run]) > _FROZEN_STEPS * step + _FROZEN_K
            if run.size >= _FROZEN_COUNT and lasts and moves:
                found += [
                    OddReading(
                        reading=int(k),
                        oddity=Oddity.FROZEN,
                        expected_k=float(expected[k]),
                    )
                    for k in run[1:]
                ]
    return found


def _wide(problem: Problem) -> FloatArray:
    """Variance with every share free, so that an odd brake is no odd reading."""
    layout = problem.layout
    variance = layout.variance[None].copy()
    for brake in range(layout.brakes):
        entry = layout.share_entry(brake)
        if layout.mean[entry] > 0:
            variance[:, entry] = ODD_SHARE_SD**2
    return variance


def _swapped(problem: Problem) -> tuple[np.ndarray, list[OddReading]]:
    """Positions after swapping pairs of one moment that fit the other way round."""
    readings = problem.readings
    pairs = [
        (a, b)
        for a, b in combinations(range(readings.count), 2)
        if readings.time_s[a] == readings.time_s[b]
        and readings.brake[a] != readings.brake[b]
        and min(readings.brake[a], readings.brake[b]) >= 0
        and abs(readings.shown_k[a] - readings.shown_k[b]) > _APART_K
    ]
    brake = readings.brake.copy()
    if not pairs:
        return brake, []
    data = np.repeat(readings.shown_k[None], len(pairs) + 1, axis=0)
    for row, (a, b) in enumerate(pairs):
        data[row + 1, [a, b]] = readings.shown_k[[b, a]]
    moved = likeliest(problem, _wide(problem), data)
    gain = moved.evidence[1:] - moved.evidence[0]
    best = int(gain.argmax())
    if gain[best] < LIKELIER:
        return brake, []
    a, b = pairs[best]
    brake[[a, b]] = brake[[b, a]]
    expected = data[best + 1] - moved.left_k[best + 1]
    return brake, [
        OddReading(
            reading=one,
            oddity=Oddity.SWAPPED,
            expected_k=float(expected[other]),
            other_brake=int(readings.brake[other]),
        )
        for one, other in ((a, b), (b, a))
    ]


def _fault(problem: Problem) -> list[OddReading]:
    """Find the reading that lies furthest from what the others say, if too far."""
    readings = problem.readings
    moved = likeliest(problem, _wide(problem), readings.shown_k[None])
    worst = int(np.abs(moved.missed[0]).argmax())
    if abs(moved.missed[0, worst]) < FAR:
        return []
    alone = problem.select(np.delete(np.arange(readings.count), worst))
    others = likeliest(alone, _wide(alone), alone.readings.shown_k[None])
    centre = problem.layout.fixed.mean(axis=0)[None]
    expected = problem.foretold(others.vectors, centre)[0][0, worst]
    return [OddReading(reading=worst, oddity=Oddity.FAULT, expected_k=float(expected))]
