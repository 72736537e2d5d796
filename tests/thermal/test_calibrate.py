"""Recorded cool-downs to a brake's parameters: recovery, spread, what is not told."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from tests.thermal.recorded_brakes import (
    BRAKE,
    EVERY_FIVE,
    NOISE_K,
    STEP_K,
    drawn,
    landings,
    recorded,
)
from thermal.calibrate import (
    CoolDown,
    Fit,
    brake_with,
    calibrate,
    catalogue_text,
    indicated_k,
    landing_heat,
    parameters_of,
)
from thermal.calibrate.fitting import Problem
from thermal.calibrate.parameters import rest_of
from thermal.calibrate.refusing import refusals
from thermal.catalogue import load_aircraft, load_brake, read_brake
from thermal.errors import EstimationError, ParameterError
from thermal.rollout import LandingRoll, roll_out

# What noise and the rounding to the display's step are together.
SHOWN_K = float(np.hypot(NOISE_K, STEP_K / 12.0**0.5))
TOLD_KEYS = {"joint_w_per_m2_k", "probe.lag_s", "probe.end_stator_fraction"}
FAN = {"fan_from_s": 900.0, "fan_to_s": 2700.0}


@cache
def fitted(seed: int) -> Fit:
    """Fit of three landings without a fan."""
    return calibrate(BRAKE, recorded(seed, landings(3)).records, noise_k=SHOWN_K)


def deviations(seed: int) -> np.ndarray:
    """Error of each parameter in its own stated standard deviations."""
    truth = recorded(seed, landings(3)).values
    return np.array(
        [
            (one.value - value) / one.sd
            for one, value in zip(fitted(seed).parameters, truth, strict=True)
        ]
    )


def test_known_parameters_are_recovered():
    """Within three stated deviations, and closer than the catalogue where told."""
    assert np.abs(deviations(0)).max() < 3.0
    told = [one for one in fitted(0).parameters if one.remaining < 0.8]
    assert {one.prior.key for one in told} >= TOLD_KEYS
    assert fitted(0).rms_k < 1.3 * SHOWN_K
    assert fitted(0).refusals == ()


@pytest.mark.slow
def test_the_stated_spread_covers_the_truth():
    """Over many brakes two deviations hold it at least nine times in ten.

    Where the readings tell something the errors are as large as stated: their root mean
    square lies between 0.7 and 1.3 deviations.
    """
    errors = np.array([deviations(seed) for seed in range(20)])
    left = np.array(
        [[one.remaining for one in fitted(seed).parameters] for seed in range(20)]
    )
    told = np.abs(errors[left < 0.8])
    assert told.size > 50
    assert (told < 2.0).mean() >= 0.90
    assert 0.7 < float((told**2).mean() ** 0.5) < 1.3
    assert (np.abs(errors) < 2.0).mean() >= 0.90


def test_what_is_not_told_is_said():
    """No fan blew, no brake was set: those parameters keep the catalogue's spread."""
    fit = fitted(0)
    assert {"fan_reach", "contact_w_per_m2_k"} <= set(fit.not_told)
    fan = next(one for one in fit.parameters if one.prior.key == "fan_reach")
    assert fan.remaining > 0.99
    assert abs(fan.shift_sd) < 0.05
    strengths = [one.strength for one in fit.directions]
    assert strengths == sorted(strengths, reverse=True)
    assert 2 <= sum(one.is_told for one in fit.directions) <= 6


def test_a_fan_in_the_record_tells_of_its_reach():
    """Air through the stack moves the readings, so that its reach can be seen."""
    asked = landings(2, time_s=EVERY_FIVE[::3], **FAN)
    parameters = parameters_of(BRAKE)
    problem = Problem(
        brake=load_brake(BRAKE),
        records=asked,
        parameters=parameters,
        noise_k=10.0,
        rest=rest_of(BRAKE, parameters),
    )
    jacobian = problem.data_jacobian(np.zeros(len(parameters) + 2))
    reach = [one.key for one in parameters].index("fan_reach")
    assert np.abs(jacobian[:, reach]).max() > 0.2


