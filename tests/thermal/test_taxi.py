"""Taxi legs: energy of the stops and of idle thrust, and their profile."""

from dataclasses import replace

import numpy as np
import pytest

from tests.synthetic_aircraft import FULL, PLAIN
from thermal.errors import ParameterError
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import KNOT_M_PER_S, STANDARD_GRAVITY_M_PER_S2

LEG = TaxiLeg(weight_kg=60e3, duration_s=600.0, stop_count=1)
FREE = replace(PLAIN, rolling_fraction=0.0)


def test_one_stop_from_20_kt_is_kinetic_energy() -> None:
    """60 t from 20 kt on four brakes: 0.794 MJ per brake (computed)."""
    assert taxi_heat(FREE, LEG).energy_j / 4 == pytest.approx(0.794e6, rel=1e-3)


def test_stop_counts_what_idle_thrust_pushes_meanwhile() -> None:
    """Idle thrust beyond rolling resistance works over the stop's distance."""
    push_n = 7e3 - 0.015 * 60e3 * STANDARD_GRAVITY_M_PER_S2
    speed = 20.0 * KNOT_M_PER_S
    expected_j = 0.5 * 60e3 * 1.01 * speed**2 + push_n * 0.5 * speed * 6.0
    assert taxi_heat(FULL, LEG).energy_j == pytest.approx(expected_j)


def test_riding_the_brakes_holds_idle_thrust_back() -> None:
    """Riding brakes away the push at taxi speed for the whole leg; none when weak."""
    push_n = 12e3 - 0.015 * 60e3 * STANDARD_GRAVITY_M_PER_S2
    leg = replace(LEG, stop_count=0, riding_fraction=0.5, taxi_speed_m_per_s=8.0)
    heat = taxi_heat(replace(FULL, idle_n=12e3), leg)
    assert heat.energy_j == pytest.approx(0.5 * push_n * 8.0 * 600.0)
    assert taxi_heat(FULL, leg).energy_j == 0.0


def test_profile_integrates_to_energy_for_different_stop_counts() -> None:
    """Each sample's profile holds its energy, with no, few and many stops."""
    leg = replace(LEG, stop_count=np.array([0, 2, 5]), riding_fraction=1.0)
    heat = taxi_heat(replace(FULL, idle_n=12e3), leg)
    means_w = 0.5 * (heat.power_w[:, 1:] + heat.power_w[:, :-1])
    integral_j = (means_w * np.diff(heat.time_s, axis=-1)).sum(axis=-1)
    assert heat.time_s.shape == (3, 17)
    assert integral_j == pytest.approx(heat.energy_j, rel=1e-12)
    assert (np.diff(heat.time_s, axis=-1) >= 0).all()
    assert np.diff(heat.stops_j) / heat.stops_j[1] == pytest.approx([1.0, 1.5])
    assert heat.riding_j == pytest.approx(heat.riding_j[0])


def test_stops_are_equally_spaced() -> None:
    """Three stops in ten minutes are centred at 100, 300 and 500 seconds."""
    heat = taxi_heat(PLAIN, replace(LEG, stop_count=3))
    starts, ends = heat.time_s[1:-1:3], heat.time_s[3:-1:3]
    assert 0.5 * (starts + ends) == pytest.approx([100.0, 300.0, 500.0])
    assert ends - starts == pytest.approx(6.0)


def test_leg_refuses_overlapping_stops_and_fractions() -> None:
    """Stops that do not fit, parts of stops and wrong shapes are refused."""
    with pytest.raises(ParameterError, match="fit into"):
        replace(LEG, stop_count=20, duration_s=60.0)
    with pytest.raises(ParameterError, match="whole numbers"):
        replace(LEG, stop_count=1.5)
    with pytest.raises(ParameterError, match="broadcast"):
        replace(LEG, weight_kg=[5e4, 6e4], stop_count=[1, 2, 3])
