"""Actions of crews at the stand, and what is asked of others before a landing.

Enters: a row of the plan. Leaves: work with its planned minutes, a tow-off, a longer
rollout to ask for.
"""

from collections.abc import Iterator

from scheduler.day import Day, Task
from scheduler.plan import Action, PlannedDuty, PlannedTurnaround
from scheduler.report.check_actions import MAINTENANCE

CONTROLLER = "controller"
TOWING = "towing crew"
ASK_MINUTES = 60
_WHAT = {
    Task.PLUG_CHECK: "Check fuse plugs and tyres",
    Task.INSPECTION: "Inspect brakes and wheels",
    Task.WHEEL_CHANGE: "Change the wheel",
}


def work_actions(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    """Work on the wheels in its planned minutes, by its crew where one is named."""
    for duty in row.duties:
        yield Action(
            minute=duty.start_minute,
            do_by_minute=duty.start_minute,
            what=_work(duty),
            who=duty.crew or MAINTENANCE,
            stand=row.stand,
            turnaround_id=row.id,
            missing_it=_unless_done(day, row),
        )


def _work(duty: PlannedDuty) -> str:
    minutes = duty.end_minute - duty.start_minute
    because = f", {duty.reason}" if duty.reason else ""
    return (
        f"{_WHAT[duty.task]} ({minutes} min{because}) when the operator's procedure "
        "allows an approach; log the finding"
    )


def _unless_done(day: Day, row: PlannedTurnaround) -> str:
    if row.off_block_minute is None:
        return "it stays held"
    leaves = day.clock.short(row.off_block_minute)
    return f"it leaves at {leaves} only if this is logged by then"


def tow_actions(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    """Tow an aircraft away in time for the next arrival on its stand."""
    minutes = day.station.stand_buffer_minutes
    following = [
        one.in_block_minute
        for one in day.turnarounds
        if one.stand == row.stand and one.in_block_minute > row.in_block_minute
    ]
    stand = next(one for one in day.station.stands if one.name == row.stand)
    if not row.towed or not following or stand.tow_off_minutes is None:
        return
    start = min(following) - minutes - stand.tow_off_minutes
    yield Action(
        minute=max(start, row.in_block_minute),
        do_by_minute=max(start, row.in_block_minute),
        what=f"Tow {row.id} off stand {row.stand} ({stand.tow_off_minutes} min)",
        who=TOWING,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=f"the arrival due {day.clock.short(min(following))} has no stand",
    )


def rollout_actions(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    """Ask for the longer rollout that the plan counts on, before the landing."""
    deadline = row.rollout_deadline_minute
    if row.rollout is None or deadline is None:
        return
    yield Action(
        minute=min(max(day.now_minute or 0, deadline - ASK_MINUTES), deadline),
        do_by_minute=deadline,
        what=(
            f"Ask crew, approach control and tower for a {row.rollout} rollout: last "
            "exit, gentle braking, stopping first; plan again if it is refused"
        ),
        who=CONTROLLER,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_without_rollout(day, row),
    )


def _without_rollout(day: Day, row: PlannedTurnaround) -> str:
    still = row.brake_ready_still_air_minute
    if still is None:
        return "its brakes may hold it: no time is known without the longer rollout"
    return f"its brakes are ready at {day.clock.short(still)} without a fan"
