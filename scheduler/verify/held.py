"""Rules of a held aircraft: nothing is planned for it, and it is held for a reason.

Exactly one of the relaxations *held* and *curfew* names the reason. A minute at which
it could leave after all, clear of curfews and of every other take-off, at a lower price
in broken rules than being held, is a fault. Where it might wait for a crew, that is not
judged: a held row does not say which work there would be.
"""

from collections.abc import Iterator

from scheduler.day import Day, Task
from scheduler.options import PlugRisk
from scheduler.plan import Relaxation
from scheduler.verify.broken import is_in_curfew, weight_of
from scheduler.verify.claims import plug_risk
from scheduler.verify.duties import is_inspection_due
from scheduler.verify.matches import Match
from scheduler.verify.rows import CTOT_EARLY_MINUTES
from scheduler.verify.runway import is_clear
from scheduler.verify.violation import Code, Violation

_REASONS = (Relaxation.HELD, Relaxation.CURFEW)


def held_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every held aircraft."""
    for match in matches:
        if match.is_held:
            yield from _nothing_planned(match)
            yield from _reason(day, match, matches)
            yield from _needless(day, match, matches)


def _nothing_planned(match: Match) -> Iterator[Violation]:
    if match.row.fan_jobs:
        yield match.fault(
            Code.HELD, "fan jobs", "none for a held aircraft", len(match.row.fan_jobs)
        )


def _reason(day: Day, match: Match, matches: tuple[Match, ...]) -> Iterator[Violation]:
    named = [reason for reason in match.row.relaxed if reason in _REASONS]
    got = ", ".join(named) or "neither"
    if len(named) != 1:
        yield match.fault(Code.HELD, "relaxed", "either held or curfew", got)
        return
    is_curfew = named == [Relaxation.CURFEW]
    if is_curfew and not _is_curfew_near(day, match):
        yield match.fault(Code.HELD, "relaxed", "held, no curfew is in the way", got)
    if not is_curfew and _is_curfew_alone(day, match, matches):
        yield match.fault(Code.HELD, "relaxed", "curfew, nothing else forbids it", got)


def _is_curfew_near(day: Day, match: Match) -> bool:
    """Whether a curfew lies in the horizon, whenever the brakes are ready."""
    leaving = _leaving(day, match, match.given.in_block_minute)
    return any(
        is_in_curfew(day, one, soft=soft) for one in leaving for soft in (False, True)
    )


def _is_curfew_alone(day: Day, match: Match, matches: tuple[Match, ...]) -> bool:
    """Whether each minute to leave at falls into a curfew that alone forbids it.

    Alone where the runway's hours and what has gone leave at least one of them open.
    """
    ready = _ready(day, match)
    gone = tuple(one for one in matches if one.is_departed)
    leaving = [] if ready is None else list(_leaving(day, match, ready))
    is_open = any(is_clear(day, one, gone) for one in leaving)
    return is_open and all(is_in_curfew(day, one, soft=False) for one in leaving)


def _needless(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    ready = _ready(day, match)
    if ready is None or plug_risk(day, match) is not PlugRisk.LOW:
        return
    others = tuple(one for one in matches if one is not match)
    price = weight_of(day, match, matches)
    for leaving in _leaving(day, match, ready):
        if is_in_curfew(day, leaving, soft=False):
            continue
        is_cheaper = weight_of(day, leaving, (leaving, *others)) < price
        if is_cheaper and is_clear(day, leaving, others):
            minute = day.clock.short(leaving.off_block_minute or 0)
            got = f"held, though {minute} is free"
            yield match.fault(Code.HELD, "off-block", "a departure", got)
            return


def _ready(day: Day, match: Match) -> int | None:
    """Still-air ready, and all known work done; None where it may wait for a crew."""
    ready, approach = match.row.brake_ready_still_air_minute, match.row.approach_minute
    works = [(duty.earliest_minute, duty.minutes) for duty in match.given.duties]
    if is_inspection_due(day, match):
        works.append((0, day.station.inspection_minutes))
    has_crew = any(Task.PLUG_CHECK in crew.tasks for crew in day.station.crews)
    if not works and not has_crew:
        return ready
    if ready is None or approach is None or day.station.crews:
        return None
    return max(ready, *(max(first, approach) + minutes for first, minutes in works))


def _leaving(day: Day, match: Match, ready: int) -> Iterator[Match]:
    """Leave at each minute of the horizon that brakes, ground, CTOT and now allow."""
    given = match.given
    ctot, taxi = given.departure.ctot_minute, day.taxi_out_minutes(given)
    first = max(ready, given.target_off_block_minute, day.now_minute or 0)
    for minute in range(first, day.last_minute(given) + 1):
        if ctot is None or minute + taxi >= ctot - CTOT_EARLY_MINUTES:
            yield match.leaving_at(day, minute)
