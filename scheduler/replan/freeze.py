"""What cannot move any more: the past, jobs that have begun, and the next minutes.

Enters: a day with its minute now, the published plan. Leaves: the day with pins. A pin
yields to the heat: where a limit breaks, the plan says which pin it does not keep.
"""

from collections.abc import Iterator
from dataclasses import replace

from scheduler.day import Basis, Day, Pin, Pinned, Turnaround
from scheduler.plan import Plan, PlannedTurnaround
from scheduler.windows import is_gone

FROZEN = "inside the frozen minutes"
BEGUN = "has begun"


def frozen_day(day: Day, published: Plan) -> Day:
    """Pin what the published plan has begun or does within the frozen minutes."""
    now = day.now_minute
    if now is None:
        return day
    rows = {row.id: row for row in published.turnarounds}
    pinned = {(pin.turnaround_id, pin.kind) for pin in day.pins}
    more = [
        pin
        for one in day.turnarounds
        if one.id in rows and not (is_gone(one) or one.cancelled)
        for pin in _pins(day, one, rows[one.id], now)
        if (pin.turnaround_id, pin.kind) not in pinned
    ]
    asked = [
        one.id
        for one in day.turnarounds
        if one.id in rows and _is_asked(one, rows[one.id], now)
    ]
    return replace(day, pins=(*day.pins, *more), asked_rollouts=tuple(asked))


def _is_asked(one: Turnaround, row: PlannedTurnaround, now: int) -> bool:
    """Whether the published plan had the longer rollout asked for by now."""
    deadline = row.rollout_deadline_minute
    is_due = row.rollout is not None and deadline is not None and deadline < now
    return is_due and one.in_block_basis is not Basis.ACTUAL


def _pins(day: Day, one: Turnaround, row: PlannedTurnaround, now: int) -> Iterator[Pin]:
    off_block = row.off_block_minute
    if off_block is not None and now <= off_block < now + day.station.freeze_minutes:
        yield Pin(
            turnaround_id=one.id,
            kind=Pinned.OFF_BLOCK,
            minute=off_block,
            reason=FROZEN,
            yields=True,
        )
    for job in row.fan_jobs:
        if job.start_minute - day.fan(job.fan_type).setup_minutes < now:
            yield Pin(
                turnaround_id=one.id,
                kind=Pinned.FAN,
                fan=job.fan_type,
                units=job.units,
                start_minute=job.start_minute,
                end_minute=job.end_minute if job.end_minute <= now else None,
                reason=BEGUN,
            )
