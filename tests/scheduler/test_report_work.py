"""Actions for work on wheels, tow-offs and rollouts to ask for."""

from dataclasses import replace
from io import StringIO

import pytest
from rich.console import Console

from scheduler.day import Day, Task
from scheduler.options import Limit
from scheduler.plan import FanJob, PlannedDuty, PlannedTurnaround, WaitsFor
from scheduler.report.actions import actions
from scheduler.report.day_table import day_table, legend
from scheduler.report.departures import messages
from scheduler.report.words import reason_text
from scheduler.report.work_actions import rollout_actions, tow_actions, work_actions
from tests.sample_day import DAY, PLAN, at, row

CHECK = PlannedDuty(
    task=Task.PLUG_CHECK,
    crew="line",
    start_minute=at(14, 30),
    end_minute=at(14, 50),
    reason="plugs came near release",
)


def late(index: int = 0, **given: object) -> PlannedTurnaround:
    return row(index, off_block_minute=at(14, 55), **given)


def test_work_is_listed_with_its_crew_and_minutes() -> None:
    """At its planned start, by whoever is planned, never as safe to do."""
    inspection = replace(
        CHECK, task=Task.INSPECTION, crew=None, reason="rejected take-off"
    )
    (check, look) = work_actions(DAY, late(duties=(CHECK, inspection)))
    assert (check.minute, check.do_by_minute, check.who) == (
        at(14, 30),
        at(14, 30),
        "line",
    )
    assert check.what == (
        "Check fuse plugs and tyres (20 min, plugs came near release) when the "
        "operator's procedure allows an approach; log the finding"
    )
    assert check.missing_it == "it leaves at 14:55 only if this is logged by then"
    assert look.who == "maintenance"
    assert look.what.startswith("Inspect brakes and wheels (20 min, rejected take-off)")


def test_a_planned_check_is_listed_once() -> None:
    """Not a second time as a check that is still to be planned."""
    one = late(binding_limit=Limit.PLUG_CHECK, duties=(CHECK,))
    plan = replace(PLAN, turnarounds=(one, *PLAN.turnarounds[1:]))
    listed = [a for a in actions(plan, DAY) if a.turnaround_id == one.id]
    assert sum("Check fuse plugs" in action.what for action in listed) == 1


def test_an_inspection_alone_is_called_one() -> None:
    """A flight that waits for it is not told to wait for a plug check."""
    inspection = replace(CHECK, task=Task.INSPECTION, reason="rejected take-off")
    one = late(waits_for=WaitsFor.CHECK, duties=(inspection,))
    assert reason_text(one) == "maintenance has to finish first: inspection"
    assert reason_text(late(waits_for=WaitsFor.CHECK, duties=(CHECK,))) == (
        "maintenance has to check its fuse plugs and tyres first"
    )
    plan = replace(PLAN, turnarounds=(one, *PLAN.turnarounds[1:]))
    listed = [a.what for a in actions(plan, DAY) if a.turnaround_id == one.id]
    assert not any("fuse plugs" in what for what in listed)


def test_a_rollout_is_asked_for_by_its_deadline() -> None:
    """By the controller, before landing; stopping comes first."""
    asked = late(rollout="full length", rollout_deadline_minute=at(13, 5))
    (action,) = rollout_actions(DAY, asked)
    assert (action.minute, action.do_by_minute) == (at(12, 5), at(13, 5))
    assert action.who == "controller"
    assert "approach control and tower for a full length rollout" in action.what
    assert "stopping first" in action.what
    assert action.missing_it == "its brakes are ready at 13:50 without a fan"
    now = replace(DAY, now_minute=at(12, 50))
    assert [one.minute for one in rollout_actions(now, asked)] == [at(12, 50)]
    assert list(rollout_actions(DAY, late())) == []


@pytest.mark.parametrize("width", [80, 200])
def test_a_time_that_rests_on_a_rollout_says_so(width: int) -> None:
    """In the table, in its legend, for the gate and where the fan is missed."""
    asked = replace(
        PLAN.turnarounds[1],
        rollout="full length",
        brake_ready_still_air_minute=at(18, 50),
    )
    plan = replace(PLAN, turnarounds=(asked,))
    console = Console(width=width, file=StringIO())
    console.print(day_table(plan, width))
    text = console.file.getvalue()
    assert "full length" in text
    assert "(18:50)" in text
    assert "agree to it" in legend(plan)
    assert "agree to it" not in legend(replace(plan, turnarounds=(late(),)))
    (line,) = messages(plan)
    assert "(18:50 without fan and longer rollout)" in line
    missed = [one.missing_it for one in actions(plan, DAY)]
    assert any("without fan and longer rollout" in one for one in missed)
    alone = replace(asked, fan_jobs=())
    console.print(day_table(replace(plan, turnarounds=(alone,)), width))
    assert console.file.getvalue().count("(18:50)") == 2


def test_a_tow_is_due_before_the_next_arrival() -> None:
    """By buffer and towing minutes; only where the plan tows."""
    stands = tuple(replace(one, tow_off_minutes=15) for one in DAY.station.stands)
    day: Day = replace(DAY, station=replace(DAY.station, stands=stands))
    (action,) = tow_actions(day, late(1, towed=True))
    assert action.do_by_minute == at(15, 30) - 5 - 15
    assert action.missing_it == "the arrival due 15:30 has no stand"
    assert list(tow_actions(day, late(1))) == []


def test_a_part_set_names_its_brakes() -> None:
    """The ready minute counts on these brakes being cooled, and no others."""
    job = FanJob(
        fan_type="blower", units=1, start_minute=at(13, 55), end_minute=at(14, 25)
    )
    one = late(1, fan_jobs=(job,))
    plan = replace(PLAN, turnarounds=(one,))
    for reach, ending in ((None, "13:55"), (2, "13:55 at brakes 1, 2"), (4, "13:55")):
        fans = tuple(replace(fan, brakes_per_unit=reach) for fan in DAY.station.fans)
        day = replace(DAY, station=replace(DAY.station, fans=fans))
        starts = [a.what for a in actions(plan, day) if a.what.startswith("Move")]
        assert [what.endswith(ending) for what in starts] == [True]
