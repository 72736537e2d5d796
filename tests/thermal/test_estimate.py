"""Readings of an aircraft against the brakes that they came from."""

from dataclasses import replace

import numpy as np
import pytest

from tests.thermal.read_brakes import (
    HEAT_J,
    NETWORK,
    SAMPLES,
    changed,
    draws,
    read,
    truly,
)
from thermal.errors import ParameterError
from thermal.estimate import HOTTEST, FanSpan, Oddity, Readings, estimate
from thermal.estimate.inputs import Base, row_inputs, rows_with
from thermal.estimate.lag import lagged
from thermal.estimate.response import Response

MINUTES = (3.0, 10.0, 20.0)
EVEN = (1.0, 1.0, 1.0, 1.0)


def heat_of(found, brake=0):
    """Heat of one brake in all draws, as a share of the true even one."""
    return found.rows.arrival_j.reshape(SAMPLES, -1)[:, brake] / HEAT_J


def test_lag_peaks_where_the_closed_form_says():
    """A lag of 4 min behind a decay of 60 min peaks at 11.606 min with 0.8241.

    Closed form: peak at ln(60/4) * 60 * 4 / (60 - 4) minutes, on the decay itself.
    """
    minute = np.arange(0.0, 40.0, 0.02)
    decay = np.exp(-minute / 60.0)[None]
    shown = lagged(minute, decay, np.array([4.0]), np.array([0.0]))[0]
    assert minute[shown.argmax()] == pytest.approx(11.606, abs=0.02)
    assert shown.max() == pytest.approx(0.8241, abs=1e-4)


def test_response_gives_back_a_polynomial():
    """A fourth power of heat with products of others is met to rounding."""
    inputs = np.random.default_rng(2).uniform(-1.0, 2.0, (200, 3))

    def value(x):
        return x[:, 0] ** 4 - x[:, 0] ** 2 * x[:, 1] + x[:, 1] * x[:, 2]

    fitted = Response.fitted(inputs, value(inputs)[:, None])
    asked = inputs[:20] * 0.9
    np.testing.assert_allclose(fitted(asked)[:, 0], value(asked), atol=1e-4)


def test_response_slopes_are_those_of_its_values():
    """Slopes agree with small differences, values with those without slopes."""
    generator = np.random.default_rng(3)
    inputs = generator.uniform(-1.0, 2.0, (300, 4))
    fitted = Response.fitted(inputs, np.sin(inputs @ generator.random((4, 2))))
    asked, outputs = inputs[:9] * 0.8, np.array([1, 0])
    values, slopes = fitted.with_slopes(asked, outputs)
    np.testing.assert_allclose(values, fitted(asked)[:, outputs], rtol=1e-9)
    for place in range(4):
        nudge = 1e-6 * np.eye(4)[place]
        change = fitted(asked + nudge)[:, outputs] - fitted(asked - nudge)[:, outputs]
        np.testing.assert_allclose(slopes[:, :, place], change / 2e-6, atol=1e-6)


def test_inputs_of_rows_give_the_rows_back():
    """Rows made from the inputs of other rows have these inputs."""
    rows, others = draws(1), draws(2)
    base = Base.of(rows)
    made = rows_with(rows, base, row_inputs(base, others))
    np.testing.assert_allclose(made.arrival_j, others.arrival_j)
    np.testing.assert_allclose(row_inputs(base, made), row_inputs(base, others))


def test_readings_find_the_heat_and_narrow_it():
    """Three readings a brake leave the true heat inside, at part of the spread."""
    shown, stack = truly(EVEN, MINUTES)
    found = estimate(NETWORK, draws(), read(shown, MINUTES))
    low, high = np.quantile(heat_of(found), (0.02, 0.98))
    assert low < 1.0 < high
    assert found.narrowing.max() < 0.4
    at_20 = found.stack_k[:, 0, found.minute.searchsorted(20.0)]
    low, high = np.quantile(at_20, (0.02, 0.98))
    assert low < stack[0, 2] < high
    assert found.odd_readings == ()
    assert found.odd_brakes == ()


def test_one_early_reading_says_less_than_later_ones():
    """A reading two minutes after in-block narrows less than two later ones more."""
    early, late = (2.0,), (2.0, 12.0, 25.0)
    first = estimate(NETWORK, draws(), read(truly(EVEN, early)[0], early))
    more = estimate(NETWORK, draws(), read(truly(EVEN, late)[0], late))
    assert more.narrowing.max() < first.narrowing.max() < 0.9
    assert "lags" in first.text
    assert "lags" not in more.text