def test_columns_of_the_jacobian_are_differences():
    """Parameter by parameter and landing by landing, against central differences."""
    asked = landings(2, time_s=np.array([600.0, 2400.0]))
    parameters = parameters_of(BRAKE)
    problem = Problem(
        brake=load_brake(BRAKE),
        records=asked,
        parameters=parameters,
        noise_k=10.0,
        rest=rest_of(BRAKE, parameters),
    )
    origin = np.zeros(len(parameters) + 2)
    found = problem.jacobian(origin)
    for place in (0, 11, len(parameters)):
        step = np.zeros(origin.size)
        step[place] = 0.3
        ahead, behind = problem.residuals(step), problem.residuals(-step)
        expected = (ahead - behind) / 0.6
        assert found[:, place] == pytest.approx(expected, abs=0.1)


def test_a_record_alone_shows_the_same_as_among_others():
    """Cooled together or alone, each record foretells its own readings."""
    asked = (*landings(2), *landings(1, **FAN))
    brake, one = load_brake(BRAKE), np.ones(1)
    together = np.split(indicated_k(brake, asked, np.ones(3)), 3)
    for record, shown in zip(asked, together, strict=True):
        assert indicated_k(brake, (record,), one) == pytest.approx(shown, abs=0.5)
    assert together[2][5] < together[0][5] - 20.0


def test_a_parking_brake_that_stays_set_is_seen():
    """Discs held together cool otherwise than released ones."""
    short, one = np.array([600.0, 1800.0]), np.ones(1)
    brake = load_brake(BRAKE)
    free = indicated_k(brake, landings(1, time_s=short), one)
    held = indicated_k(brake, landings(1, time_s=short, brakes_set=True), one)
    assert np.abs(held - free).max() > 2.0


def test_the_probe_always_touches_something_whole():
    """Its touches sum to one, whatever is asked."""
    parameters = parameters_of(BRAKE)
    high = [one.high for one in parameters]
    probe = brake_with(load_brake(BRAKE), parameters, high).probe
    parts = probe.end_stator_fraction + probe.tube_fraction + probe.housing_fraction
    assert parts == pytest.approx(1.0)
    assert probe.housing_fraction == pytest.approx(0.02)


def reasons(count: int = 2, misfit: float = 1.0, **changes) -> str:
    """Reasons against writing, of records with as many cool-downs and such a misfit."""
    records = landings(count, **changes)
    size = sum(one.time_s.size for one in records)
    found = refusals(
        records,
        np.full(size, misfit),
        fitted(0).parameters,
        fitted(0).directions,
    )
    return "\n".join(found)


def test_too_few_readings_are_refused():
    """One cool-down, four readings, a quarter of an hour."""
    short = np.array([300.0, 600.0, 900.0, 1200.0])
    assert reasons() == ""
    text = reasons(1, time_s=short)
    assert "expected 12 readings or more, got 4" in text
    assert "expected 2 cool-downs or more, got 1" in text
    assert "over 30 minutes of one cool-down, got 15" in text


def test_a_bad_fit_is_refused():
    """Residuals of 1.6 deviations in all readings are not noise."""
    assert reasons(misfit=1.4) == ""
    assert "expected residuals of one standard deviation" in reasons(misfit=1.6)


def test_one_bad_cool_down_is_named():
    """All others fit; the one that does not is told by its name."""
    records = landings(3)
    misfit = np.full(3 * EVERY_FIVE.size, 0.3)
    misfit[EVERY_FIVE.size : 2 * EVERY_FIVE.size] = 2.2
    (text,) = refusals(records, misfit, fitted(0).parameters, fitted(0).directions)
    assert text.startswith("landing 2: expected residuals")


def test_readings_that_tell_nothing_are_refused():
    """No direction is told better than by the catalogue."""
    weak = tuple(replace(one, strength=0.9) for one in fitted(0).directions)
    (text,) = refusals(landings(2), np.zeros(36), fitted(0).parameters, weak)
    assert text.startswith("nothing is identifiable")


def test_parameters_at_their_ends_are_refused():
    """Three of them pressed against their ranges: it is another brake."""
    edge = tuple(
        replace(one, at_bound=place < 3)
        for place, one in enumerate(fitted(0).parameters)
    )
    (text,) = refusals(landings(2), np.zeros(36), edge, fitted(0).directions)
    assert "got ends of joint_w_per_m2_k, contact_w_per_m2_k, clearance_m" in text


