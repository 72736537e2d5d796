"""What each flight waits for, worked out from its own minutes.

- Nothing, where it leaves at its target, has gone, or does not depart.
- The work that ends with off-block, after brake-ready: a crew where the work began
  later than it could have, else a check.
- A slot, where the brakes were ready in most of the delay; else the brakes, a check, or
  a fan. Brakes and fan are told apart only where no fan could be sent at all and it is
  too late for a longer rollout, because a plan does not say whether another way to cool
  would have been sooner.
"""

from collections.abc import Iterator

from scheduler.day import Basis, Day
from scheduler.options import Limit
from scheduler.plan import Relaxation, WaitsFor
from scheduler.verify.duties import Work, works_of
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


def waits_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every row whose reason does not follow from its minutes."""
    for match in matches:
        if match.is_planned and match.row.brake_ready_minute is None:
            continue
        allowed = _held_reasons(match) if match.is_held else _reasons(day, match)
        if match.row.waits_for not in allowed:
            expected = " or ".join(sorted(allowed))
            got = match.row.waits_for
            yield match.fault(Code.WAITS_FOR, "waits for", expected, got)


def _held_reasons(match: Match) -> set[WaitsFor]:
    is_curfew = Relaxation.CURFEW in match.row.relaxed
    reasons = {WaitsFor.SLOT if is_curfew else WaitsFor.BRAKES}
    if match.row.binding_limit is Limit.PLUG_CHECK:
        reasons = reasons - {WaitsFor.BRAKES} | {WaitsFor.CHECK}
    return reasons


def _reasons(day: Day, match: Match) -> set[WaitsFor]:
    """Reasons that the row's own minutes leave possible."""
    off_block = match.off_block_minute
    if not match.is_planned or off_block == match.given.target_off_block_minute:
        return {WaitsFor.NOTHING}
    last = [work for work in works_of(match) if work.duty.end_minute == off_block]
    if last and _is_after_ready(match):
        return {reason for work in last for reason in _work_reasons(match, work)}
    if _is_mostly_after_ready(match):
        return {WaitsFor.SLOT}
    return _brake_reasons(day, match)


def _brake_reasons(day: Day, match: Match) -> set[WaitsFor]:
    if match.row.binding_limit is Limit.PLUG_CHECK:
        return {WaitsFor.CHECK}
    if match.row.binding_limit is Limit.TABLE:
        return {WaitsFor.BRAKES}
    may_approach = match.row.approach_minute is not None
    has_landed = match.given.in_block_basis is Basis.ACTUAL
    can_send = any(fan.remote or may_approach for fan in day.station.fans)
    if can_send or not has_landed:
        return {WaitsFor.BRAKES, WaitsFor.FAN}
    return {WaitsFor.BRAKES}


def _is_after_ready(match: Match) -> bool:
    ready, leaves = match.row.brake_ready_minute, match.off_block_minute
    return ready is not None and leaves is not None and leaves > ready


def _work_reasons(match: Match, work: Work) -> set[WaitsFor]:
    """Crew or check; either where the plan does not say when work could have begun."""
    approach = match.row.approach_minute or 0
    begins = work.duty.start_minute
    if work.given is None and begins > approach:
        return {WaitsFor.CREW, WaitsFor.CHECK}
    earliest = approach
    if work.given is not None:
        earliest = max(earliest, work.given.earliest_minute)
    return {WaitsFor.CREW if begins > earliest else WaitsFor.CHECK}


def _is_mostly_after_ready(match: Match) -> bool:
    """Whether the brakes were ready in more than half of the minutes of the delay."""
    late = range(match.given.target_off_block_minute, match.off_block_minute or 0)
    ready = match.row.brake_ready_minute
    if not late or ready is None:
        return True
    return sum(minute >= ready for minute in late) * 2 > len(late)
