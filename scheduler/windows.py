"""Off-block minutes that are open to one turnaround, and why none may be left.

Enters: the day and release minutes of the usable ways to cool. Leaves: minutes since
00:00 UTC. Rules: target, horizon, early end of the CTOT window, hard curfews, closures
and landings on the runway, listed slots, spacing to aircraft that have gone, and the
last minutes that free a stand or bring the tail back in time.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise

from scheduler.day import Basis, Day, Turnaround
from scheduler.plan import Relaxation

CTOT_EARLY_MINUTES = 5


def is_gone(turnaround: Turnaround) -> bool:
    """Whether the aircraft has left its stand."""
    return turnaround.off_block_basis is Basis.ACTUAL


def open_minutes(day: Day, turnaround: Turnaround, releases: Sequence[int]) -> range:
    """Minutes that target, brakes, work, horizon, the past and an early CTOT leave."""
    if not releases or turnaround.cancelled:
        return range(0)
    first = max(turnaround.target_off_block_minute, min(releases), day.now_minute or 0)
    ctot = turnaround.departure.ctot_minute
    if ctot is not None:
        early = ctot - CTOT_EARLY_MINUTES - day.taxi_out_minutes(turnaround)
        first = max(first, early)
    return range(first, day.last_minute(turnaround) + 1)


def outside_curfews(
    day: Day, turnaround: Turnaround, minutes: range
) -> tuple[int, ...]:
    """Minutes at which no hard curfew forbids the departure."""
    taxi = day.taxi_out_minutes(turnaround)
    curfews = [one for one in day.station.curfews if not one.soft]
    return tuple(
        minute
        for minute in minutes
        if not any(curfew.forbids(minute, minute + taxi) for curfew in curfews)
    )


def with_free_runway(
    day: Day, turnaround: Turnaround, minutes: Sequence[int]
) -> tuple[int, ...]:
    """Minutes whose take-off no closure, landing, listed slot or past one forbids."""
    taxi = day.taxi_out_minutes(turnaround)
    is_free = _free_runway(day, turnaround)
    return tuple(minute for minute in minutes if is_free(minute + taxi))


def _free_runway(day: Day, turnaround: Turnaround) -> Callable[[int], bool]:
    """Whether the runway takes this aircraft at a take-off minute."""
    runway = day.departure_runway_of(turnaround)
    gap = runway.arrival_gap_minutes
    landings = [
        day.landing_minute(one)
        for one in day.turnarounds
        if gap and day.runway_of(one) is runway
    ]
    before_after = [
        (
            _take_off(day, one),
            max(day.departure_gap(turnaround, one), 1),
            max(day.departure_gap(one, turnaround), 1),
        )
        for one in day.turnarounds
        if is_gone(one) and day.departure_runway_of(one) is runway
    ]
    listed = [
        (slot.from_minute, slot.to_minute)
        for slot in day.station.slots
        if slot.runway in (None, runway.name)
    ]

    def is_free(take_off: int) -> bool:
        return (
            not runway.is_closed(take_off)
            and all(abs(take_off - landing) >= gap for landing in landings)
            and all(
                take_off <= gone - ahead or take_off >= gone + behind
                for gone, ahead, behind in before_after
            )
            and (
                not day.station.slots_only
                or any(start <= take_off < end for start, end in listed)
            )
        )

    return is_free


def held_as(
    minutes: range, allowed: Sequence[int], releases: Sequence[int]
) -> Relaxation:
    """Curfew if, with some way to cool, it alone leaves no minute."""
    latest = allowed[-1] if allowed else minutes.start - 1
    closed = any(
        latest < max(release, minutes.start) < minutes.stop for release in releases
    )
    return Relaxation.CURFEW if closed else Relaxation.HELD


def stand_minutes(day: Day) -> dict[str, int | None]:
    """Last off-block that frees the stand for the next arrival; None without one."""
    following: dict[str, int] = {}
    limits: dict[str, int | None] = {}
    ordered = sorted(day.turnarounds, key=lambda one: (one.in_block_minute, one.id))
    for one in reversed(ordered):
        arrival = following.get(one.stand)
        buffer = day.station.stand_buffer_minutes
        is_bound = arrival is not None and not one.cancelled
        limits[one.id] = arrival - buffer if arrival is not None and is_bound else None
        following[one.stand] = one.in_block_minute
    return limits


def rotation_minutes(day: Day) -> dict[str, int]:
    """Last off-block that brings a tail back in time for its next turnaround."""
    limits: dict[str, int] = {}
    ordered = sorted(day.turnarounds, key=lambda one: (one.in_block_minute, one.id))
    for tail in {one.tail for one in ordered}:
        own = [one for one in ordered if one.tail == tail]
        for before, after in pairwise(own):
            if after.rotation_minutes is not None:
                limits[before.id] = after.in_block_minute - after.rotation_minutes
    return limits


def gone_take_offs(day: Day) -> dict[str, list[int]]:
    """Take-off minutes of aircraft that have gone, by runway."""
    taken: dict[str, list[int]] = {}
    for one in day.turnarounds:
        if is_gone(one):
            runway = day.departure_runway_of(one).name
            taken.setdefault(runway, []).append(_take_off(day, one))
    return taken


def _take_off(day: Day, gone: Turnaround) -> int:
    return gone.target_off_block_minute + day.taxi_out_minutes(gone)
