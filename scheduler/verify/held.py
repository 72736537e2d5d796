"""Rules of a held aircraft: nothing is planned for it, and it is held for a reason.

Exactly one of the relaxations *held* and *curfew* names the reason. A minute at which
it could leave after all, clear of curfews and of every other take-off, is a fault.
"""

from collections.abc import Iterator

from scheduler.day import Day
from scheduler.options import PlugRisk
from scheduler.plan import Relaxation
from scheduler.verify.claims import plug_risk
from scheduler.verify.matches import Match
from scheduler.verify.rows import CTOT_EARLY_MINUTES
from scheduler.verify.violation import Code, Violation

_REASONS = (Relaxation.HELD, Relaxation.CURFEW)


def held_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every held aircraft."""
    for match in matches:
        if match.is_held:
            yield from _nothing_planned(match)
            yield from _reason(day, match)
            yield from _needless(day, match, matches)


def _nothing_planned(match: Match) -> Iterator[Violation]:
    if match.row.fan_jobs:
        yield match.fault(
            Code.HELD, "fan jobs", "none for a held aircraft", len(match.row.fan_jobs)
        )


def _reason(day: Day, match: Match) -> Iterator[Violation]:
    named = [reason for reason in match.row.relaxed if reason in _REASONS]
    got = ", ".join(named) or "neither"
    if len(named) != 1:
        yield match.fault(Code.HELD, "relaxed", "either held or curfew", got)
        return
    is_curfew = named == [Relaxation.CURFEW]
    if is_curfew and not _is_curfew_near(day, match):
        yield match.fault(Code.HELD, "relaxed", "held, no curfew is in the way", got)
    if not is_curfew and _is_curfew_alone(day, match):
        yield match.fault(Code.HELD, "relaxed", "curfew, nothing else forbids it", got)


def _is_curfew_near(day: Day, match: Match) -> bool:
    """Whether a curfew lies in the horizon, whenever the brakes are ready."""
    minutes = _minutes(day, match, match.given.in_block_minute)
    return any(_is_forbidden(day, match, minute) for minute in minutes)


def _is_curfew_alone(day: Day, match: Match) -> bool:
    """Whether there are minutes to leave at and each of them falls into a curfew."""
    ready = _ready(match)
    minutes = [] if ready is None else list(_minutes(day, match, ready))
    return bool(minutes) and all(_is_forbidden(day, match, m) for m in minutes)


def _needless(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    ready = _ready(match)
    if ready is None or plug_risk(day, match) is not PlugRisk.LOW:
        return
    for minute in _minutes(day, match, ready):
        if _is_forbidden(day, match, minute):
            continue
        if _is_runway_clear(day, match, minute, matches):
            got = f"held, though {day.clock.short(minute)} is free"
            yield match.fault(Code.HELD, "off-block", "a departure", got)
            return


def _ready(match: Match) -> int | None:
    """Still-air ready, which a held aircraft has whatever the fans do."""
    return match.row.brake_ready_still_air_minute


def _minutes(day: Day, match: Match, ready: int) -> Iterator[int]:
    """Off-block minutes of the horizon at which brakes, ground and slot allow it."""
    given = match.given
    ctot, taxi = given.departure.ctot_minute, day.taxi_out_minutes(given)
    first = max(ready, given.target_off_block_minute)
    for minute in range(first, day.last_minute(given) + 1):
        if ctot is None or minute + taxi >= ctot - CTOT_EARLY_MINUTES:
            yield minute


def _is_forbidden(day: Day, match: Match, minute: int) -> bool:
    take_off = minute + day.taxi_out_minutes(match.given)
    return any(curfew.forbids(minute, take_off) for curfew in day.station.curfews)


def _is_runway_clear(
    day: Day, match: Match, minute: int, matches: tuple[Match, ...]
) -> bool:
    runway = day.runway_of(match.given)
    take_off = minute + day.taxi_out_minutes(match.given)
    return all(
        abs(other.take_off_minute - take_off) >= runway.spacing_minutes
        for other in matches
        if other.take_off_minute is not None and day.runway_of(other.given) == runway
    )
