"""Wet runway friction, hydroplaning and runway condition codes."""

import numpy as np
import pytest

from thermal.errors import ParameterError
from thermal.friction import (
    PSI_PA,
    AntiSkid,
    condition_code_friction,
    hydroplaning_speed_m_per_s,
    wet_friction,
    wet_friction_maximum,
)
from thermal.units import KNOT_M_PER_S


def test_pound_per_square_inch() -> None:
    """1 psi is 6,894.757 Pa (NIST SP 811, from memory)."""
    assert pytest.approx(6894.757, abs=0.001) == PSI_PA


def test_wet_smooth_runway_at_100_psi() -> None:
    """0.64, 0.38, 0.22 at 0, 50, 100 kt with 0.80 (secondary source of 25.109(c))."""
    speeds = np.array([0.0, 50.0, 100.0]) * KNOT_M_PER_S
    friction = wet_friction(100 * PSI_PA, speeds, AntiSkid.FULLY_MODULATING)
    assert friction == pytest.approx([0.643, 0.381, 0.220], abs=0.001)


def test_wet_smooth_runway_at_200_psi() -> None:
    """Greatest friction before efficiency (25.109(c) coefficients from memory)."""
    speeds = np.array([0.0, 50.0, 100.0, 140.0]) * KNOT_M_PER_S
    friction = wet_friction_maximum(200 * PSI_PA, speeds)
    assert friction == pytest.approx([0.692, 0.4219, 0.2529, 0.1739], abs=0.0005)


def test_pressures_between_the_curves_are_interpolated() -> None:
    """150 psi lies midway between 100 and 200 psi (25.109(c): linear)."""
    at = wet_friction_maximum(np.array([100.0, 150.0, 200.0, 300.0]) * PSI_PA, 30.0)
    assert at[1] == pytest.approx(0.5 * (at[0] + at[2]))
    assert at[3] < at[2]


def test_anti_skid_efficiencies() -> None:
    """0.30 on-off, 0.50 quasi-modulating, 0.80 fully modulating (25.109(c)(2))."""
    assert [kind.value for kind in AntiSkid] == [0.30, 0.50, 0.80]


def test_hydroplaning_speed() -> None:
    """Nine times the root of the pressure: 90 and 127.3 kt (secondary source)."""
    speeds = hydroplaning_speed_m_per_s(np.array([100.0, 200.0]) * PSI_PA)
    assert speeds / KNOT_M_PER_S == pytest.approx([90.0, 127.3], abs=0.1)


def test_condition_codes() -> None:
    """Wheel-braking coefficients 0.20, 0.16, 0.08 (AC 25-32 table 2, from memory)."""
    pressure, speed = 200 * PSI_PA, 60.0 * KNOT_M_PER_S
    wet = wet_friction(pressure, speed, AntiSkid.FULLY_MODULATING)
    codes = {
        code: float(condition_code_friction(code, pressure, speed, 0.4))
        for code in (1, 2, 3, 4, 5, 6)
    }
    assert codes == pytest.approx(
        {1: 0.08, 2: min(0.16, 0.5 * float(wet)), 3: 0.16, 4: 0.20, 5: wet, 6: 0.36}
    )


def test_code_2_falls_to_nearly_nothing_near_hydroplaning() -> None:
    """Above 85 % of hydroplaning speed 0.05 is left (AC 25-32, from memory)."""
    limit_kt = 0.85 * 9.0 * np.sqrt(200.0)
    speeds = np.array([limit_kt - 0.1, limit_kt + 0.1]) * KNOT_M_PER_S
    friction = condition_code_friction(2, 200 * PSI_PA, speeds, 0.4)
    assert friction[0] > 0.09
    assert friction[1] == 0.05


def test_nil_braking_and_unknown_ranges_are_refused() -> None:
    """Code 0, a car tyre and a speed beyond the curves are refused."""
    with pytest.raises(ParameterError, match="condition code"):
        condition_code_friction(0, 200 * PSI_PA, 30.0, 0.4)
    with pytest.raises(ParameterError, match="tyre_pressure_pa"):
        wet_friction_maximum(30 * PSI_PA, 30.0)
    with pytest.raises(ParameterError, match="ground_speed_m_per_s"):
        wet_friction_maximum(200 * PSI_PA, 100.0)
