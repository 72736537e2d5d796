"""Friction between tyre and runway: wet curves, anti-skid, runway condition codes.

In: tyre pressure, ground speed, anti-skid type or condition code (SI). Out: friction
coefficients, dimensionless, per load on the braked wheels. `thermal.surface` makes of
them what the brakes of an aircraft can give.

- Wet smooth runway: 14 CFR 25.109(c)(1); the 100 psi coefficients from a secondary
  source, the 50, 200 and 300 psi ones from memory. Efficiencies: 25.109(c)(2).
- Condition codes: values of AC 25-32 from memory.
- Hydroplaning speed 9 √p (kt, psi): secondary source.
"""

from enum import Enum, StrEnum

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.errors import ParameterError
from thermal.units import FOOT_M, FOOT_POUND_FORCE_J, KNOT_M_PER_S

PSI_PA = FOOT_POUND_FORCE_J / FOOT_M / (FOOT_M / 12.0) ** 2

_PRESSURES_PSI = np.array([50.0, 100.0, 200.0, 300.0])
# Rows as the pressures; cubic in speed per 100 kt, highest power first.
_WET_SMOOTH = np.array(
    [
        [-0.0350, 0.306, -0.851, 0.883],
        [-0.0437, 0.320, -0.805, 0.804],
        [-0.0331, 0.252, -0.658, 0.692],
        [-0.0401, 0.263, -0.611, 0.614],
    ]
)
_FIXED_CODES = {4: 0.20, 3: 0.16, 1: 0.08}
_CODE_2_SLOW_MAXIMUM = 0.16
_CODE_2_HYDROPLANING = 0.05
_HYDROPLANING_SHARE = 0.85
_DRY_SHARE = 0.9


class RunwayCondition(StrEnum):
    """State of a runway as it is reported: dry, wet, or a condition code."""

    DRY = "dry"
    WET = "wet"
    CODE_6 = "6"
    CODE_5 = "5"
    CODE_4 = "4"
    CODE_3 = "3"
    CODE_2 = "2"
    CODE_1 = "1"
    CODE_0 = "0"

    @property
    def code(self) -> int:
        """Condition code; a dry runway is 6, a wet one 5."""
        named = {RunwayCondition.DRY: 6, RunwayCondition.WET: 5}
        return named[self] if self in named else int(self.value)

    @property
    def is_dry(self) -> bool:
        """Whether nothing lies on the runway."""
        return self.code == 6


class AntiSkid(Enum):
    """Anti-skid system type, with its efficiency on a wet runway (25.109(c)(2))."""

    ON_OFF = 0.30
    QUASI_MODULATING = 0.50
    FULLY_MODULATING = 0.80


def wet_friction_maximum(
    tyre_pressure_pa: FloatLike, ground_speed_m_per_s: FloatLike
) -> FloatArray:
    r"""Greatest tyre friction on a wet smooth runway, before anti-skid efficiency.

    Parameters
    ----------
    tyre_pressure_pa : float or array, shape (...)
        50 to 300 psi; linear between the curves.
    ground_speed_m_per_s : float or array, shape (...)
        True ground speed, up to 180 kt.

    Returns
    -------
    friction : array, shape (...)

    Raises
    ------
    ParameterError
        Outside these ranges.

    References
    ----------
    14 CFR 25.109(c)(1); 100 psi from a secondary source, the others from memory.
    """
    psi = np.asarray(tyre_pressure_pa, dtype=np.float64) / PSI_PA
    speed = np.asarray(ground_speed_m_per_s, dtype=np.float64) / KNOT_M_PER_S
    check_range("tyre_pressure_pa (in psi)", psi, 50.0 - 1e-9, 300.0 + 1e-9, "psi")
    check_range("ground_speed_m_per_s (in kt)", speed, 0.0, 180.0 + 1e-9, "kt")
    psi, speed = np.broadcast_arrays(psi, speed / 100.0)
    curves = np.stack([np.polyval(row, speed) for row in _WET_SMOOTH], axis=-1)
    upper = np.clip(np.searchsorted(_PRESSURES_PSI, psi), 1, 3)
    low, high = _PRESSURES_PSI[upper - 1], _PRESSURES_PSI[upper]
    part = (psi - low) / (high - low)
    below = np.take_along_axis(curves, (upper - 1)[..., None], axis=-1)[..., 0]
    above = np.take_along_axis(curves, upper[..., None], axis=-1)[..., 0]
    friction: FloatArray = below + part * (above - below)
    return friction


