"""Fan jobs of fewer units than an aircraft has brakes for."""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from scheduler.cases import build_case
from scheduler.cases.reach import reached_brakes
from scheduler.day import Day, Landing
from scheduler.options import Option, OptionTable
from scheduler.plan import FanJob
from scheduler.readiness import tables_of
from scheduler.verify.witness import jobs_at, witness_of
from tests.benchmarks.heat_days import make_heat_day
from tests.benchmarks.readiness import HEAT_LIMITS, exact_minute
from thermal.catalogue import load_aircraft


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settings:
    seed: int = 7
    sample_count: int = 512


@cache
def day_with(pairs: int | None, sets: tuple[int, ...] = ()) -> Day:
    """A hot landing whose first two stacks are worn, so that they bind."""
    day = make_heat_day(1, 3)
    aircraft = load_aircraft("twin-52")
    tail = replace(
        day.tails[0],
        aircraft=aircraft.name,
        positions=("1", "2", "3", "4"),
        wear=(1.0, 1.0, 0.0, 0.0),
    )
    landing = Landing(
        weight_kg=0.9 * aircraft.maximum_landing_kg, deceleration_m_per_s2=1.9
    )
    one = replace(
        day.turnarounds[0],
        landing=landing,
        departure=replace(
            day.turnarounds[0].departure,
            take_off_weight_kg=0.95 * aircraft.maximum_take_off_kg,
        ),
    )
    fans = tuple(
        replace(fan, brakes_per_unit=pairs, sets=sets, units=4)
        for fan in day.station.fans
    )
    return replace(
        day,
        station=replace(day.station, fans=fans),
        tails=(tail,),
        turnarounds=(one,),
    )


@cache
def table_of(pairs: int | None, sets: tuple[int, ...] = ()) -> OptionTable:
    found = tables_of(day_with(pairs, sets), [0], _Settings())
    return next(iter(found.values()))[0]


def by_window(table: OptionTable, units: int) -> dict[tuple[int, int], int]:
    """Ready minutes of the fan jobs with so many units."""
    return {
        (option.start_minute or 0, option.end_minute or 0): option.ready_minute or 9999
        for option in table.options[1:]
        if option.units == units
    }


def test_every_number_of_units_allowed_is_offered() -> None:
    """A pair of brakes to each unit: one cools half of them, two cool all."""
    assert {option.units for option in table_of(2).options[1:]} == {1, 2}
    assert {option.units for option in table_of(2, (2,)).options[1:]} == {2}
    assert {option.units for option in table_of(None).options[1:]} == {1}


def test_a_full_set_is_what_one_unit_for_all_brakes_is() -> None:
    """Same minutes, other number of units."""
    assert by_window(table_of(2), 2) == by_window(table_of(None), 1)


def test_a_part_is_between_still_air_and_all() -> None:
    """Never ready before the full set in the same minutes, always before still air."""
    part, whole = by_window(table_of(2), 1), by_window(table_of(2), 2)
    still = table_of(2).still_air.ready_minute
    assert still is not None
    assert part
    for window, ready in part.items():
        assert whole[window] <= ready < still


@pytest.mark.parametrize("number", [0, 7, -1])
def test_brute_force_finds_the_same_minute(number: int) -> None:
    """Every sample and brake, those left out in still air, minute by minute."""
    day, table = day_with(2), table_of(2)
    partial = [
        option
        for option in table.options[1:]
        if option.units == 1 and option.binding in HEAT_LIMITS
    ]
    option = partial[number]
    exact = exact_minute(day, day.turnarounds[0], option, _Settings())
    assert exact is not None
    assert 0 <= (option.ready_minute or 0) - exact <= 1


def job_of(option: Option) -> FanJob:
    return FanJob(
        fan_type=option.fan or "",
        units=option.units,
        start_minute=option.start_minute or 0,
        end_minute=option.end_minute or 0,
    )


def test_the_second_integration_leaves_the_others_in_still_air() -> None:
    """A brake that the air does not reach is as warm as without a fan."""
    day, table = day_with(2), table_of(2)
    one = day.turnarounds[0]
    option = next(item for item in table.options[1:] if item.units == 1)
    jobs = (job_of(option),)
    case = build_case(day, one, sample_count=64, seed=7)
    reached = reached_brakes(day, one, day.station.fans[0], 1)
    assert reached.tolist() == [True, True, False, False]
    off_block = option.ready_minute or 0
    for brake in range(4):
        blown, still = (
            witness_of(day, case, brake, given, off_block).history.node_k("rotor 2")
            for given in (jobs, ())
        )
        assert len(jobs_at(day, case, brake, jobs)) == reached[brake]
        assert np.array_equal(blown, still) is not bool(reached[brake])
