"""The landing roll against closed forms, an adaptive solver and the trade.

Anderson is J. D. Anderson, Aircraft Performance and Design, 1999.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.synthetic_aircraft import FULL, PLAIN, STOP
from thermal.air import density_kg_per_m3, isa_density_kg_per_m3
from thermal.aircraft import REFERENCE_DENSITY_KG_PER_M3
from thermal.errors import ParameterError
from thermal.ground_forces import REVERSE_SHARE_AT_REST
from thermal.rollout import (
    LandingRoll,
    RolloutHeat,
    deceleration_to_exit_m_per_s2,
    roll_out,
)
from thermal.units import FOOT_M, STANDARD_GRAVITY_M_PER_S2

ANDERSON_TOUCHDOWN_M_PER_S = 189.2 * FOOT_M
VARIED = LandingRoll(
    weight_kg=np.array([52e3, 60e3, 58e3, 45e3]),
    touchdown_speed_m_per_s=np.array([66.0, 71.0, 75.0, 60.0]),
    density_kg_per_m3=np.array([1.2, 1.0, 1.25, 0.95]),
    deceleration_m_per_s2=np.array([1.2, 1.7, 2.4, 1.4]),
    friction_fraction=np.array([0.4, 0.35, 0.2, 0.3]),
    headwind_m_per_s=np.array([5.0, -4.0, 0.0, 8.0]),
    slope_fraction=np.array([0.01, -0.015, 0.0, 0.005]),
    reverse_fraction=np.array([1.0, 0.0, 0.25, 0.5]),
    reverse_delay_s=np.array([3.0, 2.0, 0.5, 4.0]),
    brake_on_delay_s=np.array([1.0, 2.0, 3.0, 0.0]),
    exit_distance_m=np.array([1900.0, np.inf, 2000.0, 800.0]),
    exit_speed_m_per_s=np.array([15.0, 8.0, 10.0, 12.0]),
)


def sources_and_sinks_j(heat: RolloutHeat) -> tuple[np.ndarray, np.ndarray]:
    """Both sides of the energy balance."""
    sinks = heat.energy_j + heat.drag_j + heat.reverse_j + heat.rolling_j + heat.slope_j
    return heat.kinetic_j + heat.idle_j, sinks


def integral_j(heat: RolloutHeat) -> np.ndarray:
    """Trapezoid integral of the profile."""
    means_w = 0.5 * (heat.power_w[..., 1:] + heat.power_w[..., :-1])
    return (means_w * np.diff(heat.time_s, axis=-1)).sum(axis=-1)


def test_constant_deceleration_matches_closed_form() -> None:
    """Distance and works are those of V⁴ integrals by hand (computed)."""
    heat = roll_out(PLAIN, STOP)
    assert heat.distance_m == pytest.approx(1225.0, rel=1e-9)
    assert heat.duration_s == pytest.approx(35.0, rel=1e-9)
    assert heat.kinetic_j == pytest.approx(147.000e6, rel=1e-4)
    assert heat.drag_j == pytest.approx(27.574e6, rel=1e-4)
    assert heat.rolling_j == pytest.approx(10.812e6, rel=1e-4)
    assert heat.energy_j == pytest.approx(108.614e6, rel=1e-4)


def test_braked_distance_matches_textbook() -> None:
    """Brakes alone: 1389.6 ft from 189.2 ft/s (Anderson, example 6.7).

    Friction 0.4 and touchdown speed of the example, air forces left out; gravity is
    32.2 ft/s2 there, hence the tolerance.
    """
    bare = replace(PLAIN, drag_coefficient_ground=0.0, rolling_fraction=0.0)
    roll = replace(
        STOP,
        weight_kg=33112.0,
        touchdown_speed_m_per_s=ANDERSON_TOUCHDOWN_M_PER_S,
        deceleration_m_per_s2=6.0,
    )
    assert roll_out(bare, roll).distance_m / FOOT_M == pytest.approx(1389.6, rel=1e-3)


def test_free_roll_matches_textbook() -> None:
    """Three seconds of free roll take 567.6 ft (Anderson, example 6.7, computed)."""
    bare = replace(PLAIN, drag_coefficient_ground=0.0, rolling_fraction=0.0)
    roll = replace(STOP, touchdown_speed_m_per_s=ANDERSON_TOUCHDOWN_M_PER_S)
    later = roll_out(bare, replace(roll, brake_on_delay_s=3.0))
    gained_m = later.distance_m - roll_out(bare, roll).distance_m
    assert gained_m / FOOT_M == pytest.approx(567.6, rel=1e-4)
    assert later.time_s[0] == pytest.approx(3.0)


def test_friction_ceiling_with_air_forces_matches_closed_form() -> None:
    """Friction-limited roll is ln(1 + J_A V²/J_T) / 2 g J_A (Anderson, section 6.8)."""
    friction, mass_kg = 0.3, 60e3
    plane = replace(PLAIN, lift_coefficient_ground=0.1, rolling_fraction=0.0)
    roll = replace(STOP, friction_fraction=friction, deceleration_m_per_s2=6.0)
    area = 0.5 * 1.225 * plane.wing_area_m2
    static = friction * STANDARD_GRAVITY_M_PER_S2
    dynamic = area * (0.12 - friction * 0.1) / mass_kg
    expected_m = np.log(1.0 + dynamic / static * 70.0**2) / (2.0 * dynamic)
    heat = roll_out(plane, roll)
    assert heat.distance_m == pytest.approx(expected_m, rel=1e-7)
    assert heat.within_friction


def reference_roll(index: int) -> tuple[float, float]:
    """Brake heat and distance of one varied roll by an adaptive solver, in time."""
    given = {
        name: float(np.broadcast_to(getattr(VARIED, name), (4,))[index])
        for name in VARIED.__dataclass_fields__
    }
    plane, inertia = FULL, given["weight_kg"] * 1.01
    weight_n = given["weight_kg"] * STANDARD_GRAVITY_M_PER_S2
    thin = min(given["density_kg_per_m3"] / 1.225, 1.0)
    dense = max(given["density_kg_per_m3"] / 1.225, 1.0)
    end, fraction = given["exit_speed_m_per_s"], given["reverse_fraction"]

    def slopes(_: float, state: np.ndarray, brakes: bool, reverse: bool) -> list[float]:
        speed = state[1]
        air = speed + given["headwind_m_per_s"]
        pressure = 0.5 * given["density_kg_per_m3"] * plane.wing_area_m2 * air * air
        load = weight_n - 0.1 * pressure
        others = 0.12 * pressure + 0.015 * load + weight_n * given["slope_fraction"]
        if reverse and fraction > 0.0:
            fade = min(air / (70.0 * 0.97), 1.0)
            share = REVERSE_SHARE_AT_REST * (1.0 + fade)
            others += fraction * plane.reverse_n * share * thin
        else:
            others -= plane.idle_n * dense
        wanted = inertia * given["deceleration_m_per_s2"] - others
        brake = min(max(wanted, 0.0), given["friction_fraction"] * load) * brakes
        return [speed, -(brake + others) / inertia, brake * speed]

    state, time_s = np.array([0.0, given["touchdown_speed_m_per_s"], 0.0]), 0.0
    delays = sorted(
        {given["brake_on_delay_s"], given["reverse_delay_s"] if fraction else 0.0}
    )
    for stop_s, speed in [(d, None) for d in delays] + [
        (200.0, max(given["reverse_stow_m_per_s"], end)),
        (200.0, end),
    ]:
        brakes = time_s >= given["brake_on_delay_s"]
        high = state[1] > given["reverse_stow_m_per_s"] + 1e-6
        reverse = time_s >= given["reverse_delay_s"] and high

        def reached(
            _t: float, y: np.ndarray, *_on: bool, at: float = speed or 0
        ) -> float:
            return float(y[1] - at)

        reached.terminal = True  # type: ignore[attr-defined]
        solved = solve_ivp(
            slopes, (time_s, stop_s), state, args=(brakes, reverse), events=reached,
            rtol=1e-10, atol=1e-6, max_step=0.5,
        )  # fmt: skip
        state, time_s = solved.y[:, -1], float(solved.t[-1])
    return float(state[2]), float(state[0])


@pytest.mark.parametrize("index", range(4))
def test_roll_agrees_with_adaptive_solver(index: int) -> None:
    """Wind, slope, lift, delays, reverse and stowing agree with an adaptive solver."""
    energy_j, braked_m = reference_roll(index)
    heat = roll_out(FULL, VARIED)
    exit_m = float(np.broadcast_to(VARIED.exit_distance_m, (4,))[index])
    braked = np.isinf(exit_m) or not heat.makes_exit[index]
    assert heat.energy_j[index] == pytest.approx(energy_j, rel=1e-4)
    expected_m = braked_m if braked else exit_m
    assert heat.distance_m[index] == pytest.approx(expected_m, rel=1e-4)


def test_energy_balance_closes_and_profile_integrates_to_energy() -> None:
    """Sources equal sinks, and the profile holds exactly the energy."""
    heat = roll_out(FULL, VARIED)
    sources, sinks = sources_and_sinks_j(heat)
    assert sources == pytest.approx(sinks, rel=1e-9)
    assert integral_j(heat) == pytest.approx(heat.energy_j, rel=1e-12)
    assert (np.diff(heat.time_s, axis=-1) > 0).all()


def test_profile_needs_almost_no_scaling() -> None:
    """First power of the plain stop is brake force times speed, within 1 %."""
    heat = roll_out(PLAIN, STOP)
    area_n = 0.5 * 1.225 * 125.0 * 0.12 * 70.0**2
    force_n = 60e3 * 2.0 - area_n - 0.015 * 60e3 * STANDARD_GRAVITY_M_PER_S2
    assert heat.power_w[0] == pytest.approx(force_n * 70.0, rel=0.01)
    assert heat.power_w[-1] == pytest.approx(0.0, abs=1e3)


def test_batch_equals_single_rolls() -> None:
    """Four rolls together give what each gives alone."""
    together = roll_out(FULL, VARIED)
    for index in range(4):
        alone = roll_out(
            FULL,
            LandingRoll(
                **{
                    name: np.broadcast_to(getattr(VARIED, name), (4,))[index]
                    for name in VARIED.__dataclass_fields__
                }
            ),
        )
        assert alone.energy_j == pytest.approx(together.energy_j[index], rel=1e-12)
        np.testing.assert_allclose(
            alone.power_w, together.power_w[index], rtol=1e-6, atol=1.0
        )


@pytest.mark.parametrize(("delay_s", "tolerance"), [(0.0, 1e-6), (3.0, 1e-4)])
def test_reverse_thrust_takes_brake_heat_joule_for_joule(
    delay_s: float, tolerance: float
) -> None:
    """At a held deceleration reverse thrust and lost idle push come off the brakes.

    Common practice: automatic braking holds the deceleration and reverse thrust takes
    its share out of the brakes.
    """
    reverse = np.array([0.0, 0.25, 0.6])
    roll = replace(STOP, reverse_fraction=reverse, reverse_delay_s=delay_s)
    heat = roll_out(FULL, roll)
    spared_j = heat.energy_j[0] - heat.energy_j
    other_j = heat.reverse_j + heat.idle_j[0] - heat.idle_j
    assert heat.reverse_j[2] > 5e6
    assert spared_j == pytest.approx(other_j, rel=tolerance)
    assert heat.distance_m == pytest.approx(heat.distance_m[0], rel=1e-9)


def test_lower_setting_with_reverse_is_coolest() -> None:
    """The lowest setting with full reverse heats least (common practice)."""
    settings = np.array([1.2, 1.6, 2.4])[:, None]
    roll = replace(
        STOP, deceleration_m_per_s2=settings, reverse_fraction=np.array([0.0, 1.0])
    )
    energy_j = roll_out(FULL, roll).energy_j
    assert energy_j.shape == (3, 2)
    assert energy_j.argmin() == 1
    assert (np.diff(energy_j, axis=0) > 0).all()


def test_speed_and_weight_change_kinetic_energy_as_handbook_says() -> None:
    """10 % speed is 21 %, 10 % weight 10 % of kinetic energy (FAA flying handbook)."""
    speeds = replace(STOP, touchdown_speed_m_per_s=np.array([60.0, 66.0]))
    weights = replace(STOP, weight_kg=np.array([50e3, 55e3]))
    by_speed, by_weight = roll_out(PLAIN, speeds), roll_out(PLAIN, weights)
    assert by_speed.kinetic_j[1] / by_speed.kinetic_j[0] == pytest.approx(1.21)
    assert by_weight.kinetic_j[1] / by_weight.kinetic_j[0] == pytest.approx(1.10)


def test_later_exit_is_rolled_to_without_brake_heat_on_level_ground() -> None:
    """Rolling on to a later exit takes time, no heat, where idle thrust is weak."""
    roll = replace(
        STOP, exit_speed_m_per_s=10.0, exit_distance_m=np.array([1400.0, 2400.0])
    )
    heat = roll_out(PLAIN, roll)
    assert heat.makes_exit.all()
    assert heat.distance_m == pytest.approx([1400.0, 2400.0])
    assert heat.duration_s[1] - heat.duration_s[0] == pytest.approx(100.0)
    assert heat.energy_j[1] == pytest.approx(heat.energy_j[0])
    assert heat.time_s[1, -1] < heat.duration_s[1]


def test_later_exit_downhill_heats_more() -> None:
    """Downhill with idle thrust the brakes hold the aircraft back to a later exit.

    At -2 % slope a 60 t aircraft heats its brakes more at 3,200 m than at 1,200 m
    (computed).
    """
    roll = replace(
        STOP,
        slope_fraction=-0.02,
        exit_speed_m_per_s=15.0,
        deceleration_m_per_s2=2.2,
        exit_distance_m=np.array([1200.0, 3200.0]),
    )
    heat = roll_out(FULL, roll)
    sources, sinks = sources_and_sinks_j(heat)
    assert heat.energy_j[1] > heat.energy_j[0] + 5e6
    assert heat.time_s[1, -1] == pytest.approx(heat.duration_s[1])
    assert sources == pytest.approx(sinks, rel=1e-9)
    assert integral_j(heat) == pytest.approx(heat.energy_j, rel=1e-12)


def test_exit_too_early_is_said_and_needed_deceleration_makes_it() -> None:
    """An exit that is missed is reported; the deceleration named just makes it."""
    roll = replace(
        STOP, exit_distance_m=1000.0, exit_speed_m_per_s=15.0, brake_on_delay_s=1.5
    )
    missed = roll_out(FULL, roll)
    needed = deceleration_to_exit_m_per_s2(FULL, roll)
    made = roll_out(FULL, replace(roll, deceleration_m_per_s2=needed * 1.0001))
    short = roll_out(FULL, replace(roll, deceleration_m_per_s2=needed * 0.9999))
    assert not missed.makes_exit
    assert missed.distance_m > 1000.0
    assert made.makes_exit
    assert not short.makes_exit
    assert made.distance_m == pytest.approx(1000.0)


def test_exit_passed_before_brakes_needs_infinite_deceleration() -> None:
    """No deceleration makes an exit that is behind before the brakes are on."""
    roll = replace(
        STOP, exit_distance_m=100.0, exit_speed_m_per_s=15.0, brake_on_delay_s=3.0
    )
    assert np.isinf(deceleration_to_exit_m_per_s2(FULL, roll))
    assert deceleration_to_exit_m_per_s2(FULL, STOP) == 0.0


def test_missing_friction_is_reported_and_heat_counted() -> None:
    """Ice, downhill and idle thrust: marked, and the roll still ends hot."""
    roll = replace(STOP, friction_fraction=0.02, slope_fraction=-0.03)
    heat = roll_out(FULL, roll)
    sources, sinks = sources_and_sinks_j(heat)
    assert not heat.within_friction
    assert heat.energy_j > 0.4 * heat.kinetic_j
    assert sources == pytest.approx(sinks, rel=1e-9)


def test_reference_density_is_that_of_the_isa() -> None:
    """Speeds and thrusts refer to the ISA at sea level."""
    assert float(isa_density_kg_per_m3(0.0)) == pytest.approx(
        REFERENCE_DENSITY_KG_PER_M3, rel=1e-4
    )
    assert float(density_kg_per_m3(288.15, 101325.0)) == pytest.approx(
        REFERENCE_DENSITY_KG_PER_M3, rel=1e-4
    )


def test_roll_refuses_what_is_out_of_range_or_shape() -> None:
    """Values outside the ranges, NaN, and shapes that do not fit are refused."""
    for field, value in [
        ("touchdown_speed_m_per_s", 140.0),
        ("deceleration_m_per_s2", 0.0),
        ("headwind_m_per_s", float("nan")),
        ("exit_distance_m", -5.0),
        ("weight_kg", [60e3, -1.0]),
    ]:
        with pytest.raises(ParameterError, match=field):
            replace(STOP, **{field: value})
    with pytest.raises(ParameterError, match="at an exit"):
        replace(STOP, exit_distance_m=1500.0)
    with pytest.raises(ParameterError, match="broadcast"):
        replace(STOP, weight_kg=[6e4] * 2, slope_fraction=[0.0] * 3)


def test_result_is_frozen() -> None:
    """Nobody changes a result's arrays afterwards."""
    heat = roll_out(PLAIN, replace(STOP, weight_kg=[5e4, 6e4]))
    with pytest.raises(ValueError, match="read-only"):
        heat.energy_j[0] = 0.0
    with pytest.raises(ValueError, match="read-only"):
        heat.makes_exit[0] = False


