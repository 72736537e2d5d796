"""Off-block minutes that are open to one turnaround, and why none may be left.

Enters: the day and release minutes of the usable ways to cool. Leaves: minutes since
00:00 UTC. Rules: target, horizon, early end of the CTOT window, curfews, runway spacing
to aircraft that have gone, and the last minute that frees a stand in time.
"""

from collections.abc import Sequence

from scheduler.day import Basis, Day, Turnaround
from scheduler.plan import Relaxation

CTOT_EARLY_MINUTES = 5


def is_gone(turnaround: Turnaround) -> bool:
    """Whether the aircraft has left its stand."""
    return turnaround.off_block_basis is Basis.ACTUAL


def open_minutes(day: Day, turnaround: Turnaround, releases: Sequence[int]) -> range:
    """Minutes that target, brakes, horizon and an early CTOT leave."""
    if not releases:
        return range(0)
    first = max(turnaround.target_off_block_minute, min(releases))
    ctot = turnaround.departure.ctot_minute
    if ctot is not None:
        early = ctot - CTOT_EARLY_MINUTES - day.taxi_out_minutes(turnaround)
        first = max(first, early)
    return range(first, day.last_minute(turnaround) + 1)


def outside_curfews(
    day: Day, turnaround: Turnaround, minutes: range
) -> tuple[int, ...]:
    """Minutes at which no curfew forbids the departure."""
    taxi = day.taxi_out_minutes(turnaround)
    curfews = day.station.curfews
    return tuple(
        minute
        for minute in minutes
        if not any(curfew.forbids(minute, minute + taxi) for curfew in curfews)
    )


def clear_of_gone(
    day: Day, turnaround: Turnaround, minutes: Sequence[int], taken: Sequence[int]
) -> tuple[int, ...]:
    """Minutes whose take-off is spaced from the take-offs in ``taken``."""
    spacing = day.runway_of(turnaround).spacing_minutes
    taxi = day.taxi_out_minutes(turnaround)
    return tuple(
        minute
        for minute in minutes
        if all(abs(minute + taxi - other) >= spacing for other in taken)
    )


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
        limits[one.id] = None if arrival is None else arrival - buffer
        following[one.stand] = one.in_block_minute
    return limits


def gone_take_offs(day: Day) -> dict[str, list[int]]:
    """Take-off minutes of aircraft that have gone, by runway."""
    taken: dict[str, list[int]] = {}
    for one in day.turnarounds:
        if is_gone(one):
            take_off = one.target_off_block_minute + day.taxi_out_minutes(one)
            taken.setdefault(day.runway_of(one).name, []).append(take_off)
    return taken
