"""Air around the brake: the standard atmosphere, and film properties of dry air.

Enters: metres, pascals, kelvin. Leaves: K, Pa, kg/m3, Pa s, W/(m K), J/(kg K).

- The standard atmosphere is the ICAO one (Doc 7488) from below sea level to 20 km.
- Station pressure follows from QNH, so that an altimeter set to it shows elevation.
- Film properties hold for dry air from 200 to 2000 K, without dissociation; a
  ``ValidityWarning`` is given outside.
"""

import warnings
from typing import Final

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.errors import ValidityWarning
from thermal.units import STANDARD_GRAVITY_M_PER_S2

GAS_CONSTANT_J_PER_KG_K: Final = 287.05287
SEA_LEVEL_TEMPERATURE_K: Final = 288.15
SEA_LEVEL_PRESSURE_PA: Final = 101325.0
LAPSE_K_PER_M: Final = 0.0065
TROPOPAUSE_M: Final = 11000.0
TROPOPAUSE_TEMPERATURE_K: Final = 216.65
PRESSURE_EXPONENT: Final = STANDARD_GRAVITY_M_PER_S2 / (
    LAPSE_K_PER_M * GAS_CONSTANT_J_PER_KG_K
)
FILM_LOW_K: Final = 200.0
FILM_HIGH_K: Final = 2000.0


def isa_temperature_k(altitude_m: FloatLike) -> FloatArray:
    """Give the standard temperature at a geopotential altitude, shape (...), K.

    Raises
    ------
    ParameterError
        Outside -5000 to 20000 m.

    References
    ----------
    ICAO Doc 7488, Manual of the ICAO Standard Atmosphere; constants from memory.
    """
    check_range("altitude_m", altitude_m, -5000.0, 20000.0, "m")
    altitude = np.minimum(np.asarray(altitude_m, dtype=np.float64), TROPOPAUSE_M)
    return np.asarray(SEA_LEVEL_TEMPERATURE_K - LAPSE_K_PER_M * altitude)


def isa_pressure_pa(altitude_m: FloatLike) -> FloatArray:
    """Give the standard pressure at a geopotential altitude, shape (...), Pa.

    Same source, range and error as ``isa_temperature_k``.
    """
    ratio = isa_temperature_k(altitude_m) / SEA_LEVEL_TEMPERATURE_K
    above = np.asarray(altitude_m, dtype=np.float64) - TROPOPAUSE_M
    scale_m = (
        GAS_CONSTANT_J_PER_KG_K * TROPOPAUSE_TEMPERATURE_K / STANDARD_GRAVITY_M_PER_S2
    )
    decay = np.exp(-np.maximum(above, 0.0) / scale_m)
    return np.asarray(SEA_LEVEL_PRESSURE_PA * ratio**PRESSURE_EXPONENT * decay)


def isa_density_kg_per_m3(altitude_m: FloatLike) -> FloatArray:
    """Give the standard density at a geopotential altitude, shape (...), kg/m3.

    Same source, range and error as ``isa_temperature_k``.
    """
    pressure = isa_pressure_pa(altitude_m)
    return pressure / (GAS_CONSTANT_J_PER_KG_K * isa_temperature_k(altitude_m))


def station_pressure_pa(qnh_pa: FloatLike, elevation_m: FloatLike) -> FloatArray:
    """Pressure at a station from its QNH, shape (...), Pa.

    An altimeter set to QNH shows the elevation at the station: the standard
    atmosphere is shifted by the pressure altitude of QNH.

    Raises
    ------
    ParameterError
        If QNH is outside 850 to 1100 hPa or elevation outside -500 to 6000 m.

    References
    ----------
    ICAO Doc 7488 for the atmosphere; the definition of QNH is common practice.
    """
    check_range("qnh_pa", qnh_pa, 85000.0, 110000.0, "Pa")
    check_range("elevation_m", elevation_m, -500.0, 6000.0, "m")
    qnh = np.asarray(qnh_pa, dtype=np.float64) / SEA_LEVEL_PRESSURE_PA
    fall = (
        np.asarray(elevation_m, dtype=np.float64)
        * LAPSE_K_PER_M
        / SEA_LEVEL_TEMPERATURE_K
    )
    shifted = qnh ** (1.0 / PRESSURE_EXPONENT) - fall
    return np.asarray(SEA_LEVEL_PRESSURE_PA * shifted**PRESSURE_EXPONENT)


