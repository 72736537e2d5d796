"""Which flights of a plan get a load trade, and that it is the curve of the plan."""

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import pytest

from scheduler.day import Day
from scheduler.files import read_scenario
from scheduler.options import Limit, Option
from scheduler.plan import Plan, PlannedTurnaround
from scheduler.readiness import tables_of
from scheduler.solve import SolveConfig
from scheduler.tradeoff import Point, planned, with_load_trades
from tests.drawn_plans import drawn_plan

SCENARIO = Path(__file__).parents[2] / "scenarios" / "small-field"
NAMES = ("S15", "S11")
DRAWN = drawn_plan(1)


@cache
def day() -> Day:
    """The shipped day of a handful of flights."""
    return read_scenario(SCENARIO)


@cache
def options() -> dict[str, Option]:
    """Still air of two flights."""
    ids = [one.id for one in day().turnarounds]
    tables = tables_of(day(), [ids.index(name) for name in NAMES], SolveConfig())
    return {name: tables[name][0].options[0] for name in NAMES}


def row_of(name: str, late_minutes: int) -> PlannedTurnaround:
    """A row in still air whose brakes are ready so much after its target."""
    option = options()[name]
    assert option.ready_minute is not None
    return replace(
        DRAWN.turnarounds[0],
        id=name,
        target_off_block_minute=option.ready_minute - late_minutes,
        brake_ready_minute=option.ready_minute,
        binding_limit=option.binding,
        off_block_minute=option.ready_minute,
        delay_minutes=late_minutes,
    )


def traded(*rows: PlannedTurnaround, most: int = 8) -> set[str]:
    """Flights that got a load trade."""
    plan = with_load_trades(plan_of(*rows), day(), most)
    return {row.id for row in plan.turnarounds if row.load_trade}


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """One point for every flight, without heat."""
    point = Point(
        take_off_weight_kg=5e4, earliest_off_block_minute=600, binding_limit=None
    )
    curve = SimpleNamespace(points=(point,), planned=None)
    monkeypatch.setattr(planned, "_curve", lambda plan, day, row: curve)


def plan_of(*rows: PlannedTurnaround) -> Plan:
    """A plan of these rows alone."""
    return replace(DRAWN, turnarounds=rows)


def test_the_planned_weight_leaves_at_brake_ready() -> None:
    """One point is the plan's own; minutes rise with weight, and none is lost."""
    row = row_of("S15", 10)
    (found,) = with_load_trades(plan_of(row), day()).turnarounds
    assert replace(found, load_trade=()) == row
    (own,) = [point for point in found.load_trade if point.planned]
    assert own.earliest_off_block_minute == row.brake_ready_minute
    one = next(one for one in day().turnarounds if one.id == "S15")
    assert own.take_off_weight_kg == one.departure.take_off_weight_kg
    assert len(found.load_trade) >= 5
    for light, heavy in pairwise(found.load_trade):
        assert light.take_off_weight_kg < heavy.take_off_weight_kg
        later = heavy.earliest_off_block_minute
        assert later is None or (light.earliest_off_block_minute or later + 1) <= later


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize(("late", "expected"), [(1, {"S15"}), (0, set())])
def test_brakes_that_are_ready_in_time_need_none(late: int, expected: set[str]) -> None:
    """From the first minute after the target off-block on."""
    assert traded(row_of("S15", late)) == expected


@pytest.mark.usefixtures("quick")
def test_the_largest_delay_comes_first_and_held_ones_before() -> None:
    """With room for one flight the held one has it, else the later one."""
    early, late = row_of("S15", 5), row_of("S11", 9)
    assert traded(early, late, most=1) == {"S11"}
    held = replace(early, off_block_minute=None, delay_minutes=None)
    assert traded(held, late, most=1) == {"S15"}
    assert traded(early, late, most=0) == set()


@pytest.mark.usefixtures("quick")
def test_no_weight_spares_a_check_of_the_plugs() -> None:
    """A flight that waits for one has no load trade."""
    row = replace(row_of("S15", 10), binding_limit=Limit.PLUG_CHECK)
    assert traded(row) == set()


def test_a_minute_that_the_day_does_not_give_has_none() -> None:
    """A row that is earlier than its heat allows is left without, the rest is told."""
    row = row_of("S15", 10)
    assert row.brake_ready_minute is not None
    wrong = replace(row, brake_ready_minute=row.brake_ready_minute - 8)
    assert traded(wrong, row_of("S11", 5)) == {"S11"}