def test_hotter_brakes_read_hotter():
    """Readings of twice the heat leave more heat than any draw had before."""
    shown, _ = truly((1.9,) * 4, MINUTES)
    found = estimate(NETWORK, draws(), read(shown, MINUTES))
    assert np.median(heat_of(found)) > draws().arrival_j.max() / HEAT_J


def test_positions_not_read_follow_the_others():
    """Brakes without a reading move with those that have one, less surely."""
    shown, _ = truly((1.3,) * 4, MINUTES)
    one = read(shown[:1], MINUTES)
    found = estimate(NETWORK, draws(), one)
    assert np.median(heat_of(found, 3)) > 1.1
    assert found.narrowing[3] > found.narrowing[0]


def test_hottest_alone_is_the_highest_of_all():
    """A reading without position counts for whichever brake is hottest."""
    shown, _ = truly((0.9, 1.0, 1.0, 1.2), MINUTES)
    entries = [(60.0 * m, HOTTEST, shown[3, k]) for k, m in enumerate(MINUTES)]
    found = estimate(NETWORK, draws(), Readings.of(entries))
    most = found.rows.arrival_j.reshape(SAMPLES, -1).max(axis=1) / HEAT_J
    low, high = np.quantile(most, (0.02, 0.98))
    assert low < 1.2 < high


def test_a_fan_at_the_reading_is_no_cooler_brake():
    """The same brakes beside a fan are found as hot only when the fan is told."""
    fan = FanSpan(start_minute=1.0, end_minute=20.0, air_m_per_s=8.0)
    shown, _ = truly(EVEN, MINUTES, fan)
    readings = read(shown, MINUTES)
    told = estimate(NETWORK, draws(), readings, fans=(fan,))
    untold = estimate(NETWORK, draws(), readings)
    low, high = np.quantile(heat_of(told), (0.02, 0.98))
    assert low < 1.0 < high
    assert np.median(heat_of(untold)) < 0.9 * np.median(heat_of(told))
    assert "fan" in told.text


def test_without_readings_nothing_moves():
    """No reading leaves the draws as they came."""
    nothing = Readings.of([])
    found = estimate(NETWORK, draws(), nothing)
    np.testing.assert_allclose(found.rows.arrival_j, draws().arrival_j)
    np.testing.assert_allclose(found.rows.ambient_k, draws().ambient_k)
    assert "No reading" in found.text


def test_same_seed_same_draws():
    """Two calls with one seed agree, another seed differs."""
    readings = read(truly(EVEN, MINUTES)[0], MINUTES)
    first, second = (estimate(NETWORK, draws(), readings, seed=4) for _ in range(2))
    other = estimate(NETWORK, draws(), readings, seed=5)
    np.testing.assert_array_equal(first.heat_factor, second.heat_factor)
    assert not np.array_equal(first.heat_factor, other.heat_factor)


def test_order_of_readings_does_not_matter():
    """Shuffled readings leave the same middle."""
    readings = read(truly(EVEN, MINUTES)[0], MINUTES)
    order = np.random.default_rng(1).permutation(readings.count)
    first = estimate(NETWORK, draws(), readings)
    second = estimate(NETWORK, draws(), readings.select(order))
    middle = np.median(heat_of(first))
    assert np.median(heat_of(second)) == pytest.approx(middle, rel=0.02)


def test_unknown_brake_is_refused():
    """A brake that is not there is an error that names what there is."""
    with pytest.raises(ParameterError, match="-1 to 3"):
        estimate(NETWORK, draws(), Readings.of([(600.0, 4, 500.0)]))


def test_fan_span_needs_time():
    """A fan that ends before it starts is refused."""
    with pytest.raises(ParameterError, match="fan span"):
        FanSpan(start_minute=5.0, end_minute=5.0, air_m_per_s=8.0)


def test_plug_probability_grows_with_heat():
    """Hotter readings bring plugs nearer to release."""
    release = np.full((SAMPLES, 4), 410.0)
    shares = []
    for share in (0.6, 1.9):
        shown, _ = truly((share,) * 4, MINUTES)
        found = estimate(NETWORK, draws(), read(shown, MINUTES))
        shares.append(found.plug_probability(release)[0])
    assert shares[0] < 0.1
    assert shares[1] > 0.9


def named(found):
    """Odd readings by their number."""
    return {one.reading: one.oddity for one in found.odd_readings}


