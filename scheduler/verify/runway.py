"""Rules of the runways: who may take off when, beside whom, and how many.

- Any two take-offs on a runway, not only neighbours, keep the spacing and the wake
  separation of leader and follower, counted in seconds; never the same minute. Two
  that are both gone are exempt.
- No take-off while the runway is closed, nor nearer to a landing than its gap.
- Where take-offs need a slot, one of the intervals holds them; no interval holds more
  than it may, those that are gone included.
"""

from collections.abc import Iterator
from itertools import combinations

from scheduler.day import Day, Runway, SlotInterval
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


def runway_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every take-off, pair and interval."""
    for one, other in combinations(matches, 2):
        yield from _pair(day, one, other)
    for match in matches:
        if match.is_planned:
            yield from _alone(day, match, matches)
    for interval in day.station.slots:
        yield from _full(day, interval, matches)


def is_clear(day: Day, match: Match, others: tuple[Match, ...]) -> bool:
    """Whether a take-off keeps every rule of the runways beside the others."""
    everyone = (match, *others)
    faults = [
        *_alone(day, match, everyone),
        *(fault for other in others for fault in _pair(day, match, other)),
        *(
            fault
            for interval in day.station.slots
            if _is_inside(day, interval, match)
            for fault in _full(day, interval, everyone)
        ),
    ]
    return not faults


def _pair(day: Day, one: Match, other: Match) -> Iterator[Violation]:
    if one.take_off_minute is None or other.take_off_minute is None:
        return
    runway = day.departure_runway_of(one.given)
    is_fact = one.is_departed and other.is_departed
    if is_fact or runway.name != day.departure_runway_of(other.given).name:
        return
    apart = abs(one.take_off_minute - other.take_off_minute)
    least = max(runway.spacing_minutes, 1)
    got = " and ".join(
        day.clock.short(minute)
        for minute in (one.take_off_minute, other.take_off_minute)
    )
    where = f"take-off on {runway.name}"
    if not apart >= least:
        expected = f"{least} minutes from {other.id}"
        yield one.fault(Code.RUNWAY_SPACING, where, expected, got)
        return
    leader, follower = sorted((one, other), key=lambda m: m.take_off_minute or 0)
    seconds = _wake_seconds(day, leader, follower)
    if not apart * 60 >= seconds:
        expected = f"{seconds} s behind {leader.id}"
        yield follower.fault(Code.WAKE, where, expected, got)


def _wake_seconds(day: Day, leader: Match, follower: Match) -> int:
    table = day.station.wake
    if table is None:
        return 0
    pair = day.wake_of(leader.given), day.wake_of(follower.given)
    return max((s for a, b, s in table.pairs if (a, b) == pair), default=0)


def _alone(day: Day, match: Match, matches: tuple[Match, ...]) -> Iterator[Violation]:
    take_off = match.take_off_minute or 0
    runway = day.departure_runway_of(match.given)
    short = day.clock.short
    where, got = f"take-off on {runway.name}", short(take_off)
    for start, end in runway.closures:
        if take_off in range(start, end):
            expected = f"before {short(start)} or from {short(end)} on, it is closed"
            yield match.fault(Code.RUNWAY_CLOSED, where, expected, got)
    for landing, name in _landings(day, runway, matches):
        if not abs(take_off - landing) >= runway.arrival_gap_minutes:
            gap = runway.arrival_gap_minutes
            expected = f"{gap} minutes from the landing of {name} at {short(landing)}"
            yield match.fault(Code.ARRIVAL_GAP, where, expected, got)
    inside = [one for one in day.station.slots if _is_inside(day, one, match)]
    if day.station.slots_only and not inside:
        yield match.fault(Code.NO_SLOT, where, "a minute of a slot interval", got)


def _landings(
    day: Day, runway: Runway, matches: tuple[Match, ...]
) -> Iterator[tuple[int, str]]:
    """Minutes and ids of all landings on a runway: in-block less taxi-in."""
    for match in matches:
        if day.runway_of(match.given).name == runway.name:
            taxi_in = day.taxi_in_minutes(match.given)
            yield match.given.in_block_minute - taxi_in, match.id


def _is_inside(day: Day, interval: SlotInterval, match: Match) -> bool:
    on_runway = interval.runway in (None, day.departure_runway_of(match.given).name)
    minutes = range(interval.from_minute, interval.to_minute)
    return on_runway and match.take_off_minute in minutes


def _full(
    day: Day, interval: SlotInterval, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    inside = [match for match in matches if _is_inside(day, interval, match)]
    is_decided = any(match.is_planned for match in inside)
    if is_decided and len(inside) > interval.take_offs:
        start, end = map(day.clock.short, (interval.from_minute, interval.to_minute))
        names = ", ".join(sorted(match.id for match in inside))
        yield Violation(
            code=Code.SLOT_FULL,
            turnaround_id=None,
            where=f"take-offs from {start} to {end}",
            expected=f"at most {interval.take_offs}",
            got=f"{len(inside)}: {names}",
        )
