"""Actions of the fan crew: bring and start each fan, stop it and take it away.

A fan that is not remote sends people to a wheel. Where the figures do not meet the
operator's approach threshold by then, no such action is given.
"""

from collections.abc import Iterator, Mapping

from scheduler.choices import CTOT_LATE_MINUTES
from scheduler.clock import Clock
from scheduler.day import Day, FanType, Turnaround
from scheduler.plan import Action, FanJob, PlannedTurnaround
from scheduler.report.fan_units import FanUse, Key
from scheduler.report.words import units_text
from scheduler.windows import open_minutes

FAN_CREW = "fan crew"


def fan_actions(
    day: Day, row: PlannedTurnaround, given: Turnaround, following: Mapping[Key, FanUse]
) -> Iterator[Action]:
    """Start and stop of every fan job of one turnaround.

    ``following`` maps jobs to those that need their units next.
    """
    for job in row.fan_jobs:
        fan = day.fan(job.fan_type)
        if fan.remote or _may_approach(row, job.start_minute - fan.setup_minutes):
            yield _start(day, row, given, job)
            yield _stop(day.clock, row, job, fan, following.get((row.id, job)))


def _may_approach(row: PlannedTurnaround, minute: int) -> bool:
    return row.approach_minute is not None and row.approach_minute <= minute


def _start(day: Day, row: PlannedTurnaround, given: Turnaround, job: FanJob) -> Action:
    fan = day.fan(job.fan_type)
    brakes = _brakes_text(day, given, fan, job)
    air = f"start the air at {day.clock.short(job.start_minute)}{brakes}"
    fans = units_text(job)
    what = f"Move {fans} to stand {row.stand}, {air}"
    return Action(
        minute=job.start_minute - fan.setup_minutes,
        do_by_minute=job.start_minute,
        what=f"Switch on {fans}, {air}" if fan.remote else what,
        who=FAN_CREW,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_without_fan(day, row, given),
    )


def _brakes_text(day: Day, given: Turnaround, fan: FanType, job: FanJob) -> str:
    """Positions that the air is for, where it does not reach all brakes."""
    if fan.brakes_per_unit is None:
        return ""
    from scheduler.cases.reach import reached_brakes

    reached = reached_brakes(day, given, fan, job.units)
    if reached.all():
        return ""
    positions = day.tail_of(given).positions
    names = [
        name for name, is_cooled in zip(positions, reached, strict=True) if is_cooled
    ]
    return f" at {'brake' if len(names) == 1 else 'brakes'} {', '.join(names)}"


def _without_fan(day: Day, row: PlannedTurnaround, given: Turnaround) -> str:
    still = row.brake_ready_still_air_minute
    if still is None:
        return "without the fan no off-block was found that meets the brake limits"
    without = "the fan" if row.rollout is None else "fan and longer rollout"
    ready = f"without {without} the brakes are ready at {day.clock.short(still)}"
    off_block = open_minutes(day, given, (still,)).start
    if row.off_block_minute is None or off_block <= row.off_block_minute:
        return f"{ready}, which costs no delay"
    lost = _lost(day, given, off_block)
    late = f"off-block {off_block - row.off_block_minute} min later"
    return f"{ready}: {lost or late}"


def _lost(day: Day, given: Turnaround, off_block: int) -> str:
    """Curfew or slot that a later off-block would run into; empty if none."""
    take_off = off_block + day.taxi_out_minutes(given)
    for curfew in day.station.curfews:
        if curfew.forbids(off_block, take_off):
            start = day.clock.short(curfew.from_minute)
            return f"it would fall into the curfew from {start}"
    ctot = given.departure.ctot_minute
    if ctot is not None and take_off > ctot + CTOT_LATE_MINUTES:
        return f"it would miss its slot {day.clock.short(ctot)}"
    return ""


def _stop(
    clock: Clock,
    row: PlannedTurnaround,
    job: FanJob,
    fan: FanType,
    following: FanUse | None,
) -> Action:
    fans = units_text(job)
    end = clock.short(job.end_minute)
    away = f"Stop the air at {end}, take {fans} away from stand {row.stand}"
    return Action(
        minute=job.end_minute,
        do_by_minute=job.end_minute + fan.removal_minutes,
        what=f"Switch off {fans} at {end}" if fan.remote else away,
        who=FAN_CREW,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_late_removal(clock, row, following),
    )


def _late_removal(
    clock: Clock, row: PlannedTurnaround, following: FanUse | None
) -> str:
    costs = []
    if row.off_block_minute is not None:
        time = clock.short(row.off_block_minute)
        costs.append(f"the aircraft cannot leave at {time} before it is away")
    if following is not None:
        start = clock.short(following.job.start_minute)
        costs.append(
            f"the fan job of {following.turnaround_id} on stand {following.stand} at "
            f"{start} starts late"
        )
    return " and ".join(costs) or "the fan is not free for the next aircraft"