def test_a_refused_fit_is_not_written():
    """Its reasons are the error."""
    refused = replace(fitted(0), refusals=("one", "two"))
    with pytest.raises(EstimationError, match="one\ntwo"):
        catalogue_text(BRAKE, refused, name="own", source="x")


@pytest.mark.slow
def test_readings_of_no_brake_are_refused():
    """Cool-downs read backwards fit no brake."""
    real = recorded(1, landings(2, time_s=EVERY_FIVE[::2])).records
    wrong = tuple(replace(one, indicated_k=one.indicated_k[::-1]) for one in real)
    fit = calibrate(BRAKE, wrong)
    assert any("standard deviation" in reason for reason in fit.refusals)


def test_nothing_cannot_be_fitted():
    """Without records there is an error."""
    with pytest.raises(EstimationError, match="at least one, got none"):
        calibrate(BRAKE, ())


def test_the_written_brake_is_the_fitted_one(tmp_path):
    """It reads back with the fitted values; limits and plugs are as before."""
    text = catalogue_text(BRAKE, fitted(0), name="own", source='a "b", 54 readings')
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8")
    brake, began = read_brake(path), load_brake(BRAKE)
    assert brake.name == "own"
    assert (brake.limits, brake.plug) == (began.limits, began.plug)
    assert brake.stack_mass_kg == began.stack_mass_kg
    wanted = fitted(0).brake
    assert brake.joint_w_per_m2_k == pytest.approx(wanted.joint_w_per_m2_k, rel=1e-3)
    assert brake.probe.lag_s == pytest.approx(wanted.probe.lag_s, rel=1e-3)
    assert "calibrated from" in text
    # What was written is a catalogue file itself: it can be fitted again.
    again = {one.key: one for one in parameters_of(str(path))}
    joint = next(o for o in fitted(0).parameters if o.prior.key == "joint_w_per_m2_k")
    assert again["joint_w_per_m2_k"].sd == pytest.approx(joint.sd, rel=0.05)


def test_every_shipped_brake_has_parameters():
    """Priors lie within their ranges for all brakes of the catalogue."""
    for name in ("carbon-heavy", "carbon-wide", "steel-narrow", "steel-wide"):
        parameters = parameters_of(name)
        assert len(parameters) == 13
        assert all(one.low <= one.value <= one.high for one in parameters)
        assert all(one.sd > 0.0 for one in parameters)
        assert len(drawn(3, name)) == 13


def test_heat_from_weight_and_speed():
    """Known deceleration and reverse give the rollout's own heat per brake."""
    aircraft = load_aircraft("twin-72")
    known = landing_heat(
        aircraft, 58e3, 70.0, deceleration_m_per_s2=1.8, reverse_fraction=0.25
    )
    roll = LandingRoll(
        weight_kg=58e3,
        touchdown_speed_m_per_s=70.0,
        density_kg_per_m3=1.225,
        deceleration_m_per_s2=1.8,
        friction_fraction=aircraft.dry_friction,
        reverse_fraction=0.25,
        exit_speed_m_per_s=8.0,
    )
    whole = float(np.asarray(roll_out(aircraft, roll).energy_j).reshape(-1)[0])
    assert known.energy_j == pytest.approx(whole / aircraft.brake_count)
    assert known.sd_fraction == pytest.approx(0.0289, abs=1e-3)
    unknown = landing_heat(aircraft, 58e3, 70.0)
    assert unknown.sd_fraction > 0.1


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"energy_j": 1.0}, "energy_j: expected"),
        ({"time_s": np.array([2.0, 1.0])}, "rising instants"),
        ({"indicated_k": np.array([300.0])}, "shape"),
        ({"fan_from_s": 5.0}, "fan: expected from before to"),
        ({"fan_from_s": 5.0, "fan_to_s": 4.0}, "fan: expected from before to"),
    ],
)
def test_a_record_refuses_what_cannot_be(changes, message):
    """Heat, times and fans outside what is meant are errors."""
    good = {
        "name": "one",
        "energy_j": 2e7,
        "ambient_k": 290.0,
        "time_s": np.array([60.0, 120.0]),
        "indicated_k": np.array([400.0, 410.0]),
    }
    with pytest.raises(ParameterError, match=message):
        CoolDown(**{**good, **changes})
