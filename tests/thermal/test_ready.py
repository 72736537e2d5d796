"""Brake-ready of one brake, sample by sample, and which inputs move it."""

from dataclasses import replace

import numpy as np
import pytest

from thermal.accelerate_stop import RejectedTakeOff, accelerate_stop
from thermal.air import density_kg_per_m3
from thermal.catalogue import load_aircraft, load_brake, load_ranges
from thermal.cooling import cool
from thermal.errors import ParameterError
from thermal.margins import Margin, departure_margins_k
from thermal.network import build_network
from thermal.ready import ReadyQuestion, _rows, ready_minutes, uncertain_inputs
from thermal.sensitivity import sensitivity
from thermal.speeds import default_v1_m_per_s
from thermal.turnaround import arrival, parked, start_k

LOOK_MINUTES = 120.0
QUESTION = ReadyQuestion(
    brake=load_brake("carbon-narrow"),
    aircraft=load_aircraft("twin-72"),
    energy_j=28e6,
    roll_s=30.0,
    ambient_k=298.15,
    phases=lambda rows: (arrival(rows)[0], *parked(rows, 0.0, 60.0 * LOOK_MINUTES)),
    look_minutes=LOOK_MINUTES,
)
LIMITS = [Margin.PLUG, Margin.STOPPING, Margin.WHEEL_WELL]


def middle(asked: ReadyQuestion, count: int = 1) -> dict[str, np.ndarray]:
    """Draws in the middle of every range."""
    return {
        item.name: np.full(count, 0.5 * (item.low + item.high))
        for item in uncertain_inputs(asked)
    }


def test_limits_hold_at_the_minute_and_not_before() -> None:
    """Integrated to the minute itself: all margins hold, a minute earlier one fails."""
    rng = np.random.default_rng(3)
    drawn = {
        item.name: rng.uniform(item.low, item.high, 3)
        for item in uncertain_inputs(QUESTION)
    }
    minute = ready_minutes(QUESTION, drawn)
    assert ((minute > 5.0) & (minute < 100.0)).all()
    rows, network = _rows(QUESTION, drawn), build_network(QUESTION.brake)
    for sample in range(3):
        one = rows.select(np.array([sample]))
        at_s = 60.0 * (minute[sample] + np.array([-1.0, 0.0]))
        curve = cool(
            network,
            one.variation,
            QUESTION.phases(one),
            start_k(network, one),
            at_s,
            start_s=-one.roll_s,
        )
        early, ready = (
            departure_margins_k(
                network, one, curve.temperature_k[:, k], at_s[k : k + 1] / 60.0
            )
            for k in (0, 1)
        )
        assert early[0, LIMITS].min() < 0.0
        assert ready[0, LIMITS].min() > -0.2


@pytest.mark.parametrize(
    ("name", "later"),
    [
        ("landing_energy_factor", True),
        ("share_factor", True),
        ("wear", True),
        ("ambient", True),
        ("convection_factor", False),
    ],
)
def test_inputs_move_the_minute_the_right_way(name: str, later: bool) -> None:
    """More heat, less mass, warmer air: later; more convection: earlier."""
    asked = replace(QUESTION, ambient_spread_k=4.0)
    drawn = middle(asked, 2)
    item = {item.name: item for item in uncertain_inputs(asked)}[name]
    drawn[name] = np.array([item.low, item.high])
    low, high = ready_minutes(asked, drawn)
    assert (high > low + 0.3) if later else (high < low - 0.3)


def test_the_stop_is_that_of_the_type_at_nine_tenths() -> None:
    """Each brake takes its share of the accelerate-stop at 0.9 of the weight."""
    aircraft, drawn = QUESTION.aircraft, middle(QUESTION)
    drawn["share_factor"] = np.array([1.04])
    weight_kg = 0.9 * aircraft.maximum_take_off_kg
    density = float(density_kg_per_m3(298.15, 101325.0))
    heat = accelerate_stop(
        aircraft,
        default_v1_m_per_s(aircraft, weight_kg, density),
        RejectedTakeOff(
            weight_kg=weight_kg,
            density_kg_per_m3=density,
            friction_fraction=aircraft.dry_friction,
        ),
    )
    rows = _rows(QUESTION, drawn)
    expected = 1.04 * float(heat.energy_j) / aircraft.brake_count
    assert rows.stop_j[0] == pytest.approx(expected, rel=1e-9)
    assert 0.0 < rows.taxi_out_j[0] < 0.2 * rows.stop_j[0]


def test_known_ranges_are_those_of_the_catalogue() -> None:
    """Ranges are shipped ones; weight and speed together make the landing energy."""
    shipped = {item.name: item for item in load_ranges()}
    mine = {item.name: item for item in uncertain_inputs(QUESTION)}
    assert set(mine) - set(shipped) == {"landing_energy_factor", "wear"}
    assert all(mine[name] == shipped[name] for name in set(mine) & set(shipped))
    energy = mine["landing_energy_factor"]
    assert energy.low == pytest.approx(0.99 * 0.985**2)
    assert energy.high == pytest.approx(1.01 * 1.015**2)


def test_what_is_given_is_not_drawn() -> None:
    """Wear only where it is unknown, the fan's factor only with a fan."""
    names = [item.name for item in uncertain_inputs(replace(QUESTION, wear=0.4))]
    assert "wear" not in names
    assert "fan_factor" not in names
    fanned = replace(QUESTION, fan_end_minute=30.0)
    assert "fan_factor" in [item.name for item in uncertain_inputs(fanned)]


def test_a_fan_is_waited_for() -> None:
    """Nobody leaves before the fan has stopped."""
    drawn = middle(replace(QUESTION, fan_end_minute=90.0))
    minute = ready_minutes(replace(QUESTION, fan_end_minute=90.0), drawn)
    assert minute[0] == 90.0
    assert ready_minutes(QUESTION, drawn)[0] < 90.0


def test_shares_rank_inputs_and_an_idle_one_gets_nothing() -> None:
    """Sorted, no more than all together, and air that is known moves nothing."""
    asked = replace(QUESTION, ambient_spread_k=0.0)
    found = sensitivity(asked, seed=2, sample_count=512)
    shares = [one.share for one in found.influences]
    errors = [one.error for one in found.influences]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) < 1.0 + 3.0 * max(errors)
    by_name = {one.input.name: one for one in found.influences}
    assert abs(by_name["ambient"].share) < 3.0 * max(errors)
    assert by_name["share_factor"].share > 0.1
    assert found.late_count == 0


def test_the_same_seed_gives_the_same_shares() -> None:
    """Nothing but the seed decides."""
    first, again, other = (
        sensitivity(QUESTION, seed=seed, sample_count=160) for seed in (4, 4, 5)
    )
    assert first.influences == again.influences
    assert first.influences != other.influences


def test_samples_that_are_not_ready_count_as_the_end_of_the_look() -> None:
    """They are told, and are late, not lost."""
    hot = replace(QUESTION, energy_j=55e6)
    found = sensitivity(hot, seed=1, sample_count=160)
    assert found.late_count > 0
    assert (found.ready_minute == LOOK_MINUTES).sum() >= found.late_count
    assert np.isfinite(found.ready_minute).all()


@pytest.mark.parametrize(
    "given", [{"energy_j": -1.0}, {"wear": 1.5}, {"look_minutes": float("nan")}]
)
def test_questions_that_make_no_sense_are_refused(given: dict[str, float]) -> None:
    """Negative heat, more than worn, no time to look."""
    with pytest.raises(ParameterError, match=next(iter(given))):
        replace(QUESTION, **given)
