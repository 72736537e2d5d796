"""Parts of the page: axis, times, curves, lanes, risk, tasks, notices, marks."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from scheduler.plan import BrakeState, FanJob, PlannedTurnaround, Progress, Status
from scheduler.report.page.attention import notices
from scheduler.report.page.axis import day_axis, percent
from scheduler.report.page.cooling import cooling_of, part_of, value_at
from scheduler.report.page.lanes import lane_views
from scheduler.report.page.panel import panel_view
from scheduler.report.page.risk import risk_view
from scheduler.report.page.rows import brake_state, row_view
from scheduler.report.page.tables import (
    assumption_views,
    inspection_views,
    waiting_counts,
)
from scheduler.report.page.tasks import task_groups
from scheduler.report.page.times import Times, age_text
from tests.drawn_plans import FLEET, drawn_plan

PLAN = drawn_plan(24, 700)
TIMES = Times.of(PLAN)
AXIS = day_axis(PLAN, TIMES)


def with_fan() -> PlannedTurnaround:
    """A row that has a fan job."""
    return next(row for row in PLAN.turnarounds if row.fan_jobs)


def test_the_axis_holds_everything_and_begins_at_an_hour() -> None:
    """All minutes lie between nought and a hundred per cent, in their order."""
    for row in PLAN.turnarounds:
        for minute in (row.landing_minute, row.in_block_minute, row.take_off_minute):
            if minute is not None:
                assert AXIS.first <= minute <= AXIS.last
    assert AXIS.first % 60 == 0
    assert AXIS.span % 60 == 0


@pytest.mark.parametrize(
    ("minute", "place"), [(60, "0%"), (90, "25%"), (120, "50%"), (61, "0.83%")]
)
def test_minutes_become_per_cent(minute: int, place: str) -> None:
    """Places are as short as they can be."""
    assert percent(60, 120, minute) == place


def test_local_times_know_the_neighbouring_day() -> None:
    """23:30 UTC is half past one on the next day in Madrid's summer."""
    assert TIMES.local(23 * 60 + 30) == "01:30+1"
    assert TIMES.local(-180) == "23:00-1"
    assert Times.of(replace(PLAN, time_zone="Nowhere/Unknown")).local(60) == "01:00"


@pytest.mark.parametrize(
    ("minutes", "text"), [(5, "5 min"), (60, "1 h 00 min"), (-3, "0 min")]
)
def test_ages_are_worded(minutes: int, text: str) -> None:
    """Hours from sixty minutes on, and no age below nought."""
    assert age_text(minutes) == text


def test_values_between_points_lie_on_straight_lines() -> None:
    """Inside by interpolation, outside the end values; parts begin and end there."""
    line = ((0.0, 100.0), (10.0, 50.0), (20.0, 50.0))
    assert value_at(line, 5.0) == 75.0
    assert (value_at(line, -1.0), value_at(line, 30.0)) == (100.0, 50.0)
    assert part_of(line, 5.0, 15.0) == ((5.0, 75.0), (10.0, 50.0), (15.0, 50.0))
    assert part_of(line, 5.0, 5.0) == ()


def test_curves_turn_at_the_fan() -> None:
    """Until the fan they are those of still air, then fall below them."""
    row = with_fan()
    cooling = cooling_of(row)
    assert cooling is not None
    start = row.fan_jobs[0].start_minute
    stack = cooling.points["stack"]
    assert value_at(cooling.still_stack, start) == pytest.approx(
        value_at(stack, start), abs=1.0
    )
    later = row.fan_jobs[0].end_minute + 10
    assert value_at(stack, later) < value_at(cooling.still_stack, later) - 10.0
    minutes = [minute for minute, _ in stack]
    assert minutes == sorted(minutes)


def test_the_indication_does_not_count_early_or_beside_a_fan() -> None:
    """Broken from in-block until valid, and from the fan's start past its lag."""
    row = with_fan()
    cooling = cooling_of(row)
    assert cooling is not None
    first, second = cooling.early
    assert first == (row.in_block_minute, row.indication_minute)
    job = row.fan_jobs[0]
    assert second == (job.start_minute, job.end_minute + row.indication_fan_minutes)


def test_limits_are_labelled_lines_that_do_not_touch() -> None:
    """Each limit inside the drawing has its label, a line's height apart."""
    row = with_fan()
    numbers = {one.text: k for k, one in enumerate(assumption_views(PLAN))}
    panel = panel_view(row, cooling_of(row), AXIS, numbers)
    assert panel is not None
    assert {level.name for level in panel.levels} >= {"indicated limit", "plug limit"}
    heights = [level.label_y for level in panel.levels]
    assert all(b - a >= 6.0 for a, b in pairwise(heights))
    ends = [end.label_y for end in panel.ends]
    assert all(b - a >= 6.0 for a, b in pairwise(ends))
    assert all(0 < y < 100 for y in (*heights, *ends))


