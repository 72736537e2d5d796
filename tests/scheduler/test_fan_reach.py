"""Which brakes a set of fan units cools."""

from dataclasses import replace

import pytest

from scheduler.cases.reach import reached_brakes
from scheduler.day import Day, FanType
from tests.sample_day import AIRCRAFT, DAY

LB101 = DAY.turnarounds[0]
PAIRS = replace(DAY.station.fans[0], brakes_per_unit=2)


def with_eight(*inoperative: str) -> Day:
    """The first tail with eight brakes, some of them locked out."""
    names = tuple("12345678")
    tails = tuple(
        replace(
            tail,
            positions=names,
            wear=(None,) * 8,
            inoperative=tuple(inoperative),
        )
        if tail.registration == LB101.tail
        else tail
        for tail in DAY.tails
    )
    return replace(DAY, aircraft=(replace(AIRCRAFT, brake_count=8),), tails=tails)


def cooled(day: Day, fan: FanType, units: int) -> list[int]:
    reached = reached_brakes(day, LB101, fan, units)
    return [place for place, is_reached in enumerate(reached) if is_reached]


@pytest.mark.parametrize("units", [1, 2, 3, 4])
def test_as_many_brakes_as_units_reach(units: int) -> None:
    """Brakes of the same planned energy by their place."""
    assert cooled(with_eight(), PAIRS, units) == list(range(2 * units))


def test_one_unit_cools_all_where_nothing_else_is_said() -> None:
    """A fan type without a number of brakes."""
    whole = replace(PAIRS, brakes_per_unit=None)
    assert cooled(with_eight(), whole, 1) == list(range(8))


def test_a_brake_that_does_not_brake_comes_last() -> None:
    """It takes no energy: the others are cooled first."""
    day = with_eight("1", "3")
    assert cooled(day, PAIRS, 1) == [1, 3]
    assert cooled(day, PAIRS, 3) == [1, 3, 4, 5, 6, 7]
    assert cooled(day, PAIRS, 4) == list(range(8))
