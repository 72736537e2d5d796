"""Brakes that take too much or too little heat, and those that warm unexplained.

Enters: a `Problem` without odd readings. Leaves: how probable it is of each brake that
its share of the heat is none that normal brakes have.

The others tell what the landing was, so that at least three brakes have to be read. One
brake after the other is allowed a share of its own; how much likelier that makes the
readings, against how rarely it occurs, is its probability.
"""

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Probe
from thermal.estimate.layout import ODD_SHARE_SD
from thermal.estimate.records import Readings
from thermal.estimate.update import Problem, likeliest

# How often a brake is odd before anything is read: engineering estimate.
RARE = 0.01
NAMED_FROM = 0.5
_FEWEST = 3
_MOST_ODD = 4
_RISE_K = 15.0
_SETTLED_S = 3600.0


def odd_probability(problem: Problem) -> tuple[FloatArray, tuple[int, ...]]:
    """Probability of each brake, shape (brake,), and those that are named."""
    layout = problem.layout
    found = np.zeros(layout.brakes)
    read = np.unique(problem.readings.brake[problem.readings.brake >= 0])
    if read.size < _FEWEST:
        return found, ()
    named: list[int] = []
    shown = problem.readings.shown_k[None]
    while len(named) <= min(_MOST_ODD, read.size - _FEWEST):
        open_ = [int(brake) for brake in read if brake not in named]
        variance = np.repeat(layout.variance[None], len(open_) + 1, axis=0)
        for brake in named:
            variance[:, layout.share_entry(brake)] = ODD_SHARE_SD**2
        for row, brake in enumerate(open_):
            variance[row + 1, layout.share_entry(brake)] = ODD_SHARE_SD**2
        evidence = likeliest(problem, variance, shown).evidence
        likely = np.log(RARE / (1.0 - RARE)) + evidence[1:] - evidence[0]
        together = np.logaddexp.reduce(np.concatenate([[0.0], likely]))
        probability = np.exp(likely - together)
        for row, brake in enumerate(open_):
            found[brake] = probability[row]
        if probability.max() < NAMED_FROM:
            break
        best = open_[int(probability.argmax())]
        named.append(best)
    for brake in named:
        found[brake] = max(found[brake], NAMED_FROM)
    return found, tuple(named)


def rising_brakes(readings: Readings, probe: Probe) -> tuple[int, ...]:
    """Name brakes whose indication rises an hour after in-block or later."""
    found = []
    for brake in np.unique(readings.brake[readings.brake >= 0]):
        mine = np.flatnonzero(
            (readings.brake == brake) & (readings.time_s >= _SETTLED_S)
        )
        order = mine[np.argsort(readings.time_s[mine], kind="stable")]
        shown = readings.shown_k[order]
        least = _RISE_K + 2.0 * probe.display_step_k
        if shown.size > 1 and (shown - np.minimum.accumulate(shown)).max() > least:
            found.append(int(brake))
    return tuple(found)