def test_curve_paths_give_their_points_back() -> None:
    """Start and steps add up to the minutes and degrees of the curve."""
    row = PLAN.turnarounds[0]
    numbers = {one.text: k for k, one in enumerate(assumption_views(PLAN))}
    cooling = cooling_of(row)
    panel = panel_view(row, cooling, AXIS, numbers)
    assert panel is not None
    assert cooling is not None
    path = next(line.path for line in panel.lines if line.kind == "stack")
    values = [int(text) for text in re.findall(r"-?\d+", path)]
    steps = list(zip(values[::2], values[1::2], strict=True))
    assert sum(x for x, _ in steps) == round(cooling.last) - AXIS.first
    assert -sum(y for _, y in steps) == round(cooling.points["stack"][-1][1])


def test_same_brakes_share_a_line() -> None:
    """Positions with the same figures are named together."""
    row = PLAN.turnarounds[0]
    assert row.heat is not None
    brakes = tuple(replace(row.heat.brakes[0], position=p) for p in ("1", "2"))
    numbers = {one.text: k for k, one in enumerate(assumption_views(PLAN))}
    alike = replace(row, heat=replace(row.heat, brakes=brakes))
    panel = panel_view(alike, cooling_of(alike), AXIS, numbers)
    assert panel is not None
    assert [brake.positions for brake in panel.brakes] == ["1, 2"]


def test_no_unit_is_in_two_places() -> None:
    """Jobs of one lane follow each other, and every unit of every job has a lane."""
    lanes = lane_views(PLAN, AXIS, TIMES)
    for lane in lanes:
        spans = [(stop.start.minute, stop.end.minute) for stop in lane.stops]
        assert all(a[1] <= b[0] for a, b in pairwise(spans))
    jobs = sum(job.units for row in PLAN.turnarounds for job in row.fan_jobs)
    assert sum(len(lane.stops) for lane in lanes) == jobs > 0


def test_a_job_of_two_units_takes_two_lanes() -> None:
    """Both units stand at the aircraft, the third one is free."""
    row = with_fan()
    both = replace(row, fan_jobs=(replace(row.fan_jobs[0], units=2),))
    plan = replace(PLAN, turnarounds=(both,), fans=(FLEET,))
    lanes = lane_views(plan, AXIS, TIMES)
    assert [len(lane.stops) for lane in lanes] == [1, 1, 0]
    assert lanes[2].next == "no further job"


def test_the_next_move_of_a_unit_is_named() -> None:
    """Where it goes, and by when it has to be there to be set up."""
    rows = [row for row in PLAN.turnarounds if row.fan_jobs][:2]
    plan = replace(
        PLAN, turnarounds=tuple(rows), fans=(replace(FLEET, units=1),), now_minute=None
    )
    (lane,) = lane_views(plan, AXIS, TIMES)
    there = rows[1].fan_jobs[0].start_minute - FLEET.setup_minutes
    by = TIMES.clock.short(there)
    assert lane.stops[0].next == f"move to stand {rows[1].stand} by {by}, {rows[1].id}"
    assert lane.stops[1].next == "no further job"


def test_older_plans_show_as_many_fans_as_they_used_at_once() -> None:
    """Without a fleet the lanes come from the jobs."""
    row = with_fan()
    job = FanJob(fan_type="old", units=1, start_minute=600, end_minute=620)
    other = replace(row, id="X", fan_jobs=(replace(job, start_minute=610),))
    plan = replace(PLAN, fans=(), turnarounds=(replace(row, fan_jobs=(job,)), other))
    assert [lane.name for lane in lane_views(plan, AXIS, TIMES)] == ["old 1", "old 2"]


def test_actions_are_grouped_by_when_they_are_due() -> None:
    """The next hour first, then later, then what was due before now; none is lost."""
    groups = task_groups(PLAN, TIMES)
    assert [group.kind for group in groups] == ["next", "later", "overdue"]
    assert sum(len(group.tasks) for group in groups) == len(PLAN.actions)
    soon, later, overdue = groups
    assert all(task.start.minute < 760 for task in soon.tasks)
    assert all(task.start.minute >= 760 for task in later.tasks)
    assert all(task.do_by.minute < 700 for task in overdue.tasks)


