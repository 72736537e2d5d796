"""Rules that may be broken at a price: named where, and only where, they are broken.

Each has a code of its own where it is broken in silence; one code tells that a rule
is said to be broken that holds, or is named twice.
"""

from collections.abc import Iterator

from scheduler.day import Day, Pin, Pinned
from scheduler.plan import Relaxation
from scheduler.verify.broken import (
    CTOT_LATE_MINUTES,
    arrival,
    blocked_arrivals,
    broken_rules,
    next_of_tail,
    unkept_pins,
)
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation

_HELD = frozenset({Relaxation.HELD, Relaxation.CURFEW})


def soft_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every row."""
    for match in matches:
        broken, named = broken_rules(day, match, matches), match.row.relaxed
        for rule in sorted(broken - set(named)):
            yield _unsaid(day, match, matches, rule)
        allowed = broken | _HELD if match.is_held else broken
        yield from _not_broken(match, named, allowed)


def _not_broken(
    match: Match, named: tuple[Relaxation, ...], allowed: frozenset[Relaxation]
) -> Iterator[Violation]:
    if len(set(named)) != len(named):
        got = ", ".join(named)
        yield match.fault(Code.RELAXATION, "relaxed", "each rule once", got)
    for rule in sorted(set(named) - allowed):
        expected = f"no {rule}, the rule holds"
        yield match.fault(Code.RELAXATION, "relaxed", expected, rule)


def _unsaid(
    day: Day, match: Match, matches: tuple[Match, ...], rule: Relaxation
) -> Violation:
    """Tell a rule that is broken without a word."""
    tell = {
        Relaxation.CTOT: _late,
        Relaxation.CURFEW_BROKEN: _in_curfew,
        Relaxation.STAND: _stand,
        Relaxation.ROTATION: _rotation,
        Relaxation.CREW: _crew_limit,
        Relaxation.PIN: _pin,
    }
    return tell[rule](day, match, matches)


def _late(day: Day, match: Match, matches: tuple[Match, ...]) -> Violation:
    closes = (match.given.departure.ctot_minute or 0) + CTOT_LATE_MINUTES
    return match.fault(
        Code.CTOT_LATE,
        "take-off",
        f"{day.clock.short(closes)} or earlier, or said to need a new slot",
        day.clock.short(match.take_off_minute or 0),
    )


def _in_curfew(day: Day, match: Match, matches: tuple[Match, ...]) -> Violation:
    return match.fault(
        Code.CURFEW,
        "departure",
        "outside the curfew, or said to break it",
        f"off-block {_leaves(day, match)}",
    )


def _stand(day: Day, match: Match, matches: tuple[Match, ...]) -> Violation:
    first = min(blocked_arrivals(day, match, matches), key=arrival)
    free_by = first.given.in_block_minute - day.station.stand_buffer_minutes
    off_block = match.off_block_minute
    return match.fault(
        Code.STAND,
        f"stand {match.given.stand}",
        f"free by {day.clock.short(free_by)} for {first.id}, or said to be relaxed",
        "held" if off_block is None else f"off-block {day.clock.short(off_block)}",
    )


def _rotation(day: Day, match: Match, matches: tuple[Match, ...]) -> Violation:
    following = next_of_tail(match, matches)
    name = "" if following is None else following.id
    return match.fault(
        Code.ROTATION,
        "off-block",
        f"in time for {name} of the same tail, or said to be late for it",
        _leaves(day, match),
    )


def _crew_limit(day: Day, match: Match, matches: tuple[Match, ...]) -> Violation:
    limit = match.given.departure.crew_limit_minute or 0
    return match.fault(
        Code.CREW_LIMIT,
        "take-off",
        f"{day.clock.short(limit)} or earlier, or said to pass the crew's limit",
        day.clock.short(match.take_off_minute or 0),
    )


def _pin(day: Day, match: Match, matches: tuple[Match, ...]) -> Violation:
    first = unkept_pins(day, match)[0]
    is_time = first.kind in (Pinned.OFF_BLOCK, Pinned.NOT_BEFORE)
    jobs = ", ".join(job.fan_type for job in match.row.fan_jobs) or "no fan"
    return match.fault(
        Code.PIN,
        f"pinned {first.kind}",
        f"{_pinned(day, first)}, or said not to be kept",
        _leaves(day, match) if is_time else jobs,
    )


def _pinned(day: Day, pin: Pin) -> str:
    if pin.minute is not None:
        return day.clock.short(pin.minute)
    if pin.fan is None or pin.start_minute is None:
        return str(pin.fan or pin.kind)
    return f"{pin.units} of {pin.fan} from {day.clock.short(pin.start_minute)}"


def _leaves(day: Day, match: Match) -> str:
    minute = match.off_block_minute
    return "held" if minute is None else day.clock.short(minute)