def density_kg_per_m3(temperature_k: FloatLike, pressure_pa: FloatLike) -> FloatArray:
    """Density of dry air as an ideal gas, broadcast, kg/m3."""
    temperature = np.asarray(temperature_k, dtype=np.float64)
    return np.asarray(
        np.asarray(pressure_pa, dtype=np.float64)
        / (GAS_CONSTANT_J_PER_KG_K * temperature)
    )


def viscosity_pa_s(temperature_k: FloatLike) -> FloatArray:
    """Dynamic viscosity of dry air, shape (...), Pa s.

    Sutherland's law with the constants of ICAO Doc 7488, from memory. Within 3 % of
    tabulated values from 200 to 1000 K.
    """
    t = _film(temperature_k)
    return np.asarray(1.458e-6 * t * np.sqrt(t) / (t + 110.4))


def conductivity_w_per_m_k(temperature_k: FloatLike) -> FloatArray:
    """Thermal conductivity of dry air, shape (...), W/(m K).

    Formula of ICAO Doc 7488, from memory. Within 2 % of tabulated values from 200 to
    1000 K; low by 10 to 25 % from 1500 to 2000 K, so cooling is not overstated.
    """
    t = _film(temperature_k)
    return np.asarray(
        2.648151e-3 * t * np.sqrt(t) / (t + 245.4 * np.exp(-27.6310211 / t))
    )


def specific_heat_j_per_kg_k(temperature_k: FloatLike) -> FloatArray:
    r"""Specific heat of dry air at constant pressure, shape (...), J/(kg K).

    Rigid rotators and harmonic oscillators for nitrogen (3393 K) and oxygen (2273 K),
    and argon; vibrational temperatures from memory. Within 1 % of tabulated values to
    1000 K; lower above, where real air begins to dissociate.

    Notes
    -----
    .. math:: c_p / R = 3.5 - x_{Ar} + \sum_i x_i (\theta_i/T)^2
              e^{-\theta_i/T} / (1 - e^{-\theta_i/T})^2
    """
    t = _film(temperature_k)
    ratio = np.full_like(t, 3.5 - 0.0093)
    for fraction, vibration_k in ((0.7809, 3393.0), (0.2095, 2273.0)):
        x = vibration_k / t
        decay = np.exp(-x)
        ratio = ratio + fraction * x * x * decay / (1.0 - decay) ** 2
    return np.asarray(GAS_CONSTANT_J_PER_KG_K * ratio)


def prandtl(temperature_k: FloatLike) -> FloatArray:
    """Prandtl number of dry air, shape (...), from the three properties above."""
    return (
        viscosity_pa_s(temperature_k)
        * specific_heat_j_per_kg_k(temperature_k)
        / conductivity_w_per_m_k(temperature_k)
    )


def _film(temperature_k: FloatLike) -> FloatArray:
    """To float64, with a warning outside the range of the property fits."""
    t = np.asarray(temperature_k, dtype=np.float64)
    low, high = t.min(initial=FILM_LOW_K), t.max(initial=FILM_HIGH_K)
    if not (low >= FILM_LOW_K and high <= FILM_HIGH_K):
        warnings.warn(
            f"air properties: fitted for {FILM_LOW_K:g} to {FILM_HIGH_K:g} K, "
            f"got {low:.5g} to {high:.5g} K",
            ValidityWarning,
            stacklevel=3,
        )
    return t