def wet_friction(
    tyre_pressure_pa: FloatLike, ground_speed_m_per_s: FloatLike, anti_skid: AntiSkid
) -> FloatArray:
    """Friction that the anti-skid system turns into braking on a wet smooth runway.

    Parameters, shapes and errors as `wet_friction_maximum`.
    """
    maximum = wet_friction_maximum(tyre_pressure_pa, ground_speed_m_per_s)
    return anti_skid.value * maximum


def hydroplaning_speed_m_per_s(tyre_pressure_pa: FloatLike) -> FloatArray:
    """Ground speed above which a rolling tyre lifts on standing water.

    Parameters
    ----------
    tyre_pressure_pa : float or array, shape (...)

    Returns
    -------
    speed_m_per_s : array, shape (...)

    Raises
    ------
    ParameterError
        If the pressure is not that of an aircraft tyre.
    """
    psi = np.asarray(tyre_pressure_pa, dtype=np.float64) / PSI_PA
    check_range("tyre_pressure_pa (in psi)", psi, 20.0, 400.0, "psi")
    speed: FloatArray = 9.0 * np.sqrt(psi) * KNOT_M_PER_S
    return speed


def deep_water_speed_m_per_s(tyre_pressure_pa: FloatLike) -> FloatArray:
    """Ground speed above which condition code 2 leaves nearly no friction.

    Parameters, shapes and errors as `hydroplaning_speed_m_per_s`.
    """
    return _HYDROPLANING_SHARE * hydroplaning_speed_m_per_s(tyre_pressure_pa)


def condition_code_friction(
    code: int,
    tyre_pressure_pa: FloatLike,
    ground_speed_m_per_s: FloatLike,
    dry_friction: FloatLike,
) -> FloatArray:
    """Wheel-braking coefficient of a runway condition code, fully modulating anti-skid.

    Parameters
    ----------
    code : int
        6 (dry) to 1 (poor); 0 (nil) is no runway to land on.
    tyre_pressure_pa, ground_speed_m_per_s : float or array, shape (...)
        As in `wet_friction_maximum`.
    dry_friction : float or array, shape (...)
        Braking coefficient shown in certification on a dry runway.

    Returns
    -------
    friction : array, shape (...)

    Raises
    ------
    ParameterError
        If the code is not 1 to 6, or pressure or speed are out of range.

    References
    ----------
    AC 25-32, table 2: structure from a secondary source, values from memory.
    """
    pressure, speed, dry = np.broadcast_arrays(
        np.asarray(tyre_pressure_pa, dtype=np.float64),
        np.asarray(ground_speed_m_per_s, dtype=np.float64),
        np.asarray(dry_friction, dtype=np.float64),
    )
    if code == 6:
        return _DRY_SHARE * dry
    if code in _FIXED_CODES:
        return np.full(speed.shape, _FIXED_CODES[code])
    if code not in {5, 2}:
        raise ParameterError.of("code", "a runway condition code 1 to 6", code)
    wet = wet_friction(pressure, speed, AntiSkid.FULLY_MODULATING)
    return wet if code == 5 else _deep_water(pressure, speed, wet)


def _deep_water(
    tyre_pressure_pa: FloatArray, speed_m_per_s: FloatArray, wet: FloatArray
) -> FloatArray:
    """Code 2: half the wet value, and nearly nothing close to hydroplaning."""
    limit = deep_water_speed_m_per_s(tyre_pressure_pa)
    slow = np.minimum(0.5 * wet, _CODE_2_SLOW_MAXIMUM)
    return np.where(speed_m_per_s < limit, slow, _CODE_2_HYDROPLANING)
