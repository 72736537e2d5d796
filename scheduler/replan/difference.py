"""What a new plan changes against the published one, and why.

Enters: day, published plan, new plan. Leaves: one `Change` per row and thing that
differs, those that move most first.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.day import Day
from scheduler.plan import (
    FanJob,
    Plan,
    PlannedDuty,
    PlannedTurnaround,
    Progress,
    WaitsFor,
)

ROOM = "makes room for others"
_GONE = (Progress.OFF_BLOCK, Progress.AIRBORNE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing that differs: in words before and after, minutes for off-block.

    ``minutes`` is positive where the aircraft goes later, None where it is held before
    or after, or where the change is not one of time.
    """

    turnaround_id: str
    what: str
    before: str
    after: str
    minutes: int | None
    reason: str


def differences(
    day: Day, published: Plan, plan: Plan, touched: frozenset[str] = frozenset()
) -> tuple[Change, ...]:
    """List the changes; ``touched`` are turnarounds whose inputs changed."""
    rows = {row.id: row for row in published.turnarounds}
    changes = [
        change
        for row in plan.turnarounds
        if row.id in rows and row.progress not in _GONE
        for change in _changes(day, rows[row.id], row, row.id in touched)
    ]
    return tuple(
        sorted(changes, key=lambda it: (-abs(it.minutes or 0), it.turnaround_id))
    )


def _changes(
    day: Day, before: PlannedTurnaround, after: PlannedTurnaround, touched: bool
) -> Iterator[Change]:
    reason = _reason(day, before, after, touched=touched)
    pairs = (
        ("off-block", _minute(day, before), _minute(day, after)),
        ("fan job", _jobs(day, before.fan_jobs), _jobs(day, after.fan_jobs)),
        ("work", _work(day, before.duties), _work(day, after.duties)),
        ("rollout", before.rollout or "as planned", after.rollout or "as planned"),
    )
    for what, old, new in pairs:
        if old != new:
            yield Change(
                turnaround_id=after.id,
                what=what,
                before=old,
                after=new,
                minutes=_moved(before, after) if what == "off-block" else None,
                reason=reason,
            )


def _moved(before: PlannedTurnaround, after: PlannedTurnaround) -> int | None:
    old, new = before.off_block_minute, after.off_block_minute
    return None if old is None or new is None else new - old


def _reason(
    day: Day, before: PlannedTurnaround, after: PlannedTurnaround, *, touched: bool
) -> str:
    """Reason of a change: the flight's own, or another one's."""
    still_air = before.brake_ready_still_air_minute, after.brake_ready_still_air_minute
    reasons = (
        (after.off_block_minute is None, "has no off-block that keeps every rule"),
        (before.in_block_minute != after.in_block_minute, "in-block has changed"),
        (
            before.target_off_block_minute != after.target_off_block_minute,
            "target off-block has changed",
        ),
        (still_air[0] != still_air[1], "its brakes are ready at another time"),
        (_is_pinned(day, after.id), "is pinned"),
        (_is_overdue(day, before), "its published time has passed on stand"),
        (touched, "what is known of it has changed"),
        (after.waits_for is WaitsFor.NOTHING, "can go at its target now"),
    )
    return next((text for holds, text in reasons if holds), ROOM)


def _is_pinned(day: Day, name: str) -> bool:
    """Whether people want something kept for this flight."""
    return any(pin.turnaround_id == name for pin in day.pins)


def _is_overdue(day: Day, before: PlannedTurnaround) -> bool:
    """Whether the aircraft should have left by now."""
    old, now = before.off_block_minute, day.now_minute
    return old is not None and now is not None and old < now


def _minute(day: Day, row: PlannedTurnaround) -> str:
    minute = row.off_block_minute
    return "held" if minute is None else day.clock.short(minute)


def _jobs(day: Day, jobs: tuple[FanJob, ...]) -> str:
    text = "; ".join(
        f"{job.units} {job.fan_type} {day.clock.short(job.start_minute)}–"
        f"{day.clock.short(job.end_minute)}"
        for job in jobs
    )
    return text or "none"


def _work(day: Day, duties: tuple[PlannedDuty, ...]) -> str:
    text = "; ".join(
        f"{duty.task} {day.clock.short(duty.start_minute)}" for duty in duties
    )
    return text or "none"
