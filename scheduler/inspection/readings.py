"""Readings of the indicator against what was to be expected of them.

Enters: the samples at the stand, readings. Leaves: `Foretold`. A sample foretells what
its brake shows, lag included; reading and model have an error of their own, as in the
answer for one aircraft: 10 K (or the display step) and 15 K, engineering estimates.
"""

from dataclasses import dataclass

import numpy as np

from scheduler.day import Reading
from scheduler.readiness.limits import minutely
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.units import celsius

READING_K = 10.0
MODEL_K = 15.0
_INNER = (0.01, 0.99)


@dataclass(frozen=True, slots=True, kw_only=True)
class Foretold:
    """A reading beside what was to be expected.

    ``low_c`` and ``high_c`` hold 98 % of what the samples foretell; ``above`` is the
    probability to read as much or more, where brake and inputs are as given.
    """

    position: str | None
    minute: int
    indicated_c: float
    low_c: float
    high_c: float
    above: float


def foretold_of(
    heat: StandHeat, place: int, readings: tuple[Reading, ...]
) -> tuple[Foretold, ...]:
    """Compare the readings of one turnaround whose every brake is followed."""
    case, mine = heat.cases[place], heat.rows_of(place)
    last = case.turnaround.in_block_minute + heat.minute[-1]
    found = []
    for reading in readings:
        if reading.minute > last:
            continue
        after = np.array([float(reading.minute - case.turnaround.in_block_minute)])
        shown_k = minutely(heat.minute, heat.curve.indicated_k[mine], after)
        shown = shown_k.reshape(case.shape)
        if reading.position is None:
            column = shown.max(axis=1)
        else:
            column = shown[:, case.positions.index(reading.position)]
        found.append(_foretold(reading, column, case.brake.probe.display_step_k))
    return tuple(found)


def _foretold(reading: Reading, shown_k: FloatArray, step_k: float) -> Foretold:
    from scipy.special import ndtr

    sd_k = float(np.hypot(max(READING_K, step_k), MODEL_K))
    low, high = np.quantile(celsius(shown_k), _INNER)
    return Foretold(
        position=reading.position,
        minute=reading.minute,
        indicated_c=round(float(celsius(reading.indicated_k)), 1),
        low_c=round(float(low), 1),
        high_c=round(float(high), 1),
        above=float(ndtr((shown_k - reading.indicated_k) / sd_k).mean()),
    )
