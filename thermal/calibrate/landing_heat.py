"""Weight and touchdown speed of a landing → heat of one brake, and how sure that is.

Enters: an aircraft, SI. Leaves: `LandingHeat`. Deceleration and reverse thrust that are
not known are taken from their ranges; even shares of all brakes.
"""

from dataclasses import dataclass

import numpy as np

from thermal.aircraft import Aircraft
from thermal.catalogue import load_ranges
from thermal.rollout import LandingRoll, roll_out

DENSITY_KG_PER_M3 = 1.225
ROLL_END_M_PER_S = 8.0
_GRID = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingHeat:
    """Heat of one brake and its standard deviation as a share."""

    energy_j: float
    sd_fraction: float


def landing_heat(
    aircraft: Aircraft,
    weight_kg: float,
    touchdown_m_per_s: float,
    *,
    deceleration_m_per_s2: float | None = None,
    reverse_fraction: float | None = None,
) -> LandingHeat:
    """Heat of one brake from a landing on a dry runway without wind.

    Raises
    ------
    ParameterError
        If weight or speed are out of the type's range.
    """
    ranges = {item.name: item for item in load_ranges()}
    held, used = ranges["deceleration_m_per_s2"], ranges["reverse_unknown"]
    decelerations = _spread(deceleration_m_per_s2, held.low, held.high)
    reverses = _spread(reverse_fraction, used.low, used.high)
    grid = np.stack(np.meshgrid(decelerations, reverses)).reshape(2, -1, 1)
    roll = LandingRoll(
        weight_kg=weight_kg,
        touchdown_speed_m_per_s=touchdown_m_per_s,
        density_kg_per_m3=DENSITY_KG_PER_M3,
        deceleration_m_per_s2=grid[0],
        friction_fraction=aircraft.dry_friction,
        reverse_fraction=grid[1],
        exit_speed_m_per_s=ROLL_END_M_PER_S,
    )
    energy_j = np.asarray(roll_out(aircraft, roll).energy_j)
    per_brake = energy_j.reshape(-1) / aircraft.brake_count
    share = ranges["share_factor"]
    unequal = (share.high - share.low) / 12.0**0.5
    spread = float(per_brake.std() / per_brake.mean())
    return LandingHeat(
        energy_j=float(per_brake.mean()),
        sd_fraction=float(np.hypot(spread, unequal)),
    )


def _spread(given: float | None, low: float, high: float) -> np.ndarray:
    """Middles of equal parts of a range, or the one value that is known."""
    if given is not None:
        return np.array([given])
    return low + (high - low) * (np.arange(_GRID) + 0.5) / _GRID
