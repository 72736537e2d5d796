"""Speeds of a landing or take-off for which none was given.

In: aircraft, weight, air density, wind (SI). Out: speeds in m/s.

- True air speed grows with the square root of weight over density.
- Approach additive: half the steady headwind and the full gust, at least 5 kt, at most
  20 kt of indicated speed (from memory; common practice).
"""

import numpy as np

from thermal.aircraft import REFERENCE_DENSITY_KG_PER_M3, Aircraft
from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.units import KNOT_M_PER_S

LEAST_ADDITIVE_M_PER_S = 5.0 * KNOT_M_PER_S
MOST_ADDITIVE_M_PER_S = 20.0 * KNOT_M_PER_S


def default_v1_m_per_s(
    aircraft: Aircraft, weight_kg: FloatLike, density_kg_per_m3: FloatLike
) -> FloatArray:
    """Decision speed V1 as true air speed, scaled from the type's.

    Parameters
    ----------
    aircraft : Aircraft
    weight_kg, density_kg_per_m3 : float or array, shape (...)
        Take-off weight and air density on the runway.

    Returns
    -------
    v1_m_per_s : array, shape (...)

    Raises
    ------
    ParameterError
        If weight or density is outside what an aircraft meets.
    """
    scale = _scale(weight_kg, density_kg_per_m3, aircraft.maximum_take_off_kg)
    return aircraft.v1_m_per_s * scale


def default_touchdown_speed_m_per_s(
    aircraft: Aircraft,
    weight_kg: FloatLike,
    density_kg_per_m3: FloatLike,
    headwind_m_per_s: FloatLike = 0.0,
    gust_m_per_s: FloatLike = 0.0,
    least_additive_m_per_s: FloatLike = LEAST_ADDITIVE_M_PER_S,
) -> FloatArray:
    """Touchdown ground speed: approach speed and additive, less bleed and wind.

    Parameters
    ----------
    aircraft : Aircraft
    weight_kg, density_kg_per_m3 : float or array, shape (...)
        Landing weight and air density on the runway.
    headwind_m_per_s : float or array, shape (...)
        Steady wind along the runway; negative is a tailwind and earns no additive.
    gust_m_per_s : float or array, shape (...)
        Gust above the steady wind.
    least_additive_m_per_s : float or array, shape (...)
        Additive that is flown even in calm air.

    Returns
    -------
    speed_m_per_s : array, shape (...)
        True ground speed, as `thermal.rollout.LandingRoll` takes it.

    Raises
    ------
    ParameterError
        If weight, density or wind is outside what an aircraft meets.
    """
    check_range("headwind_m_per_s", headwind_m_per_s, -15.0, 40.0, "m/s")
    check_range("gust_m_per_s", gust_m_per_s, 0.0, 40.0, "m/s")
    wind = np.asarray(headwind_m_per_s, dtype=np.float64)
    earned = 0.5 * np.maximum(wind, 0.0) + np.asarray(gust_m_per_s, dtype=np.float64)
    additive = np.clip(earned, least_additive_m_per_s, MOST_ADDITIVE_M_PER_S)
    scale = _scale(weight_kg, density_kg_per_m3, aircraft.maximum_landing_kg)
    thin = np.sqrt(REFERENCE_DENSITY_KG_PER_M3 / np.asarray(density_kg_per_m3))
    air = aircraft.approach_speed_m_per_s * scale + additive * thin
    return aircraft.touchdown_fraction * air - wind


def _scale(
    weight_kg: FloatLike, density_kg_per_m3: FloatLike, reference_kg: float
) -> FloatArray:
    """Square root of weight over density, relative to the reference state."""
    check_range("weight_kg", weight_kg, 1e3, 7e5, "kg")
    check_range("density_kg_per_m3", density_kg_per_m3, 0.6, 1.7, "kg/m3")
    weight = np.asarray(weight_kg, dtype=np.float64) / reference_kg
    density = np.asarray(density_kg_per_m3, dtype=np.float64)
    ratio: FloatArray = np.sqrt(weight * REFERENCE_DENSITY_KG_PER_M3 / density)
    return ratio
