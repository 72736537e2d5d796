"""What a flight with work on its wheels waits for: plan and second look agree."""

from dataclasses import replace

import pytest

from scheduler.assemble import assemble
from scheduler.day import Duty, Task
from scheduler.decisions import Decision
from scheduler.options import Option
from scheduler.plan import Plan, PlannedDuty, Proof, WaitsFor
from scheduler.verify import Code, check_decisions
from tests.scheduler.small_days import day_of, flight, still, table

WORK = Duty(task=Task.INSPECTION, minutes=15, earliest_minute=600)
DAY = day_of(replace(flight("a"), duties=(WORK,)))
STILL: Option = still(620)
PROOF = Proof(
    objective=(0, 0, 0, 0), bound=(0, 0, 0, 0), gap=0.0, seconds=0.0, solver="none"
)


def plan_with(start: int, approach: int) -> Plan:
    """Plan of the flight whose inspection begins at a minute and ends at off-block."""
    work = PlannedDuty(
        task=Task.INSPECTION, crew=None, start_minute=start, end_minute=start + 15
    )
    decision = Decision(
        turnaround_id="a",
        option=STILL,
        off_block_minute=start + 15,
        duties=(work,),
    )
    tables = [table("a", STILL, approach=approach)]
    return assemble(DAY, tables, {}, [decision], PROOF, seed=1, sample_count=1)


@pytest.mark.parametrize(
    ("start", "approach", "reason"),
    [
        (640, 640, WaitsFor.CHECK),
        (650, 640, WaitsFor.CREW),
        (610, 600, WaitsFor.CREW),
    ],
)
def test_work_that_only_waits_for_the_approach_is_a_check(
    start: int, approach: int, reason: WaitsFor
) -> None:
    """Nobody could have begun before the figures let people go to the wheels."""
    plan = plan_with(start, approach)
    assert plan.of("a").waits_for is reason
    codes = {one.code for one in check_decisions(DAY, plan, None, with_heat=False)}
    assert Code.WAITS_FOR not in codes
