"""Rules of what several aircraft share: the runway and the stands.

- All pairs of take-offs on a runway are spaced, except two that are both gone.
- No later arrival finds its stand taken, or not yet free for the buffer, unless the
  plan says so.
"""

from collections.abc import Iterator
from itertools import combinations

from scheduler.day import Day
from scheduler.plan import Relaxation
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


def shared_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every pair."""
    for one, other in combinations(matches, 2):
        yield from _spacing(day, one, other)
    for match in matches:
        if Relaxation.STAND not in match.row.relaxed:
            yield from _stand(day, match, matches)


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
        and _arrival(other) > _arrival(match)
        and (
            match.off_block_minute is None
            or other.given.in_block_minute < match.off_block_minute + buffer
        )
    )


def _arrival(match: Match) -> tuple[int, str]:
    return match.given.in_block_minute, match.id


def _spacing(day: Day, one: Match, other: Match) -> Iterator[Violation]:
    first, second = one.take_off_minute, other.take_off_minute
    if first is None or second is None or (one.is_departed and other.is_departed):
        return
    runway = day.runway_of(one.given)
    if runway.name != day.runway_of(other.given).name:
        return
    if not abs(first - second) >= runway.spacing_minutes:
        yield one.fault(
            Code.RUNWAY_SPACING,
            f"take-off on {runway.name}",
            f"{runway.spacing_minutes} minutes from {other.id}",
            f"{day.clock.short(first)} and {day.clock.short(second)}",
        )


def _stand(day: Day, match: Match, matches: tuple[Match, ...]) -> Iterator[Violation]:
    blocked = blocked_arrivals(day, match, matches)
    if not blocked:
        return
    first = min(blocked, key=_arrival)
    free_by = first.given.in_block_minute - day.station.stand_buffer_minutes
    off_block = match.off_block_minute
    yield match.fault(
        Code.STAND,
        f"stand {match.given.stand}",
        f"free by {day.clock.short(free_by)} for {first.id}, or said to be relaxed",
        "held" if off_block is None else f"off-block {day.clock.short(off_block)}",
    )
