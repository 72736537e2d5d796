"""The accelerate-stop and the brake-energy speed."""

from dataclasses import replace

import numpy as np
import pytest

from tests.synthetic_aircraft import FULL, PLAIN
from thermal.accelerate_stop import (
    RejectedTakeOff,
    accelerate_stop,
    brake_energy_speed_m_per_s,
)
from thermal.errors import ParameterError
from thermal.units import FOOT_POUND_FORCE_J, KNOT_M_PER_S

STOP = RejectedTakeOff(weight_kg=70e3, density_kg_per_m3=1.225, friction_fraction=0.4)
RULE = replace(STOP, reaction_acceleration_m_per_s2=0.0)


def test_kinetic_energy_of_78_t_at_155_kt() -> None:
    """78 t at 155 kt is 247.97 MJ or 182.90 million ft lbf (computed)."""
    heavy = replace(PLAIN, maximum_take_off_kg=78e3)
    heat = accelerate_stop(heavy, 155.0 * KNOT_M_PER_S, replace(RULE, weight_kg=78e3))
    assert heat.kinetic_j == pytest.approx(247.97e6, rel=1e-4)
    assert heat.kinetic_j / FOOT_POUND_FORCE_J == pytest.approx(182.90e6, rel=1e-4)


def test_held_deceleration_without_air_forces_puts_everything_into_brakes() -> None:
    """Without drag, rolling or thrust the brakes take the kinetic energy at V1."""
    bare = replace(PLAIN, drag_coefficient_ground=0.0, rolling_fraction=0.0)
    heat = accelerate_stop(bare, 70.0, replace(RULE, deceleration_m_per_s2=2.0))
    assert heat.energy_j == pytest.approx(0.5 * 70e3 * 70.0**2)
    assert heat.distance_m == pytest.approx(70.0**2 / 4.0 + 140.0)
    assert heat.time_s[0] == pytest.approx(2.0)


def test_reaction_gains_speed_and_closes_the_balance() -> None:
    """Two seconds at 1 m/s² add 2 m/s; thrust and work of each force balance."""
    heat = accelerate_stop(FULL, 72.0, STOP)
    slower = accelerate_stop(FULL, 74.0, replace(RULE, reaction_s=0.0))
    sinks_j = heat.energy_j + heat.drag_j + heat.rolling_j + heat.slope_j
    assert heat.energy_j == pytest.approx(slower.energy_j, rel=1e-9)
    assert heat.distance_m == pytest.approx(slower.distance_m + 146.0)
    assert heat.kinetic_j + heat.idle_j == pytest.approx(sinks_j, rel=1e-9)
    assert heat.reverse_j == 0.0


def test_half_of_headwind_and_one_and_a_half_tailwind_count() -> None:
    """Wind factors 50 % and 150 % (14 CFR 25.105(d), from memory) move ground speed."""
    stop = replace(RULE, headwind_m_per_s=np.array([10.0, 0.0, -4.0]))
    kinetic_j = accelerate_stop(PLAIN, 70.0, stop).kinetic_j
    speeds = np.sqrt(2.0 * kinetic_j / 70e3)
    assert speeds == pytest.approx([65.0, 70.0, 76.0])


def test_thin_air_raises_energy_at_the_same_indicated_speed() -> None:
    """5,000 ft in the ISA is 16 % more kinetic energy (density 1.05558, computed)."""
    density = np.array([1.225, 1.05558])
    v1 = 70.0 * np.sqrt(1.225 / density)
    kinetic_j = accelerate_stop(PLAIN, v1, RULE).kinetic_j
    assert kinetic_j[1] / kinetic_j[0] == pytest.approx(1.16, abs=0.002)


def test_live_engine_idle_heats_the_brakes() -> None:
    """Engines that run on at idle add heat at a held deceleration."""
    stop = replace(
        RULE, deceleration_m_per_s2=2.5, live_engine_fraction=np.array([0.0, 0.5, 1.0])
    )
    energy_j = accelerate_stop(FULL, 70.0, stop).energy_j
    assert np.diff(energy_j) == pytest.approx(3.5e3 * 70.0**2 / 5.0, rel=1e-6)


def test_brake_energy_speed_inverts_the_accelerate_stop() -> None:
    """The speed for the heat of a stop at V1 is V1, with wind, slope and reaction."""
    v1 = np.array([50.0, 62.0, 75.0])
    stop = replace(
        STOP, headwind_m_per_s=np.array([8.0, -3.0, 0.0]), slope_fraction=-0.01
    )
    energy_j = accelerate_stop(FULL, v1, stop).energy_j
    found = brake_energy_speed_m_per_s(FULL, energy_j, stop)
    assert found == pytest.approx(v1, abs=1e-6)


def test_brake_energy_speed_without_capacity_is_zero_and_rises_with_it() -> None:
    """No capacity allows no speed; more capacity never lowers it."""
    speeds = brake_energy_speed_m_per_s(FULL, np.array([0.0, 5e7, 2e8, 9e9]), STOP)
    assert speeds[0] == 0.0
    assert (np.diff(speeds) > 0).all()
    assert speeds[-1] == pytest.approx(148.0)


def test_accelerate_stop_refuses_what_is_out_of_range() -> None:
    """V1, capacity and conditions outside their ranges are refused."""
    with pytest.raises(ParameterError, match="v1_m_per_s"):
        accelerate_stop(FULL, 150.0, STOP)
    with pytest.raises(ParameterError, match="ground speed"):
        accelerate_stop(FULL, 16.0, replace(STOP, headwind_m_per_s=40.0))
    with pytest.raises(ParameterError, match="capacity_j"):
        brake_energy_speed_m_per_s(FULL, -1.0, STOP)
    with pytest.raises(ParameterError, match="reaction_s"):
        replace(STOP, reaction_s=float("nan"))
