"""Actions of the fan crew: bring and start each fan, stop it and take it away.

A fan that is not remote sends people to a wheel. Where the figures do not meet the
operator's approach threshold by then, no such action is given.
"""

from collections.abc import Iterator

from scheduler.clock import Clock
from scheduler.day import Day, FanType
from scheduler.plan import Action, FanJob, Plan, PlannedTurnaround
from scheduler.report.words import units_text

FAN_CREW = "fan crew"
SOON_MINUTES = 30


def fan_actions(plan: Plan, day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    """Start and stop of every fan job of one turnaround."""
    for job in row.fan_jobs:
        fan = day.fan(job.fan_type)
        if fan.remote or _may_approach(row, job.start_minute - fan.setup_minutes):
            yield _start(day.clock, row, job, fan)
            yield _stop(plan, day, row, job)


def _may_approach(row: PlannedTurnaround, minute: int) -> bool:
    return row.approach_minute is not None and row.approach_minute <= minute


def _start(clock: Clock, row: PlannedTurnaround, job: FanJob, fan: FanType) -> Action:
    air = f"start the air at {clock.short(job.start_minute)}"
    fans = units_text(job)
    what = f"Move {fans} to stand {row.stand}, {air}"
    return Action(
        minute=job.start_minute - fan.setup_minutes,
        do_by_minute=job.start_minute,
        what=f"Switch on {fans}, {air}" if fan.remote else what,
        who=FAN_CREW,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_without_fan(clock, row),
    )


def _without_fan(clock: Clock, row: PlannedTurnaround) -> str:
    still = row.brake_ready_still_air_minute
    if still is None:
        return "without the fan no off-block was found that meets the brake limits"
    ready = f"without the fan the brakes are ready at {clock.short(still)}"
    if row.off_block_minute is None or still <= row.off_block_minute:
        return f"{ready}, which costs no delay"
    return f"{ready}: off-block {still - row.off_block_minute} min later"


def _stop(plan: Plan, day: Day, row: PlannedTurnaround, job: FanJob) -> Action:
    fan = day.fan(job.fan_type)
    fans = units_text(job)
    end = day.clock.short(job.end_minute)
    away = f"Stop the air at {end}, take {fans} away from stand {row.stand}"
    return Action(
        minute=job.end_minute,
        do_by_minute=job.end_minute + fan.removal_minutes,
        what=f"Switch off {fans} at {end}" if fan.remote else away,
        who=FAN_CREW,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_late_removal(plan, day, row, job),
    )


def _late_removal(plan: Plan, day: Day, row: PlannedTurnaround, job: FanJob) -> str:
    costs = []
    if row.off_block_minute is not None:
        time = day.clock.short(row.off_block_minute)
        costs.append(f"the aircraft cannot leave at {time} before it is away")
    following = _following(plan, day, job)
    if following is not None:
        other, start = following
        costs.append(
            f"the fan job of {other.id} on stand {other.stand} at "
            f"{day.clock.short(start)} starts late"
        )
    return " and ".join(costs) or "the fan is not free for the next aircraft"


def _following(
    plan: Plan, day: Day, job: FanJob
) -> tuple[PlannedTurnaround, int] | None:
    """First job of the same fan type that these units are needed for soon."""
    fan = day.fan(job.fan_type)
    free = job.end_minute + fan.removal_minutes + fan.move_minutes
    later = [
        (other.start_minute, row.id, row)
        for row in plan.turnarounds
        for other in row.fan_jobs
        if other.fan_type == job.fan_type
        and 0 <= other.start_minute - fan.setup_minutes - free <= SOON_MINUTES
    ]
    if not later:
        return None
    start, _, row = min(later, key=lambda entry: entry[:2])
    return row, start
