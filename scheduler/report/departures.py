"""What to tell the gate: one plain sentence per flight that does not leave on time.

Enters: a plan. Leaves: sentences in order of departure, held aircraft next, and one
for all that wait a minute or two for a slot.
"""

from collections.abc import Sequence

from scheduler.clock import Clock
from scheduler.plan import (
    Plan,
    PlannedTurnaround,
    Progress,
    Relaxation,
    WaitsFor,
)
from scheduler.report.words import (
    clock_of,
    departure_order,
    is_short_slot_wait,
    reason_text,
    time_text,
)

_COOLS = (WaitsFor.BRAKES, WaitsFor.FAN)


def messages(plan: Plan) -> tuple[str, ...]:
    """Say in one sentence per late or held flight when it leaves and why.

    Parameters
    ----------
    plan : Plan
        The day's plan.

    Returns
    -------
    sentences : tuple of str
        Empty where every flight leaves at its target.
    """
    clock = clock_of(plan)
    rows = sorted(plan.turnarounds, key=departure_order)
    late = [row for row in rows if _is_late(row)]
    told = [row for row in late if not is_short_slot_wait(row)]
    short = [row for row in late if is_short_slot_wait(row)]
    return (
        *(_message(row, clock) for row in told),
        *((_short_waits(short, clock),) if short else ()),
    )


def gate_sentence(row: PlannedTurnaround, clock: Clock) -> str:
    """Say in one sentence when a flight leaves, be it on time, late or held."""
    if row.progress in (Progress.OFF_BLOCK, Progress.AIRBORNE):
        left = time_text(clock, row.off_block_minute)
        return f"{row.id} (stand {row.stand}) left the stand at {left}."
    if _is_late(row):
        return _message(row, clock)
    time = time_text(clock, row.off_block_minute)
    return f"{row.id} (stand {row.stand}) leaves the stand on time at {time}."


def _is_late(row: PlannedTurnaround) -> bool:
    return (
        row.off_block_minute is None
        or row.off_block_minute > row.target_off_block_minute
    )


def _short_waits(rows: Sequence[PlannedTurnaround], clock: Clock) -> str:
    """One sentence for all that wait less than three minutes for a slot."""
    flights = ", ".join(
        f"{row.id} (stand {row.stand}) {time_text(clock, row.off_block_minute)}"
        for row in rows
    )
    most = max(row.delay_minutes or 0 for row in rows)
    return f"Up to {most} min late, for a take-off slot: {flights}."


def _message(row: PlannedTurnaround, clock: Clock) -> str:
    target = clock.short(row.target_off_block_minute)
    if row.off_block_minute is None:
        head = f"{row.id} (stand {row.stand}) is held, it had been due at {target}"
        return f"{head}: {_held_because(row)}. A new time will follow."
    late = row.off_block_minute - row.target_off_block_minute
    return (
        f"{row.id} (stand {row.stand}) leaves the stand at "
        f"{clock.short(row.off_block_minute)} instead of {target}, {late} min late, "
        f"because {reason_text(row)}{_aside(row, clock)}."
    )


def _held_because(row: PlannedTurnaround) -> str:
    if Relaxation.CURFEW in row.relaxed:
        return "no departure is left before the curfew"
    if row.waits_for in _COOLS:
        return "no time was found at which its brakes meet all limits"
    if row.waits_for is WaitsFor.SLOT:
        return "no free departure slot was found"
    return reason_text(row)


def _aside(row: PlannedTurnaround, clock: Clock) -> str:
    if Relaxation.CTOT in row.relaxed and row.take_off_minute is not None:
        return (
            f"; it needs a new CTOT for take-off at {clock.short(row.take_off_minute)}"
        )
    still, off_block = row.brake_ready_still_air_minute, row.off_block_minute
    if row.fan_jobs and still is not None and still > (off_block or 0):
        help_text = "the fan" if row.rollout is None else "fan and longer rollout"
        return f" ({clock.short(still)} without {help_text})"
    return ""
