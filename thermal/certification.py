"""Figures that the airworthiness rules state about braking.

In: weights, speeds (SI). Out: energies, decelerations, winds.

- Mean deceleration shown in the design landing stop: 14 CFR 25.735(f)(1); in the
  accelerate-stop: 14 CFR 25.735(f)(2), from a secondary source.
- Kinetic energy per wheel: formula of 14 CFR 23.735(a)(2).
- Winds credited: 14 CFR 25.105(d), 25.125, from memory.
"""

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.units import FOOT_M, FOOT_POUND_FORCE_J, KNOT_M_PER_S, POUND_KG

LANDING_STOP_M_PER_S2 = 10.0 * FOOT_M
ACCELERATE_STOP_M_PER_S2 = 6.0 * FOOT_M
# Foot pounds-force per pound and square knot, as the rule prints it.
RULE_CONSTANT = 0.0443
HEADWIND_CREDIT = 0.5
TAILWIND_DEBIT = 1.5


def kinetic_energy_per_wheel_j(
    weight_kg: FloatLike, speed_m_per_s: FloatLike, wheel_count: FloatLike
) -> FloatArray:
    """Kinetic energy per braked wheel, without credit for drag, reverse or rolling.

    An upper bound to cross-check with, blind to unequal brakes.

    Parameters
    ----------
    weight_kg, speed_m_per_s, wheel_count : float or array, shape (...)
        Weight, ground speed, main wheels with brakes.

    Returns
    -------
    energy_j : array, shape (...)

    Raises
    ------
    ParameterError
        If a value is negative or there is no wheel.

    References
    ----------
    14 CFR 23.735(a)(2), whose constant 0.0443 is this formula's rounded.
    """
    check_range("weight_kg", weight_kg, 0.0, 1e6, "kg")
    check_range("speed_m_per_s", speed_m_per_s, 0.0, 200.0, "m/s")
    check_range("wheel_count", wheel_count, 1.0, 32.0, "wheels")
    mass_kg = np.asarray(weight_kg, dtype=np.float64)
    speed = np.asarray(speed_m_per_s, dtype=np.float64)
    return 0.5 * mass_kg * speed**2 / np.asarray(wheel_count, dtype=np.float64)


def rule_energy_per_wheel_j(
    weight_kg: FloatLike, speed_m_per_s: FloatLike, wheel_count: FloatLike
) -> FloatArray:
    """Kinetic energy per braked wheel with the constant that the rule prints.

    Parameters, shapes and errors as `kinetic_energy_per_wheel_j`; 0.07 % higher.
    """
    exact = 0.5 * POUND_KG * KNOT_M_PER_S**2 / FOOT_POUND_FORCE_J
    energy_j = kinetic_energy_per_wheel_j(weight_kg, speed_m_per_s, wheel_count)
    return energy_j * (RULE_CONSTANT / exact)


def credited_headwind_m_per_s(headwind_m_per_s: FloatLike) -> FloatArray:
    """Headwind that scheduled stopping data may count: half of it, or 1.5 tailwinds.

    Parameters
    ----------
    headwind_m_per_s : float or array, shape (...)
        Steady wind along the runway; negative is a tailwind.

    Returns
    -------
    credited_m_per_s : array, shape (...)

    References
    ----------
    14 CFR 25.105(d) and 25.125 (from memory).
    """
    wind = np.asarray(headwind_m_per_s, dtype=np.float64)
    return np.where(wind > 0.0, HEADWIND_CREDIT * wind, TAILWIND_DEBIT * wind)
