"""Units at the edges of the thermal package, which is SI and kelvin inside.

Exact by definition: the international knot, pound, foot and nautical mile.
"""

import numpy as np

from thermal.arrays import FloatArray, FloatLike

ZERO_CELSIUS_K = 273.15
KNOT_M_PER_S = 1852.0 / 3600.0
POUND_KG = 0.45359237
FOOT_M = 0.3048
FOOT_POUND_FORCE_J = 1.3558179483314004
STANDARD_GRAVITY_M_PER_S2 = 9.80665
STEFAN_BOLTZMANN_W_PER_M2_K4 = 5.670374419e-8
MINUTE_S = 60.0


def kelvin(temperature_c: FloatLike) -> FloatArray:
    """Degrees Celsius to kelvin, element by element."""
    return np.asarray(temperature_c, dtype=np.float64) + ZERO_CELSIUS_K


def celsius(temperature_k: FloatLike) -> FloatArray:
    """Kelvin to degrees Celsius, element by element."""
    return np.asarray(temperature_k, dtype=np.float64) - ZERO_CELSIUS_K


def metres_per_second(speed_kt: FloatLike) -> FloatArray:
    """Knots to metres per second, element by element."""
    return np.asarray(speed_kt, dtype=np.float64) * KNOT_M_PER_S