def test_whole_roll_is_the_sum_of_its_parts() -> None:
    """Brakes that idle at first, and that reach the friction: heat adds up by speed.

    Drag and slope outdo the held deceleration of the first two rolls above some speed;
    the third reaches its friction ceiling below some; the fourth has reverse thrust
    that fades from the reference speed on.
    """
    whole = replace(
        STOP,
        touchdown_speed_m_per_s=90.0,
        headwind_m_per_s=[30.0, 15.0, 10.0, 0.0],
        slope_fraction=[0.02, 0.0, -0.01, 0.0],
        deceleration_m_per_s2=[1.0, 0.8, 1.6, 2.0],
        friction_fraction=[0.4, 0.4, 0.15, 0.4],
        reverse_fraction=[0.0, 0.0, 0.0, 1.0],
        reverse_delay_s=0.0,
        reverse_stow_m_per_s=0.0,
    )
    speeds = np.linspace(90.0, 20.0, 141)
    parts = [
        roll_out(
            FULL,
            replace(whole, touchdown_speed_m_per_s=high, exit_speed_m_per_s=low),
        )
        for high, low in pairwise(speeds)
    ]
    heat = roll_out(FULL, replace(whole, exit_speed_m_per_s=20.0))
    energy_j = np.sum([part.energy_j for part in parts], axis=0)
    distance_m = np.sum([part.distance_m for part in parts], axis=0)
    assert (np.array([part.energy_j for part in parts]) == 0.0).any(axis=0)[:2].all()
    assert heat.energy_j == pytest.approx(energy_j, rel=1e-6)
    assert heat.distance_m == pytest.approx(distance_m, rel=1e-6)
