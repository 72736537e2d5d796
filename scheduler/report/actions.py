"""The action list: who does what, on which stand, by when, what missing it costs.

Enters: a plan and its day. Leaves: actions by time. Rules:

- an aircraft that has left its stand gets no action;
- nobody is sent to a wheel before the turnaround's approach minute;
- an action is due at its start or later, and names the stand of its turnaround;
- a minute or two until a slot is free are nobody's action.
"""

from collections.abc import Iterator, Mapping

from scheduler.choices import CTOT_LATE_MINUTES
from scheduler.day import Basis, Day, Turnaround
from scheduler.plan import Action, Plan, PlannedTurnaround, Relaxation, WaitsFor
from scheduler.report.check_actions import check_actions, keep_clear_actions
from scheduler.report.fan_actions import fan_actions
from scheduler.report.fan_units import FanUse, Key, next_uses
from scheduler.report.words import is_short_slot_wait, reason_text
from scheduler.report.work_actions import (
    CONTROLLER,
    rollout_actions,
    tow_actions,
    work_actions,
)

DELAY_MESSAGE_MINUTES = 15
_OWN_DELAY = (WaitsFor.BRAKES, WaitsFor.FAN, WaitsFor.CHECK)


def actions(plan: Plan, day: Day) -> tuple[Action, ...]:
    """List what people have to do so that the plan happens.

    Parameters
    ----------
    plan : Plan
        The plan; its own ``actions`` are not looked at.
    day : Day
        The day it was made for.

    Returns
    -------
    actions : tuple of Action
        By start, then by the minute they are due.
    """
    given = {one.id: one for one in day.turnarounds}
    following = next_uses(plan, day)
    found = [
        action
        for row in plan.turnarounds
        if given[row.id].off_block_basis is not Basis.ACTUAL
        for action in _of_row(day, row, given[row.id], following)
    ]
    return tuple(sorted(found, key=_by_time))


def _by_time(action: Action) -> tuple[int, int, str, str]:
    return action.minute, action.do_by_minute, action.turnaround_id, action.what


def _of_row(
    day: Day, row: PlannedTurnaround, given: Turnaround, following: Mapping[Key, FanUse]
) -> Iterator[Action]:
    yield from keep_clear_actions(day, row)
    yield from fan_actions(day, row, given, following)
    yield from check_actions(day, row)
    yield from work_actions(day, row)
    yield from tow_actions(day, row)
    yield from rollout_actions(day, row)
    yield from _hold(day, row)
    yield from _tell(day, row)
    yield from _new_ctot(day, row, given)
    yield from _stand(day, row)


def _controller(
    row: PlannedTurnaround, minute: int, do_by: int, what: str, missing_it: str
) -> Action:
    return Action(
        minute=minute,
        do_by_minute=max(minute, do_by),
        what=what,
        who=CONTROLLER,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=missing_it,
    )


def _hold(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    if row.off_block_minute is not None:
        return
    curfew = Relaxation.CURFEW in row.relaxed
    ask = "ask for leave to depart in the curfew or plan a night stop"
    cause = ask if curfew else reason_text(row)
    yield _controller(
        row,
        row.in_block_minute,
        row.target_off_block_minute,
        f"Hold {row.id}, tell gate and load planner that no time is known: {cause}",
        "it would leave in the curfew" if curfew else "it would leave against a limit",
    )


def _tell(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    if row.off_block_minute is None:
        return
    late = row.off_block_minute - row.target_off_block_minute
    if late <= 0 or is_short_slot_wait(row):
        return
    time = day.clock.short(row.off_block_minute)
    steps = [
        f"Tell gate and load planner: off-block {time}, {late} min late, because "
        f"{reason_text(row)}"
    ]
    if row.waits_for in _OWN_DELAY:
        steps.append(f"set the TOBT to {time}")
    if late > DELAY_MESSAGE_MINUTES:
        steps.append("see whether the flight plan needs a delay message")
    yield _controller(
        row,
        row.in_block_minute,
        row.target_off_block_minute,
        "; ".join(steps),
        f"boarding and loading close {late} min too early",
    )


def _new_ctot(day: Day, row: PlannedTurnaround, given: Turnaround) -> Iterator[Action]:
    ctot = given.departure.ctot_minute
    if Relaxation.CTOT not in row.relaxed or ctot is None:
        return
    if row.take_off_minute is None:
        return
    short = day.clock.short
    last = ctot + CTOT_LATE_MINUTES
    yield _controller(
        row,
        row.in_block_minute,
        last - day.taxi_out_minutes(given),
        f"Ask for a new CTOT: take-off {short(row.take_off_minute)} misses the slot "
        f"{short(ctot)}, which ends {short(last)}",
        "the flight has no slot and waits at the stand for one",
    )


def _stand(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    following = _next_arrival(day, row)
    if Relaxation.STAND not in row.relaxed or following is None:
        return
    arrival = following.in_block_minute
    yield _controller(
        row,
        row.in_block_minute,
        arrival - day.station.stand_buffer_minutes,
        f"Find another stand for {following.id}, in-block {day.clock.short(arrival)}: "
        f"{row.id} is still on stand {row.stand}",
        f"{following.id} waits on the taxiway",
    )


def _next_arrival(day: Day, row: PlannedTurnaround) -> Turnaround | None:
    mine = (row.in_block_minute, row.id)
    later = [
        one
        for one in day.turnarounds
        if one.stand == row.stand and (one.in_block_minute, one.id) > mine
    ]
    return min(later, key=lambda one: (one.in_block_minute, one.id), default=None)
