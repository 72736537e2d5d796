"""Brake heat over the whole documented ranges: finite, never negative, balanced."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.synthetic_aircraft import FULL, STOP
from thermal.accelerate_stop import (
    RejectedTakeOff,
    accelerate_stop,
    brake_energy_speed_m_per_s,
)
from thermal.errors import ParameterError
from thermal.friction import AntiSkid, RunwayCondition
from thermal.rollout import LandingRoll, roll_out
from thermal.rollout_heat import RolloutHeat
from thermal.surface import Surface
from thermal.taxi import TaxiLeg, taxi_heat


def within(low: float, high: float) -> st.SearchStrategy[float]:
    """Floats of a closed range."""
    return st.floats(low, high, allow_subnormal=False)


ROLLS = st.builds(
    LandingRoll,
    weight_kg=within(18e3, 77e3),
    touchdown_speed_m_per_s=within(20, 130),
    density_kg_per_m3=within(0.6, 1.7),
    deceleration_m_per_s2=within(0.3, 6),
    friction_fraction=within(0.02, 0.8),
    headwind_m_per_s=within(-15, 40),
    slope_fraction=within(-0.04, 0.04),
    reverse_fraction=within(0, 1),
    reverse_delay_s=within(0, 15),
    reverse_stow_m_per_s=within(0, 60),
    brake_on_delay_s=within(0, 15),
    spoiler_delay_s=within(0, 15),
    automatic_off_m_per_s=st.one_of(st.just(0.0), within(0, 150)),
    pedal_fraction=within(0.02, 0.8),
    exit_distance_m=st.one_of(st.just(np.inf), within(100, 6000)),
    exit_speed_m_per_s=within(2, 40),
)
SURFACES = st.builds(
    Surface,
    condition=st.sampled_from(list(RunwayCondition)),
    dry_friction=within(0.1, 0.8),
    tyre_pressure_pa=within(2e5, 2.5e6),
    anti_skid=st.sampled_from(list(AntiSkid)),
    anti_skid_serves=st.booleans(),
    serviceable_fraction=within(0, 1),
)
STOPS = st.builds(
    RejectedTakeOff,
    weight_kg=within(18e3, 77e3),
    density_kg_per_m3=within(0.6, 1.7),
    friction_fraction=within(0.02, 0.8),
    headwind_m_per_s=within(-8, 20),
    slope_fraction=within(-0.04, 0.04),
    reaction_s=within(0, 10),
    reaction_acceleration_m_per_s2=within(0, 2),
    deceleration_m_per_s2=st.one_of(st.just(np.inf), within(0.3, 6)),
    live_engine_fraction=within(0, 1),
)


def check_heat(heat: RolloutHeat) -> None:
    """Finite, not negative, balanced, and the profile holds the energy."""
    sources = heat.kinetic_j + heat.idle_j
    sinks = heat.energy_j + heat.drag_j + heat.reverse_j + heat.rolling_j + heat.slope_j
    scale = abs(heat.kinetic_j) + heat.energy_j + abs(heat.idle_j) + 1.0
    means_w = 0.5 * (heat.power_w[1:] + heat.power_w[:-1])
    assert abs(sources - sinks) <= 1e-6 * scale
    assert heat.energy_j >= 0.0
    assert (heat.power_w >= 0.0).all()
    assert (np.diff(heat.time_s) > 0.0).all()
    assert (means_w * np.diff(heat.time_s)).sum() == pytest.approx(heat.energy_j)


@settings(max_examples=150, deadline=None)
@given(roll=ROLLS, surface=st.one_of(st.none(), SURFACES))
def test_any_landing_roll_has_balanced_heat(
    roll: LandingRoll, surface: Surface | None
) -> None:
    """Every roll within the ranges, on any runway, ends with heat that is balanced."""
    check_heat(roll_out(FULL, roll, surface))


@settings(max_examples=60, deadline=None)
@given(stop=STOPS, v1=within(30, 110))
def test_any_accelerate_stop_has_balanced_heat_and_inverts(
    stop: RejectedTakeOff, v1: float
) -> None:
    """Every rejected take-off ends balanced; its heat leads back to its speed."""
    heat = accelerate_stop(FULL, v1, stop)
    check_heat(heat)
    hard = replace(stop, friction_fraction=0.4, deceleration_m_per_s2=np.inf)
    energy_j = accelerate_stop(FULL, v1, hard).energy_j
    found = brake_energy_speed_m_per_s(FULL, energy_j, hard)
    assert found == pytest.approx(v1, abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(roll=ROLLS, more=within(1.0, 1.1))
def test_faster_touchdown_never_cools(roll: LandingRoll, more: float) -> None:
    """To a full stop from brakes on, a higher touchdown speed gives no less heat."""
    slow = replace(
        roll,
        brake_on_delay_s=0.0,
        spoiler_delay_s=0.0,
        automatic_off_m_per_s=0.0,
        reverse_fraction=0.0,
        exit_distance_m=np.inf,
        touchdown_speed_m_per_s=min(roll.touchdown_speed_m_per_s, 118.0),
    )
    fast = replace(slow, touchdown_speed_m_per_s=slow.touchdown_speed_m_per_s * more)
    cool, hot = roll_out(FULL, slow), roll_out(FULL, fast)
    assert hot.energy_j >= cool.energy_j - 1e-5 * cool.kinetic_j


@settings(max_examples=60, deadline=None)
@given(
    weight=within(18e3, 77e3),
    duration=within(600, 7200),
    stops=st.integers(0, 30),
    riding=within(0, 1),
)
def test_any_taxi_leg_has_heat_that_its_profile_holds(
    weight: float, duration: float, stops: int, riding: float
) -> None:
    """Every taxi leg within the ranges gives heat, and a profile that holds it."""
    leg = TaxiLeg(
        weight_kg=weight, duration_s=duration, stop_count=stops, riding_fraction=riding
    )
    heat = taxi_heat(FULL, leg)
    means_w = 0.5 * (heat.power_w[1:] + heat.power_w[:-1])
    assert heat.energy_j >= 0.0
    assert (np.diff(heat.time_s) >= 0.0).all()
    assert (means_w * np.diff(heat.time_s)).sum() == pytest.approx(heat.energy_j)


@given(
    field=st.sampled_from(
        ["weight_kg", "touchdown_speed_m_per_s", "density_kg_per_m3", "slope_fraction"]
    ),
    value=st.one_of(
        st.floats(-1e9, -0.05), st.floats(1e6, 1e12), st.just(float("nan"))
    ),
)
def test_values_outside_the_ranges_are_refused(field: str, value: float) -> None:
    """Anything outside a documented range is a parameter error."""
    with pytest.raises(ParameterError, match=field):
        replace(STOP, **{field: value})
