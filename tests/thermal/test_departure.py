"""From which minute on a limit holds, against looking at every quarter of a minute."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from tests.brake_days import (
    AIR_K,
    aircraft_and_network,
    cool_rows,
    landing_phases,
    network_of,
    normal_landing,
    rows_like,
)
from thermal.arrays import FloatArray
from thermal.departure import (
    Margin,
    StandCurve,
    departure_margins_k,
    first_minute,
    indicated_minute,
    not_assessed,
)
from thermal.network import Network
from thermal.rows import Rows

LATEST = 240.0
WEAR = np.array([0.0, 0.4, 0.7, 1.0])
# Margins fall by about a kelvin a minute; batches differ by a few tenths of one.
NOISE_MINUTES = 0.35


@cache
def waiting(name: str) -> tuple[Network, Rows, StandCurve]:
    """An aircraft at the stand after a normal landing, more heated by a heavy stop."""
    aircraft, network = aircraft_and_network(name)
    rows = normal_landing(aircraft, WEAR)
    rows = replace(rows, stop_j=1.05 * rows.stop_j)
    at_s = np.concatenate([np.arange(0.0, 60.0, 2.0), np.arange(60.0, 245.0, 5.0)]) * 60
    curve = cool_rows(network, rows, landing_phases(rows, 15000.0), at_s)
    return network, rows, StandCurve.of(curve)


def every_quarter(
    network: Network, rows: Rows, curve: StandCurve, row: int, near: float
) -> tuple[FloatArray, FloatArray]:
    """Stopping margins of one row each quarter of a minute near one, else every six."""
    beside = near + np.arange(-4.0, 4.0, 0.25)
    minute = np.unique(np.append(np.arange(0.0, LATEST + 0.1, 6.0), beside))
    minute = minute[minute >= 0.0]
    which = np.full(minute.size, row)
    state_k = curve.at(which, minute)
    found = departure_margins_k(network, rows.select(which), state_k, minute)
    return minute, found[:, Margin.STOPPING]


@pytest.mark.parametrize("name", ["twin-72", "twin-52"])
def test_stopping_holds_from_the_minute_found(name: str) -> None:
    """Never before it holds, and less than a minute late, for each wear."""
    network, rows, curve = waiting(name)
    column = np.full(WEAR.size, Margin.STOPPING)
    found = first_minute(network, rows, curve, column, np.zeros(WEAR.size), LATEST)
    assert (np.diff(found) > 0.0).all()
    for row in range(WEAR.size):
        minute, margin = every_quarter(network, rows, curve, row, found[row])
        last_failing = minute[margin < 0.0].max(initial=0.0)
        assert found[row] >= last_failing - NOISE_MINUTES
        assert found[row] < last_failing + 1.0 + NOISE_MINUTES


def test_limits_that_hold_at_once_hold_from_the_earliest_minute() -> None:
    """The wheel well of a cool brake is no reason to wait."""
    network, rows = network_of("carbon-wide"), rows_like(3)
    state_k = np.full((3, 2, len(network.nodes)), AIR_K)
    curve = StandCurve(minute=np.array([0.0, 300.0]), state_k=state_k)
    earliest = np.array([0.0, 7.0, 30.0])
    for column in (Margin.STOPPING, Margin.PLUG, Margin.WHEEL_WELL):
        found = first_minute(network, rows, curve, np.full(3, column), earliest, LATEST)
        assert found == pytest.approx(earliest)


def test_limits_that_never_hold_give_infinity() -> None:
    """A stack that stays hot has no minute."""
    network, rows = network_of("carbon-wide"), rows_like(1)
    state_k = np.full((1, 2, len(network.nodes)), 900.0)
    curve = StandCurve(minute=np.array([0.0, 300.0]), state_k=state_k)
    found = first_minute(
        network, rows, curve, np.array([Margin.WHEEL_WELL]), np.zeros(1), LATEST
    )
    assert found == np.inf


def test_a_limit_that_fails_again_counts_from_the_last_failure() -> None:
    """Cool at first, hot again at two hours, then cool for good."""
    network, rows = network_of("carbon-wide"), rows_like(1)
    minute = np.array([0.0, 60.0, 100.0, 160.0, 300.0])
    level_k = np.array([400.0, 400.0, 900.0, 400.0, 400.0])
    state_k = np.repeat(level_k[None, :, None], len(network.nodes), axis=2)
    curve = StandCurve(minute=minute, state_k=state_k)
    found = first_minute(
        network, rows, curve, np.array([Margin.WHEEL_WELL]), np.zeros(1), LATEST
    )
    assert 100.0 < found[0] < 160.0


def test_stand_curve_is_linear_between_its_instants() -> None:
    """Each row at its own minute."""
    state_k = np.array([[[300.0], [400.0]], [[500.0], [300.0]]])
    curve = StandCurve(minute=np.array([0.0, 10.0]), state_k=state_k)
    found = curve.at(np.array([0, 1, 1]), np.array([2.5, 5.0, 10.0]))
    assert found[:, 0] == pytest.approx([325.0, 400.0, 300.0])


def test_more_gear_down_minutes_make_the_wheel_well_cooler() -> None:
    """Rows whose gear stays down longer are looked at when it comes up."""
    network, rows = network_of("carbon-narrow"), rows_like(3)
    rows = replace(rows, gear_down_s=np.array([0.0, 300.0, 600.0]))
    state_k = np.full((3, len(network.nodes)), 650.0)
    margins = departure_margins_k(network, rows, state_k, np.zeros(3))
    assert (np.diff(margins[:, Margin.WHEEL_WELL]) > 5.0).all()


def test_indication_counts_only_once_valid_and_for_good() -> None:
    """The last minute above the limit decides, then the lag."""
    brake = network_of("carbon-narrow").brake
    limit_k, minute = brake.limits.indicated_k, np.arange(5.0) * 10.0
    above, below = limit_k + 1.0, limit_k - 1.0
    indicated_k = np.array(
        [
            [below, above, above, below, below],
            [below, below, below, below, below],
            [below, above, below, above, above],
        ]
    )
    valid = np.array([15.0, 15.0, 15.0])
    found = indicated_minute(brake, minute, indicated_k, valid)
    assert found == pytest.approx([30.0, 15.0, np.inf])


def test_limits_without_a_figure_are_named() -> None:
    """What the brake data leave open is said, not passed over."""
    brake = network_of("carbon-narrow").brake
    bare = replace(
        brake,
        limits=replace(brake.limits, housing_k=None, bead_k=None, wheel_k=None),
    )
    assert not_assessed(bare) == ("piston housing", "tyre bead", "wheel")
    assert not_assessed(brake) == ()
