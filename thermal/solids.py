"""Fits of specific heat and conductivity for the solids of a brake and its wheel.

Enters: temperatures in kelvin. Leaves: J/(kg K) and W/(m K).

- Plain vectorised functions, one per solid and property.
- Outside the range of a fit its edge value is held. Latent heat and phase changes
  above that range are not credited, so a melted part is computed hotter than it
  would be.
"""

import numpy as np

from thermal.arrays import FloatArray, FloatLike
from thermal.units import celsius

COLD_K = 293.15


def carbon_specific_heat(temperature_k: FloatLike) -> FloatArray:
    r"""Specific heat of carbon in J/(kg K), shape (...), 200 to 3500 K.

    It depends on composition, not on weave, so graphite stands for carbon-carbon.
    Another public fit differs by 2 % above 450 K and by 8 % at 300 K.

    Notes
    -----
    .. math:: c_p = 4184 (0.54212 - 2.42667 \cdot 10^{-6} T - 90.2725/T
              - 43449.3/T^2 + 1.59309 \cdot 10^7/T^3 - 1.43688 \cdot 10^9/T^4)

    References
    ----------
    A. T. D. Butland, R. J. Maddison, "The specific heat of graphite: an evaluation
    of measurements", Journal of Nuclear Materials 49 (1973) 45-56; coefficients as
    restated in public code.
    """
    t = np.clip(np.asarray(temperature_k, dtype=np.float64), 200.0, 3500.0)
    inverse = 1.0 / t
    tail = -43449.3 + inverse * (1.59309e7 - 1.43688e9 * inverse)
    return np.asarray(
        4184.0 * (0.54212 - 2.42667e-6 * t + inverse * (-90.2725 + inverse * tail))
    )


def carbon_conductivity(temperature_k: FloatLike) -> FloatArray:
    """Through-thickness conductivity of brake-grade carbon-carbon in W/(m K).

    Engineering estimate: 25 at 20 °C, half of it at 1000 °C, falling as one over a
    linear function of temperature; published grades span 15 to 40 when cold.
    """
    t = np.maximum(np.asarray(temperature_k, dtype=np.float64), COLD_K)
    return np.asarray(25.0 / (1.0 + (t - COLD_K) / 980.0))


def steel_specific_heat(temperature_k: FloatLike) -> FloatArray:
    """Specific heat of carbon and low-alloy steel in J/(kg K), 20 to 1200 °C.

    The peak of 5000 J/(kg K) at 735 °C is the change of the iron lattice. Edge
    values are held outside the range.

    References
    ----------
    EN 1993-1-2:2005, 3.4.1.2; formula as restated in public code.
    """
    t = np.clip(celsius(temperature_k), 20.0, 1200.0)
    cold = 425.0 + t * (0.773 + t * (-1.69e-3 + t * 2.22e-6))
    rise = 666.0 + 13002.0 / (738.0 - np.minimum(t, 735.0))
    fall = 545.0 + 17820.0 / (np.maximum(t, 735.0) - 731.0)
    return np.select([t < 600.0, t < 735.0, t < 900.0], [cold, rise, fall], 650.0)


def steel_conductivity(temperature_k: FloatLike) -> FloatArray:
    """Conductivity of carbon steel in W/(m K), 20 to 1200 °C.

    References
    ----------
    EN 1993-1-2:2005, 3.4.1.3, from memory.
    """
    t = np.clip(celsius(temperature_k), 20.0, 1200.0)
    return np.where(t < 800.0, 54.0 - 0.0333 * t, 27.3)


def aluminium_specific_heat(temperature_k: FloatLike) -> FloatArray:
    """Specific heat of wheel aluminium (2014 alloy) in J/(kg K), 20 to 500 °C.

    880 at 20 °C (alloy data sheet), rising by 0.41 per kelvin (EN 1999-1-2, from
    memory). The solidus is near 510 °C.
    """
    return np.asarray(871.8 + 0.41 * np.clip(celsius(temperature_k), 20.0, 500.0))


def aluminium_conductivity(temperature_k: FloatLike) -> FloatArray:
    """Conductivity of 2000-series aluminium in W/(m K), 20 to 500 °C.

    EN 1999-1-2, from memory; 142 at 20 °C lies between the tempers of the alloy
    (134 naturally, 154 artificially aged).
    """
    return np.asarray(140.0 + 0.1 * np.clip(celsius(temperature_k), 20.0, 500.0))


def stainless_specific_heat(temperature_k: FloatLike) -> FloatArray:
    """Specific heat of stainless steel in J/(kg K), 20 to 1200 °C.

    EN 1993-1-2:2005, annex C, from memory.
    """
    t = np.clip(celsius(temperature_k), 20.0, 1200.0)
    return np.asarray(450.0 + t * (0.28 + t * (-2.91e-4 + t * 1.34e-7)))


def stainless_conductivity(temperature_k: FloatLike) -> FloatArray:
    """Conductivity of stainless steel in W/(m K), 20 to 1200 °C.

    EN 1993-1-2:2005, annex C, from memory.
    """
    return np.asarray(14.6 + 0.0127 * np.clip(celsius(temperature_k), 20.0, 1200.0))


def titanium_specific_heat(temperature_k: FloatLike) -> FloatArray:
    """Specific heat of the titanium alloy with 6 % Al, 4 % V in J/(kg K).

    Linear from 20 °C to the beta transus at 1268 K: K. C. Mills, "Recommended values
    of thermophysical properties for selected commercial alloys" (2002), from memory.
    """
    t = np.clip(np.asarray(temperature_k, dtype=np.float64), COLD_K, 1268.0)
    return np.asarray(483.04 + 0.215 * t)


def titanium_conductivity(temperature_k: FloatLike) -> FloatArray:
    """Conductivity of the same titanium alloy in W/(m K), same source and range."""
    t = np.clip(np.asarray(temperature_k, dtype=np.float64), COLD_K, 1268.0)
    return np.asarray(1.2595 + 0.0157 * t)


def rubber_specific_heat(temperature_k: FloatLike) -> FloatArray:
    """Specific heat of a tyre in J/(kg K), 20 to 200 °C; engineering estimate."""
    return np.asarray(1440.0 + 3.0 * np.clip(celsius(temperature_k), 20.0, 200.0))


def rubber_conductivity(temperature_k: FloatLike) -> FloatArray:
    """Conductivity of a tyre in W/(m K), the same at all temperatures; estimate."""
    return np.full_like(np.asarray(temperature_k, dtype=np.float64), 0.25)
