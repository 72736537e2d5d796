"""Minutes of the rows that come last, against each row by itself."""

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
from thermal.departure import Margin, StandCurve, first_minute
from thermal.leading import Asked, leading_minutes
from thermal.network import Network
from thermal.rows import Rows

LATEST = 240.0
COUNT = 24
SPARE = 1
# Steps are shared by a batch: a minute may fall on the other side of a whole one.
STEPS_MINUTES = 1.0


@cache
def waiting(name: str) -> tuple[Network, Rows, StandCurve]:
    """An aircraft at the stand after landings that differ in all that matters."""
    aircraft, network = aircraft_and_network(name)
    draw = np.random.default_rng(7)
    rows = normal_landing(aircraft, draw.uniform(0.0, 1.0, COUNT))
    for field in ("radiation_factor", "joint_factor", "convection_factor"):
        object.__setattr__(rows, field, draw.uniform(0.8, 1.2, COUNT))
    object.__setattr__(rows, "stop_j", rows.stop_j * draw.uniform(0.9, 1.1, COUNT))
    at_s = np.concatenate([np.arange(0.0, 20.0), np.arange(20.0, 245.0, 5.0)]) * 60
    curve = cool_rows(network, rows, landing_phases(rows, 15000.0), at_s)
    return network, rows, StandCurve.of(curve)


def asked(column: FloatArray, group: np.ndarray) -> Asked:
    """From in-block on, for four hours."""
    none = np.zeros(column.size)
    return Asked(
        column=column,
        group=group,
        earliest_minute=none,
        latest_minute=none + LATEST,
        offset_minute=none,
    )


@pytest.mark.parametrize("column", [Margin.STOPPING, Margin.PLUG, Margin.WHEEL_WELL])
@pytest.mark.parametrize("name", ["twin-72", "twin-52"])
def test_bound_is_that_of_each_row_by_itself(name: str, column: Margin) -> None:
    """Rows at the bound and above it are exact; no other comes near it."""
    network, rows, curve = waiting(name)
    columns, group = np.full(COUNT, column), np.zeros(COUNT, dtype=np.intp)
    alone = first_minute(network, rows, curve, columns, np.zeros(COUNT), LATEST)
    found = leading_minutes(network, rows, curve, asked(columns, group), SPARE)
    bound = np.sort(alone)[-1 - SPARE]
    assert np.sort(found)[-1 - SPARE] == pytest.approx(bound, abs=STEPS_MINUTES)
    leads = alone >= bound
    assert found[leads] == pytest.approx(alone[leads], abs=STEPS_MINUTES)
    assert (found[~leads] <= bound).all()


@pytest.mark.parametrize("column", [Margin.STOPPING, Margin.PLUG, Margin.WHEEL_WELL])
def test_all_rows_are_exact_where_asked_for(column: Margin) -> None:
    """Without a bound each row has its own minute."""
    network, rows, curve = waiting("twin-72")
    columns, group = np.full(COUNT, column), np.zeros(COUNT, dtype=np.intp)
    alone = first_minute(network, rows, curve, columns, np.zeros(COUNT), LATEST)
    found = leading_minutes(network, rows, curve, asked(columns, group), None)
    assert found == pytest.approx(alone, abs=STEPS_MINUTES)


def test_groups_have_bounds_of_their_own() -> None:
    """A group of cool rows is not passed over for a hot one."""
    network, rows, curve = waiting("twin-52")
    columns = np.full(COUNT, Margin.STOPPING)
    alone = first_minute(network, rows, curve, columns, np.zeros(COUNT), LATEST)
    group = (alone > np.median(alone)).astype(np.intp)
    found = leading_minutes(network, rows, curve, asked(columns, group), SPARE)
    for number in (0, 1):
        mine = group == number
        bound = np.sort(alone[mine])[-1 - SPARE]
        ours = np.sort(found[mine])[-1 - SPARE]
        assert ours == pytest.approx(bound, abs=STEPS_MINUTES)


def standing(minute: FloatArray, level_k: FloatArray) -> FloatArray:
    """Minute of the wheel well for a brake as warm all through as said."""
    network, rows = network_of("carbon-wide"), rows_like(1)
    state_k = np.repeat(level_k[None, :, None], len(network.nodes), axis=2)
    curve = StandCurve(minute=minute, state_k=state_k)
    column, group = np.array([Margin.WHEEL_WELL]), np.zeros(1, dtype=np.intp)
    return leading_minutes(network, rows, curve, asked(column, group), SPARE)


def test_what_fails_again_counts_from_the_last_failure() -> None:
    """Cool at first, hot again at two hours, then cool for good."""
    minute = np.array([0.0, 60.0, 100.0, 160.0, 300.0])
    level_k = np.array([400.0, 400.0, 900.0, 400.0, 400.0])
    assert 100.0 < standing(minute, level_k)[0] < 160.0


def test_what_never_holds_is_infinite_and_what_holds_at_once_is_zero() -> None:
    """A stack that stays hot has no minute, a cold one has the first."""
    minute = np.array([0.0, 300.0])
    assert standing(minute, np.full(2, 900.0))[0] == np.inf
    assert standing(minute, np.full(2, AIR_K))[0] == 0.0


def test_no_rows_give_no_minutes() -> None:
    """An empty batch is answered without a departure."""
    network, rows = network_of("carbon-wide"), rows_like(1)
    none = np.zeros(0, dtype=np.intp)
    curve = StandCurve(minute=np.arange(3.0), state_k=np.zeros((0, 3, 1)))
    question = asked(none, none)
    assert leading_minutes(network, rows.select(none), curve, question, 1).size == 0