def test_before_the_day_the_first_hour_begins_with_the_first_action() -> None:
    """Nothing is overdue in a plan of a day that has not begun."""
    groups = task_groups(drawn_plan(24), TIMES)
    assert [group.kind for group in groups] == ["next", "later"]


def test_attention_names_held_flights_and_the_next_action() -> None:
    """A held aircraft stands before the next thing to do."""
    words = [notice.word for notice in notices(PLAN, TIMES)]
    assert words[0] == "held"
    assert words[-1] == "next"


def test_quiet_days_say_that_they_are() -> None:
    """Where nothing is wrong a line says what was looked at."""
    quiet = replace(PLAN, turnarounds=PLAN.turnarounds[:1], status=Status.OPTIMAL)
    assert notices(quiet, TIMES)[0].word == "nothing pressing"


def test_old_data_need_attention() -> None:
    """More than an hour after the newest report the page says so."""
    old = replace(PLAN, data_minute=700 - 75)
    texts = [notice.text for notice in notices(old, TIMES)]
    assert "The newest report or logged fact is 1 h 15 min old." in texts


def test_plug_risk_above_low_needs_attention_until_a_check() -> None:
    """Held at raised risk: keep clear; with an off-block: a check is logged."""
    row = next(r for r in PLAN.turnarounds if r.heat and r.heat.risk != "low")
    held = replace(
        row,
        off_block_minute=None,
        take_off_minute=None,
        delay_minutes=None,
        progress=Progress.IN_BLOCK,
    )
    texts = [it.text for it in notices(replace(PLAN, turnarounds=(held,)), TIMES)]
    assert any("Keep people clear of the wheels" in text for text in texts)
    freed = replace(row, progress=Progress.IN_BLOCK)
    words = [it.word for it in notices(replace(PLAN, turnarounds=(freed,)), TIMES)]
    assert "checked" in words


def test_risk_marks_rise_with_the_chance_and_carry_a_shape_word() -> None:
    """Higher chances stand higher; each mark has one of the four words."""
    view = risk_view(PLAN, AXIS, TIMES)
    heights = [float(mark.y.rstrip("%")) for mark in view.marks]
    assert heights == sorted(heights)
    assert {mark.word for mark in view.marks} <= {"low", "raised", "high", "released"}
    assert len(view.marks) == len(PLAN.turnarounds)


def test_the_inspection_list_has_planned_work_and_reasons() -> None:
    """Duties with crew and time, figures with their evidence, none said to be safe."""
    views = inspection_views(PLAN, TIMES)
    assert any(view.what == "inspection by line" for view in views)
    looked = next(view for view in views if view.evidence == "stack above 600 °C")
    assert looked.what.startswith("look at brake ")
    assert "operator's approach threshold" in looked.when


def test_assumptions_name_their_flights() -> None:
    """What holds for all is said once; the rest names who it is for."""
    first, second = assumption_views(PLAN)
    assert first.flights == "all 24 flights"
    assert second.flights.split(", ")[0] == "LB102"


def test_counts_by_what_flights_wait_for_add_up() -> None:
    """Every flight is counted once, those that wait for nothing last."""
    counts = waiting_counts(PLAN)
    assert sum(number for _, number in counts) == len(PLAN.turnarounds)
    assert counts[-1][0] == "nothing"


def test_a_row_says_its_marks_in_time_order() -> None:
    """Keys find landing first and take-off last, fans and checks between."""
    row = with_fan()
    view = row_view(row, cooling_of(row), AXIS, TIMES)
    minutes = [mark.minute for mark in view.marks]
    assert minutes == sorted(minutes)
    kinds = [mark.kind for mark in view.marks]
    assert kinds[0] == "l"
    assert {"f", "i", "o", "p", "r", "t", "x"} <= set(kinds)


@pytest.mark.parametrize(
    ("now", "state"),
    [(None, BrakeState.COOLING), (400, BrakeState.COOLING), (1500, "within limits")],
)
def test_brakes_cool_until_they_are_ready(now: int | None, state: str) -> None:
    """Their state goes by the plan's now, and before the day by in-block."""
    row = PLAN.turnarounds[8]
    assert row.brake_ready_minute is not None
    assert brake_state(row, now) == state
    assert brake_state(replace(row, brake_ready_minute=None), 1500) == "cooling"
    assert brake_state(replace(row, heat=None), now) == "unknown"


def test_a_held_row_has_no_diamond_and_a_hatched_band() -> None:
    """From its target on the row shows that no off-block is planned."""
    row = next(r for r in PLAN.turnarounds if r.off_block_minute is None)
    shapes = row_view(row, cooling_of(row), AXIS, TIMES).shapes
    assert shapes.off_block is None
    assert shapes.held_from == shapes.target
