"""Energies and decelerations of the rules, default speeds, shares, the aircraft."""

from dataclasses import replace

import numpy as np
import pytest

from tests.synthetic_aircraft import PLAIN
from thermal.certification import (
    ACCELERATE_STOP_M_PER_S2,
    LANDING_STOP_M_PER_S2,
    credited_headwind_m_per_s,
    kinetic_energy_per_wheel_j,
    rule_energy_per_wheel_j,
)
from thermal.errors import ParameterError
from thermal.shares import share_of_brakes
from thermal.speeds import default_touchdown_speed_m_per_s, default_v1_m_per_s
from thermal.units import FOOT_POUND_FORCE_J, KNOT_M_PER_S, POUND_KG


def test_kinetic_energy_constant() -> None:
    """0.04427018 ft lbf per lb and kt² exactly, 0.0443 as printed (14 CFR 23.735)."""
    exact = kinetic_energy_per_wheel_j(POUND_KG, KNOT_M_PER_S, 1) / FOOT_POUND_FORCE_J
    printed = rule_energy_per_wheel_j(POUND_KG, KNOT_M_PER_S, 1) / FOOT_POUND_FORCE_J
    assert exact == pytest.approx(0.04427018, rel=1e-6)
    assert printed == pytest.approx(0.0443, rel=1e-12)


def test_kinetic_energy_per_wheel() -> None:
    """140,000 lb at 135 kt on four wheels: 38.2867 MJ, 38.3125 by rule (computed)."""
    landing = (140_000 * POUND_KG, 135 * KNOT_M_PER_S, 4)
    by_rule = rule_energy_per_wheel_j(*landing)
    assert kinetic_energy_per_wheel_j(*landing) == pytest.approx(38.2867e6, rel=2e-6)
    assert by_rule == pytest.approx(38.3125e6, rel=2e-6)
    assert by_rule / FOOT_POUND_FORCE_J == pytest.approx(28_257_862.5, rel=1e-6)


def test_mean_decelerations() -> None:
    """10 and 6 ft/s² (14 CFR 25.735(f); the second from a secondary source)."""
    assert pytest.approx(3.0480) == LANDING_STOP_M_PER_S2
    assert pytest.approx(1.8288) == ACCELERATE_STOP_M_PER_S2


def test_credited_wind() -> None:
    """Half a headwind, one and a half tailwinds (14 CFR 25.105(d), from memory)."""
    assert credited_headwind_m_per_s([10.0, 0.0, -4.0]) == pytest.approx([5, 0, -6])


def test_default_speeds_scale_with_root_of_weight_over_density() -> None:
    """Reference state gives the type's speed; lighter is slower, thin air faster."""
    v1 = default_v1_m_per_s(PLAIN, [70e3, 35e3, 70e3], [1.225, 1.225, 1.225 / 1.21])
    assert v1 == pytest.approx([72.0, 72.0 / np.sqrt(2.0), 72.0 * 1.1])


def test_thin_air_raises_landing_energy() -> None:
    """5,000 ft in the ISA is 16 % more kinetic energy (density 1.05558, computed)."""
    speed = default_touchdown_speed_m_per_s(PLAIN, 60e3, np.array([1.225, 1.05558]))
    assert (speed[1] / speed[0]) ** 2 == pytest.approx(1.16, abs=0.002)


def test_additive_is_at_least_5_and_at_most_20_kt() -> None:
    """Half the headwind and the full gust, 5 to 20 kt (from memory)."""
    winds = np.array([0.0, 8.0, 20.0, 40.0, -5.0]) * KNOT_M_PER_S
    gusts = np.array([0.0, 0.0, 3.0, 15.0, 0.0]) * KNOT_M_PER_S
    ground = default_touchdown_speed_m_per_s(PLAIN, 60e3, 1.225, winds, gusts)
    additive = (ground + winds) / 0.97 - 70.0
    assert additive / KNOT_M_PER_S == pytest.approx([5.0, 5.0, 13.0, 20.0, 5.0])


def test_default_speeds_refuse_impossible_air_and_weight() -> None:
    """No density of another planet, no negative gust."""
    with pytest.raises(ParameterError, match="density"):
        default_v1_m_per_s(PLAIN, 60e3, 0.1)
    with pytest.raises(ParameterError, match="gust"):
        default_touchdown_speed_m_per_s(PLAIN, 60e3, 1.2, 0.0, -1.0)


def test_shares_sum_to_one_over_serviceable_brakes() -> None:
    """An inoperative brake's heat goes to the others, by their factors."""
    factors = np.array([[1.0, 1.0, 1.0, 1.0], [1.2, 1.0, 0.8, 1.0]])
    shares = share_of_brakes(4, [True, True, True, False], factors)
    assert shares.sum(axis=-1) == pytest.approx([1.0, 1.0])
    assert shares[:, 3] == pytest.approx([0.0, 0.0])
    assert shares[0, 0] == pytest.approx(1.0 / 3.0)
    assert shares[1, 0] / shares[1, 2] == pytest.approx(1.5)
    assert share_of_brakes(8, True) == pytest.approx(0.125)


def test_shares_refuse_no_brake_and_wrong_counts() -> None:
    """All inoperative, a negative factor and a wrong number of brakes are refused."""
    with pytest.raises(ParameterError, match="at least one"):
        share_of_brakes(2, [False, False])
    with pytest.raises(ParameterError, match="share_factors"):
        share_of_brakes(2, True, [1.0, -1.0])
    for wrong in ([1.0, 1.0, 1.0], [[1.0] * 5] * 4):
        with pytest.raises(ParameterError, match="4 brakes"):
            share_of_brakes(4, True, wrong)


def test_aircraft_refuses_what_none_has() -> None:
    """Values out of range and weights out of order are refused by name."""
    for field, value in [
        ("rolling_fraction", 0.5),
        ("idle_n", float("nan")),
        ("automatic_decelerations_m_per_s2", (1.0, 9.0)),
        ("engine_count", 0),
    ]:
        with pytest.raises(ParameterError, match=field):
            replace(PLAIN, **{field: value})
    with pytest.raises(ParameterError, match="weights"):
        replace(PLAIN, operating_empty_kg=61e3)
