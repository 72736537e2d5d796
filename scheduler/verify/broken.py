"""Which of the rules that may be broken at a price a row really breaks.

- CTOT: take-off more than ten minutes after it.
- Curfew: a departure inside a soft one.
- Stand: not free, with the buffer, when the next aircraft arrives, and not towed off.
- Rotation: off-block too late for the same tail's next arrival, or never.
- Crew: take-off after the crew's limit.
- Pin: something that people wanted kept is not.

An aircraft that has gone answers for the stand and the next arrival only; a cancelled
departure for nothing.
"""

from scheduler.day import CurfewEvent, Day, Pin, Pinned
from scheduler.plan import FanJob, Relaxation
from scheduler.verify.matches import Match

CTOT_LATE_MINUTES = 10
_WEIGHTS = {
    Relaxation.CURFEW_BROKEN: 3,
    Relaxation.PIN: 2,
    Relaxation.CTOT: 1,
    Relaxation.STAND: 1,
    Relaxation.CREW: 1,
    Relaxation.ROTATION: 1,
}
_HELD_WEIGHT = 4


def broken_rules(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> frozenset[Relaxation]:
    """Rules that a row breaks, whatever it says of itself; being held is not one."""
    if match.is_cancelled:
        return frozenset()
    found = {
        Relaxation.STAND: bool(blocked_arrivals(day, match, matches))
        and not match.row.towed,
        Relaxation.ROTATION: is_late_for_rotation(match, matches),
    }
    if not match.is_departed:
        found |= {
            Relaxation.CTOT: is_after_slot(match),
            Relaxation.CURFEW_BROKEN: is_in_curfew(day, match, soft=True),
            Relaxation.CREW: is_after_crew_limit(match),
            Relaxation.PIN: bool(unkept_pins(day, match)),
        }
    return frozenset(rule for rule, is_broken in found.items() if is_broken)


def weight_of(day: Day, match: Match, matches: tuple[Match, ...]) -> int:
    """Weight of all rules that a row breaks."""
    held = _HELD_WEIGHT if match.is_held else 0
    return held + sum(_WEIGHTS[rule] for rule in broken_rules(day, match, matches))


def is_after_slot(match: Match) -> bool:
    """Whether a planned take-off lies after the end of its CTOT window."""
    ctot, take_off = match.given.departure.ctot_minute, match.take_off_minute
    if ctot is None or take_off is None:
        return False
    return take_off - ctot > CTOT_LATE_MINUTES


def is_after_crew_limit(match: Match) -> bool:
    """Whether a planned take-off lies after the flight crew's limit."""
    limit, take_off = match.given.departure.crew_limit_minute, match.take_off_minute
    return limit is not None and take_off is not None and take_off > limit


def is_in_curfew(day: Day, match: Match, *, soft: bool) -> bool:
    """Whether a departure falls into a curfew that may, or may not, be broken."""
    for curfew in day.station.curfews:
        at_off_block = curfew.event is CurfewEvent.OFF_BLOCK
        minute = match.off_block_minute if at_off_block else match.take_off_minute
        if curfew.soft is soft and minute in range(
            curfew.from_minute, curfew.to_minute
        ):
            return True
    return False


def blocked_arrivals(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> tuple[Match, ...]:
    """Later arrivals on the stand that come before it is free and the buffer over.

    A held aircraft never frees its stand. Of two that come in at the same minute the
    one with the lower id counts as the first.
    """
    buffer = day.station.stand_buffer_minutes
    return tuple(
        other
        for other in matches
        if other.given.stand == match.given.stand
        and arrival(other) > arrival(match)
        and (
            match.off_block_minute is None
            or other.given.in_block_minute < match.off_block_minute + buffer
        )
    )


def next_on_stand(match: Match, matches: tuple[Match, ...]) -> Match | None:
    """Aircraft that arrives next on the stand."""
    return _next([m for m in matches if m.given.stand == match.given.stand], match)


def next_of_tail(match: Match, matches: tuple[Match, ...]) -> Match | None:
    """Turnaround that the same tail makes next."""
    return _next([m for m in matches if m.given.tail == match.given.tail], match)


def is_late_for_rotation(match: Match, matches: tuple[Match, ...]) -> bool:
    """Whether the tail cannot be back for its next arrival."""
    following = next_of_tail(match, matches)
    if following is None or following.given.rotation_minutes is None:
        return False
    away = following.given.in_block_minute - following.given.rotation_minutes
    return match.off_block_minute is None or match.off_block_minute > away


def unkept_pins(day: Day, match: Match) -> tuple[Pin, ...]:
    """Pins of this turnaround that the row does not keep.

    A pin that yields counts only where the row says so itself.
    """
    told = Relaxation.PIN in match.row.relaxed
    return tuple(
        pin
        for pin in day.pins
        if pin.turnaround_id == match.id
        and not _is_kept(pin, match)
        and (told or not pin.yields)
    )


def _is_kept(pin: Pin, match: Match) -> bool:
    leaves, jobs = match.off_block_minute, match.row.fan_jobs
    match pin.kind:
        case Pinned.OFF_BLOCK:
            return leaves == pin.minute
        case Pinned.NOT_BEFORE:
            return leaves is None or pin.minute is None or not leaves < pin.minute
        case Pinned.FAN:
            return any(is_pinned_job(pin, job) for job in jobs)
        case Pinned.NO_FAN:
            return not jobs


def is_pinned_job(pin: Pin, job: FanJob) -> bool:
    """Whether a fan job is the one that a pin holds; an open end fits any."""
    same = (job.fan_type, job.units) == (pin.fan, pin.units)
    starts = pin.start_minute in (None, job.start_minute)
    ends = pin.end_minute in (None, job.end_minute)
    return pin.kind is Pinned.FAN and same and starts and ends


def arrival(match: Match) -> tuple[int, str]:
    """Order of arrival: the minute, then the id."""
    return match.given.in_block_minute, match.id


def _next(others: list[Match], match: Match) -> Match | None:
    later = [other for other in others if arrival(other) > arrival(match)]
    return min(later, key=arrival, default=None)