def even_readings(minutes=MINUTES):
    """Readings of four even brakes, brake after brake."""
    return read(truly(EVEN, minutes)[0], minutes)


def in_fahrenheit(kelvin):
    """What a display in the wrong unit is taken for, in kelvin."""
    return (kelvin - 273.15) * 1.8 + 32.0 + 273.15


@pytest.mark.parametrize("which", [[4], [3, 4, 5], list(range(12))])
def test_fahrenheit_is_named(which):
    """One reading, one brake or all of them in °F are named as that, and no others."""
    readings = even_readings()
    for number in which:
        wrong = in_fahrenheit(readings.shown_k[number])
        readings = changed(readings, number, wrong)
    found = estimate(NETWORK, draws(), readings)
    assert named(found) == dict.fromkeys(which, Oddity.FAHRENHEIT)


def test_a_frozen_value_is_named():
    """An indication that stays while the others rise and fall is left out."""
    minutes = (0.0, 4.0, 10.0, 30.0, 60.0)
    readings = even_readings(minutes)
    for number in range(6, 10):
        readings = changed(readings, number, float(readings.shown_k[5]))
    found = estimate(NETWORK, draws(), readings)
    assert {Oddity.FROZEN} == set(named(found).values())
    assert set(named(found)) <= {6, 7, 8, 9}
    assert len(named(found)) >= 3


def test_an_impossible_rise_is_named():
    """No brake brings the indicator up by 300 K within ten minutes of falling."""
    readings = even_readings((20.0, 30.0, 40.0))
    found = estimate(
        NETWORK, draws(), changed(readings, 5, float(readings.shown_k[4]) + 300.0)
    )
    assert named(found) == {5: Oddity.IMPOSSIBLE_RISE}


def test_swapped_positions_are_named_and_put_right():
    """Two brakes exchanged at one of three moments are found, the rest stays."""
    shown, _ = truly((1.0, 1.0, 1.0, 1.5), MINUTES)
    shown[[2, 3], 1] = shown[[3, 2], 1]
    found = estimate(NETWORK, draws(), read(shown, MINUTES))
    assert named(found) == {7: Oddity.SWAPPED, 10: Oddity.SWAPPED}
    assert {one.reading: one.other_brake for one in found.odd_readings} == {7: 3, 10: 2}
    assert found.used.size == 12


def test_a_fault_is_named_with_what_was_expected():
    """One value far below the others of its brake is left out."""
    readings = even_readings()
    right = float(readings.shown_k[7])
    found = estimate(NETWORK, draws(), changed(readings, 7, right - 130.0))
    assert named(found) == {7: Oddity.FAULT}
    assert found.odd_readings[0].expected_k == pytest.approx(right, abs=20.0)


def test_colder_than_the_air_is_outside():
    """A display far below the air is left out as such."""
    found = estimate(NETWORK, draws(), changed(even_readings(), 0, 250.0))
    assert named(found) == {0: Oddity.OUT_OF_RANGE}


@pytest.mark.parametrize(("share", "idle"), [(1.5, False), (0.0, True)])
def test_odd_brakes_are_found(share, idle):
    """A brake with half as much again, or nothing, is the only one named."""
    shown, _ = truly((1.0, share, 1.0, 1.0), MINUTES)
    found = estimate(NETWORK, draws(), read(shown, MINUTES))
    assert [one.brake for one in found.odd_brakes] == [1]
    odd = found.odd_brakes[0]
    assert odd.is_idle is idle
    assert odd.probability > 0.95
    assert odd.share_range[0] - 0.05 <= share <= odd.share_range[1]


def test_a_late_rise_is_named():
    """An indication that rises an hour after the stop belongs to a brake that drags."""
    minutes = (70.0, 80.0, 90.0)
    shown, _ = truly(EVEN, minutes)
    shown[2] += np.array([0.0, 50.0, 110.0])
    found = estimate(NETWORK, draws(), read(shown, minutes))
    assert found.rising == (2,)
    calm = estimate(NETWORK, draws(), read(truly(EVEN, minutes)[0], minutes))
    assert calm.rising == ()


def test_draws_stay_aligned_with_what_was_not_estimated():
    """Departure heats and wear of each draw are those it came with."""
    given = replace(draws(), stop_j=np.arange(SAMPLES * 4.0) + 1e6)
    found = estimate(NETWORK, given, even_readings())
    np.testing.assert_array_equal(found.rows.stop_j, given.stop_j)
    np.testing.assert_array_equal(found.rows.sample, given.sample)
