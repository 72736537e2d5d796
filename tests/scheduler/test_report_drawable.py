"""What a plan carries only to be drawn: right beside its decisions, changing none."""

from dataclasses import fields, replace

import pytest
from numpy import interp

from scheduler.day import Day
from scheduler.options import Limit
from scheduler.plan import Curve, HeatSummary, Plan, PlannedTurnaround
from scheduler.readiness.planned import with_planned_heat
from scheduler.report import with_surroundings
from tests.scheduler.heated_day import heated_day, heated_plan

ONLY_DRAWN = {
    "aircraft",
    "landing_minute",
    "ctot_minute",
    "expected_ready_minute",
    "indication_minute",
    "indication_fan_minutes",
    "limits",
    "cooled",
}


@pytest.fixture(scope="module")
def day() -> Day:
    """A day whose aircraft have to leave before they are cool, with fans."""
    return heated_day(with_fans=True)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Its plan."""
    return heated_plan(with_fans=True)


@pytest.fixture(scope="module")
def drawn(plan: Plan, day: Day) -> Plan:
    """The same with everything that is only drawn."""
    return with_surroundings(with_planned_heat(plan, day), day)


def decided(plan: Plan) -> list[tuple[object, ...]]:
    """All that is not only drawn."""
    names = [f.name for f in fields(PlannedTurnaround) if f.name not in ONLY_DRAWN]
    return [tuple(getattr(row, n) for n in names) for row in plan.turnarounds]


def test_nothing_that_was_decided_changes(plan: Plan, drawn: Plan) -> None:
    """Minutes, fans, limits, heat: every other field stays as it was."""
    assert decided(drawn) == decided(plan)
    assert drawn.actions == plan.actions


def test_expected_brake_ready_is_never_behind_the_bound(drawn: Plan) -> None:
    """The middle of all ranges is ready no later than the safe side of them."""
    known = [row for row in drawn.turnarounds if row.expected_ready_minute is not None]
    assert known
    for row in known:
        assert row.brake_ready_minute is not None
        assert row.in_block_minute <= row.expected_ready_minute
        assert row.expected_ready_minute <= row.brake_ready_minute


def test_the_curve_behind_a_fan_begins_at_its_start_and_falls_below(
    drawn: Plan,
) -> None:
    """It leaves the still-air curve of its brake where the air starts."""
    blown = [row for row in drawn.turnarounds if row.cooled]
    assert blown
    for row in blown:
        (curve,) = row.cooled
        assert curve.minutes[0] == row.fan_jobs[0].start_minute
        still = _still(row.heat, curve.position)
        at_start = _at(still.minutes, still.stack_c, curve.minutes[0])
        assert curve.stack_c[0] == pytest.approx(at_start, abs=15.0)
        end = row.fan_jobs[0].end_minute
        at_end = _at(curve.minutes, curve.stack_c, end)
        assert at_end < _at(still.minutes, still.stack_c, end)


def _still(heat: HeatSummary | None, position: str) -> Curve:
    assert heat is not None
    return next(curve for curve in heat.curves if curve.position == position)


def _at(minutes: tuple[int, ...], values: tuple[float, ...], minute: int) -> float:
    return float(interp(minute, minutes, values))


def test_rows_that_cool_as_published_are_kept(
    plan: Plan, drawn: Plan, day: Day
) -> None:
    """Nothing is integrated again for rows that did not change."""
    marked = replace(
        drawn,
        turnarounds=tuple(
            row
            if row.expected_ready_minute is None
            else replace(row, expected_ready_minute=row.expected_ready_minute - 1)
            for row in drawn.turnarounds
        ),
    )
    again = with_planned_heat(plan, day, marked)
    assert [row.expected_ready_minute for row in again.turnarounds] == [
        row.expected_ready_minute for row in marked.turnarounds
    ]


def test_no_expected_minute_where_a_table_or_a_check_sets_it(
    plan: Plan, day: Day
) -> None:
    """A fixed minute has no spread."""
    rows = tuple(
        replace(row, binding_limit=Limit.TABLE, fan_jobs=()) for row in plan.turnarounds
    )
    found = with_planned_heat(replace(plan, turnarounds=rows), day)
    assert all(row.expected_ready_minute is None for row in found.turnarounds)


def test_the_place_comes_with_the_plan(drawn: Plan, day: Day) -> None:
    """Time zone, fans, age of data, types, landings and limits are there."""
    assert drawn.time_zone == day.station.time_zone
    assert [fan.name for fan in drawn.fans] == [fan.name for fan in day.station.fans]
    assert drawn.data_minute is not None
    assert drawn.program.startswith("heatslot")
    for row, given in zip(drawn.turnarounds, day.turnarounds, strict=True):
        assert row.landing_minute == day.landing_minute(given)
        assert row.aircraft == day.aircraft_of(given).name
        assert row.indication_minute >= row.in_block_minute
        assert {line.curve for line in row.limits} >= {"plug", "indicated", "stack"}


def test_data_are_never_newer_than_now(plan: Plan, day: Day) -> None:
    """A report after the plan's now does not make its data younger."""
    found = with_surroundings(plan, replace(day, now_minute=400))
    assert found.data_minute is None or found.data_minute <= 400


def test_rows_of_another_day_stay_as_they_are(plan: Plan, day: Day) -> None:
    """A plan that does not belong to the day is still drawn by whoever checks it."""
    row = replace(plan.turnarounds[0], id="unknown")
    found = with_surroundings(replace(plan, turnarounds=(row,)), day)
    assert found.turnarounds == (row,)
