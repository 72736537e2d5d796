"""Inspections before departure as work of the plan."""

from dataclasses import replace

import pytest

from scheduler.day import Basis, Duty, Finding, Found, PlugCheck, RejectedTakeOff, Task
from scheduler.inspection import inspection_duties, with_inspections
from scheduler.options import Option, OptionTable
from scheduler.plan import BrakeHeat, HeatSummary
from scheduler.readiness import HeatSettings, build_tables
from scheduler.solve import SolveConfig, plan_day
from tests.scheduler.heated_day import heated_day
from tests.scheduler.inspected_day import ID, landed_day

DAY = landed_day()
ONE = DAY.turnarounds[0]
POSITIONS = DAY.tail_of(ONE).positions
APPROACH = ONE.in_block_minute + 20
STOP = RejectedTakeOff(turnaround_id=ID, minute=ONE.in_block_minute - 8)
TABLE = OptionTable(
    turnaround_id=ID,
    approach_minute=APPROACH,
    options=(Option(ready_minute=APPROACH, binding=None),),
)


def heat(stack_c: float = 400.0, wheel_c: float = 100.0) -> HeatSummary:
    """Summary whose last brake has these peaks."""
    brakes = [
        BrakeHeat(
            position=name,
            energy_mj=20.0,
            stack_peak_c=400.0,
            wheel_peak_c=100.0,
            plug_peak_c=90.0,
            plug_peak_minute=APPROACH,
            release_probability=0.0,
        )
        for name in POSITIONS
    ]
    brakes[-1] = replace(brakes[-1], stack_peak_c=stack_c, wheel_peak_c=wheel_c)
    return HeatSummary(
        release_probability=0.0,
        plug_peak_c=90.0,
        plug_peak_minute=APPROACH,
        stack_peak_c=stack_c,
        binding_position=POSITIONS[0],
        binding_sample=0,
        brakes=tuple(brakes),
        curves=(),
        assumed=(),
    )


def test_calm_brakes_need_no_inspection():
    """Within all limits, or without heat, there is no work."""
    assert inspection_duties(DAY, TABLE, heat()) == ()
    assert inspection_duties(DAY, TABLE, None) == ()


@pytest.mark.parametrize(("stack_c", "wheel_c"), [(751.0, 100.0), (400.0, 201.0)])
def test_a_limit_passed_needs_one(stack_c, wheel_c):
    """One duty of the station's minutes, from the approach minute on."""
    (duty,) = inspection_duties(DAY, TABLE, heat(stack_c, wheel_c))
    assert (duty.task, duty.minutes) == (
        Task.INSPECTION,
        DAY.station.inspection_minutes,
    )
    assert duty.earliest_minute == APPROACH
    assert duty.reason.startswith(f"brakes to look at: {POSITIONS[-1]}: ")


def test_an_accelerate_stop_needs_one():
    """Whatever the heat."""
    (duty,) = inspection_duties(replace(DAY, rejected=(STOP,)), TABLE, None)
    assert duty.reason == "brakes to look at: accelerate-stop"


def test_where_nobody_may_approach_the_aircraft_stays():
    """The work begins at the end of the time that is looked at."""
    table = replace(TABLE, approach_minute=None)
    (duty,) = inspection_duties(DAY, table, heat(800.0))
    assert duty.earliest_minute == ONE.in_block_minute + DAY.station.hold_minutes


def test_a_look_that_was_logged_is_enough():
    """A finding at the brake, or after a stop a check, answers it."""
    look = Finding(
        turnaround_id=ID,
        minute=APPROACH,
        position=POSITIONS[-1],
        found=Found.NO_FINDING,
    )
    assert inspection_duties(replace(DAY, findings=(look,)), TABLE, heat(800.0)) == ()
    other = replace(look, position=POSITIONS[0])
    assert inspection_duties(replace(DAY, findings=(other,)), TABLE, heat(800.0))
    check = PlugCheck(turnaround_id=ID, minute=APPROACH)
    stopped = replace(DAY, rejected=(STOP,), checks=(check,))
    assert inspection_duties(stopped, TABLE, None) == ()


def test_work_is_asked_for_once():
    """Not where table or day have an inspection, nor of an aircraft that left."""
    duty = Duty(task=Task.INSPECTION, minutes=5, earliest_minute=APPROACH)
    assert inspection_duties(DAY, replace(TABLE, duties=(duty,)), heat(800.0)) == ()
    asked = replace(DAY, turnarounds=(replace(ONE, duties=(duty,)),))
    assert inspection_duties(asked, TABLE, heat(800.0)) == ()
    gone = replace(DAY, turnarounds=(replace(ONE, off_block_basis=Basis.ACTUAL),))
    assert inspection_duties(gone, TABLE, heat(800.0)) == ()


def test_tables_get_their_inspections():
    """The pairs keep their order and their summaries; other duties stay."""
    check = Duty(task=Task.PLUG_CHECK, minutes=5, earliest_minute=APPROACH)
    table = replace(TABLE, duties=(check,))
    summary = heat(800.0)
    ((changed, same),) = with_inspections(DAY, [(table, summary)])
    assert [duty.task for duty in changed.duties] == [Task.PLUG_CHECK, Task.INSPECTION]
    assert same is summary


def test_tables_forget_inspections_that_were_done():
    """Added again where nothing was logged, dropped where a look was."""
    first = with_inspections(DAY, [(TABLE, heat(800.0))])
    assert with_inspections(DAY, first) == first
    look = Finding(
        turnaround_id=ID,
        minute=APPROACH,
        position=POSITIONS[-1],
        found=Found.NO_FINDING,
    )
    ((table, _),) = with_inspections(replace(DAY, findings=(look,)), first)
    assert table.duties == ()


def test_a_plan_keeps_them():
    """The work is planned after the approach minute, before off-block, and verified."""
    day = heated_day(with_fans=False)
    tables = build_tables(day, HeatSettings(seed=1, sample_count=512))
    table, summary = tables[0]
    brakes = (replace(summary.brakes[0], wheel_peak_c=205.0), *summary.brakes[1:])
    tables[0] = (table, replace(summary, brakes=brakes))
    plan = plan_day(
        day,
        SolveConfig(seconds=5, sample_count=512),
        tables=with_inspections(day, tables),
    ).plan
    row = plan.of(table.turnaround_id)
    (duty,) = [one for one in row.duties if one.task is Task.INSPECTION]
    assert duty.start_minute >= table.approach_minute
    assert duty.end_minute - duty.start_minute == day.station.inspection_minutes
    assert row.off_block_minute >= duty.end_minute
    assert "wheel to 205 °C, limit 200 °C" in duty.reason
    others = [one for one in plan.turnarounds if one.id != row.id]
    assert not any(
        duty.task is Task.INSPECTION for one in others for duty in one.duties
    )
