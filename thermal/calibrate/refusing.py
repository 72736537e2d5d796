"""When no catalogue file may be written from a fit, and why.

Enters: records, misfit, what was told. Leaves: one sentence per reason. The bounds are
engineering estimates, on the side of not writing.
"""

from collections.abc import Sequence

import numpy as np

from thermal.arrays import FloatArray
from thermal.calibrate.cool_down import CoolDown
from thermal.calibrate.result import Direction, FittedParameter
from thermal.units import MINUTE_S

LEAST_READINGS = 12
LEAST_RECORDS = 2
LEAST_SPAN_S = 30.0 * MINUTE_S
LARGEST_SCATTER = 1.5
LARGEST_SCATTER_OF_ONE = 2.0
_SURE = 1e-3


def refusals(
    records: Sequence[CoolDown],
    misfit: FloatArray,
    parameters: Sequence[FittedParameter],
    directions: Sequence[Direction],
) -> tuple[str, ...]:
    """Reasons against a catalogue file; none where one may be written.

    Parameters
    ----------
    misfit : array, shape (reading,)
        In standard deviations of a reading.
    """
    return (
        *_too_few(records, misfit.size),
        *_bad_fit(records, misfit),
        *_nothing_told(directions),
        *_at_bounds(parameters),
    )


def _too_few(records: Sequence[CoolDown], readings: int) -> list[str]:
    found = []
    if readings < LEAST_READINGS:
        found.append(f"expected {LEAST_READINGS} readings or more, got {readings}")
    if len(records) < LEAST_RECORDS:
        expected = f"expected {LEAST_RECORDS} cool-downs or more"
        found.append(f"{expected}, got {len(records)}")
    span_s = max(float(np.ptp(one.time_s)) for one in records)
    if span_s < LEAST_SPAN_S:
        found.append(
            f"expected readings over {LEAST_SPAN_S / MINUTE_S:.0f} minutes of one "
            f"cool-down, got {span_s / MINUTE_S:.0f}"
        )
    return found


def _bad_fit(records: Sequence[CoolDown], misfit: FloatArray) -> list[str]:
    """Find readings that scatter more than they may, all or those of one record."""
    from scipy.stats import chi2

    scatter = float((misfit**2).mean()) ** 0.5
    chance = float(chi2.sf(float((misfit**2).sum()), misfit.size))
    if scatter > LARGEST_SCATTER and chance < _SURE:
        return [
            f"expected residuals of one standard deviation of a reading, got "
            f"{scatter:.1f}: brake, heat or readings are not what they are said to be"
        ]
    found, begin = [], 0
    for one in records:
        mine = misfit[begin : begin + one.time_s.size]
        begin += one.time_s.size
        scatter = float((mine**2).mean()) ** 0.5
        chance = float(chi2.sf(float((mine**2).sum()), mine.size)) * len(records)
        if scatter > LARGEST_SCATTER_OF_ONE and chance < _SURE:
            found.append(
                f"{one.name}: expected residuals of one standard deviation, got "
                f"{scatter:.1f}: look at this cool-down"
            )
    return found


def _nothing_told(directions: Sequence[Direction]) -> list[str]:
    if any(one.is_told for one in directions):
        return []
    strength = directions[0].strength if directions else 0.0
    return [
        "nothing is identifiable: no direction of the parameters is told better than "
        f"by the catalogue (best {strength:.2f}, expected 1 or more)"
    ]


def _at_bounds(parameters: Sequence[FittedParameter]) -> list[str]:
    """Several parameters pressed against their ranges: another brake, or wrong heat."""
    pressed = [one.prior.key for one in parameters if one.at_bound]
    if len(pressed) < 3:
        return []
    return [f"expected values within their ranges, got ends of {', '.join(pressed)}"]
