"""Which parameters of a brake are fitted, and what is known of them beforehand.

Enters: a brake's catalogue file. Leaves: `Parameter` records. The file's value is the
mean of the prior, its range two standard deviations to either side and a hard bound.
Masses and dimensions that can be weighed or measured are not fitted.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.catalogue import entries

# What it is, and what readings have to hold for it to be seen at all.
FITTED = (
    ("joint_w_per_m2_k", "joints between stack, wheel, tube and axle"),
    ("contact_w_per_m2_k", "contact of the discs while the brakes are set"),
    ("clearance_m", "running clearance of the discs"),
    ("vent_fraction", "surface of the stack in still air"),
    ("fan_reach", "surfaces that driven air sweeps"),
    ("open_fraction", "view of the end discs to the outside"),
    ("shield_emissivity", "heat shield"),
    ("wheel_emissivity", "wheel"),
    ("housing_area_m2", "surface of the piston housing"),
    ("probe.lag_s", "lag of the probe"),
    ("probe.display_lag_s", "lag of the display"),
    ("probe.end_stator_fraction", "probe's touch on the end stator"),
    ("probe.tube_fraction", "probe's touch on the torque tube"),
)
_LEAST_HOUSING = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One fitted parameter: where it stands in the file, and its prior."""

    key: str
    what: str
    value: float
    sd: float
    low: float
    high: float
    unit: str


def parameters_of(brake: str) -> tuple[Parameter, ...]:
    """Parameters of a catalogue brake, or of a brake file, with their priors.

    Raises
    ------
    ParameterError
        If the brake is not known or its file is bad.
    """
    known = {entry.key: entry for entry in entries("brakes", brake)}
    found = []
    for key, what in FITTED:
        entry = known.get(key)
        if entry is not None and entry.high > entry.low:
            found.append(
                Parameter(
                    key=key,
                    what=what,
                    value=entry.value,
                    sd=0.25 * (entry.high - entry.low),
                    low=entry.low,
                    high=entry.high,
                    unit=entry.unit,
                )
            )
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rest:
    """What the other parameters leave for the probe's touch on the piston housing.

    In standard deviations of its own prior: ``begin`` where all others have their
    values, and ``slope``, shape (parameter,), per standard deviation of each.
    """

    begin: float
    slope: FloatArray


def rest_of(brake: str, parameters: Sequence[Parameter]) -> Rest:
    """Prior of the piston housing's part; nothing where the file gives no range."""
    known = {entry.key: entry for entry in entries("brakes", brake)}
    own = known.get("probe.housing_fraction")
    slope = np.zeros(len(parameters))
    if own is None or not own.high > own.low:
        return Rest(begin=0.0, slope=slope)
    sd, left = 0.25 * (own.high - own.low), 1.0
    for key in ("probe.end_stator_fraction", "probe.tube_fraction"):
        left -= known[key].value
    for place, one in enumerate(parameters):
        if one.key in ("probe.end_stator_fraction", "probe.tube_fraction"):
            slope[place] = -one.sd / sd
    return Rest(begin=(left - own.value) / sd, slope=slope)


def brake_with(
    brake: Brake, parameters: Sequence[Parameter], values: Sequence[float]
) -> Brake:
    """Brake with other values of these parameters.

    What the probe touches sums to one: the piston housing takes the rest, at least a
    fiftieth, for which the other two give way in proportion.
    """
    given: dict[str, Any] = {
        one.key: float(value) for one, value in zip(parameters, values, strict=True)
    }
    inner = {
        key.removeprefix("probe."): given.pop(key)
        for key in tuple(given)
        if key.startswith("probe.")
    }
    probe = replace(brake.probe, **inner)
    touched = probe.end_stator_fraction + probe.tube_fraction
    scale = min(1.0, (1.0 - _LEAST_HOUSING) / touched)
    probe = replace(
        probe,
        end_stator_fraction=scale * probe.end_stator_fraction,
        tube_fraction=scale * probe.tube_fraction,
        housing_fraction=1.0 - scale * touched,
    )
    return replace(brake, probe=probe, **given)
