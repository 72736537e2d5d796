"""What the plan says about itself: relaxations, reasons, limits, status, plug risk.

- A relaxation is named where, and only where, its rule is broken.
- *Waits for* follows from off-block, target and brake-ready: a slot where the brakes
  are ready in most of the delay.
- A flight that waits for its brakes names the limit.
- *relaxed* is the status if, and only if, a relaxation is used; *optimal* needs a
  bound that equals the objective.
- Nobody leaves at raised plug risk or worse before a plug check is logged.
"""

from collections.abc import Iterator

from scheduler.day import Day
from scheduler.options import Limit, PlugRisk
from scheduler.plan import Plan, Relaxation, Status, WaitsFor
from scheduler.verify.matches import Match
from scheduler.verify.shared import blocked_arrivals
from scheduler.verify.violation import Code, Violation

CTOT_LATE_MINUTES = 10


def claim_violations(
    day: Day, plan: Plan, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    """Every rule of this module on every row, then on the plan."""
    for match in matches:
        yield from _slot_closes(day, match)
        yield from _false_relaxations(day, match, matches)
        yield from _waits_for(day, match)
        yield from _limit(match)
        yield from _plug_risk(day, match)
    yield from _status(plan)


def is_after_slot(match: Match) -> bool:
    """Whether a planned take-off lies after the end of its slot."""
    ctot, take_off = match.given.departure.ctot_minute, match.take_off_minute
    if ctot is None or take_off is None or match.is_departed:
        return False
    return take_off - ctot > CTOT_LATE_MINUTES


def plug_risk(day: Day, match: Match) -> PlugRisk:
    """Word for the worst release probability of the row; low once checked or unknown.

    A check that is logged for the turnaround before off-block settles it.
    """
    heat = match.row.heat
    leaves = match.off_block_minute
    is_checked = any(
        check.turnaround_id == match.id and (leaves is None or check.minute <= leaves)
        for check in day.checks
    )
    if heat is None or is_checked:
        return PlugRisk.LOW
    brakes = [brake.release_probability for brake in heat.brakes]
    return PlugRisk.of(max([heat.release_probability, *brakes]))


def _slot_closes(day: Day, match: Match) -> Iterator[Violation]:
    ctot, take_off = match.given.departure.ctot_minute, match.take_off_minute
    if Relaxation.CTOT in match.row.relaxed or ctot is None or take_off is None:
        return
    if is_after_slot(match):
        closes = day.clock.short(ctot + CTOT_LATE_MINUTES)
        yield match.fault(
            Code.CTOT_LATE,
            "take-off",
            f"{closes} or earlier, or said to need a new slot",
            day.clock.short(take_off),
        )


def _false_relaxations(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    true = {
        Relaxation.CTOT: is_after_slot(match),
        Relaxation.STAND: bool(blocked_arrivals(day, match, matches)),
        Relaxation.CURFEW: match.is_held,
        Relaxation.HELD: match.is_held,
    }
    named = match.row.relaxed
    if len(set(named)) != len(named):
        got = ", ".join(named)
        yield match.fault(Code.RELAXATION, "relaxed", "each rule once", got)
    for relaxation in sorted(set(named)):
        if not true[relaxation]:
            expected = f"no {relaxation}, the rule holds"
            yield match.fault(Code.RELAXATION, "relaxed", expected, relaxation)


def _waits_for(day: Day, match: Match) -> Iterator[Violation]:
    if match.is_planned and match.row.brake_ready_minute is None:
        return
    allowed = _held_reasons(match) if match.is_held else _reasons(day, match)
    if match.row.waits_for not in allowed:
        expected = " or ".join(sorted(allowed))
        yield match.fault(Code.WAITS_FOR, "waits for", expected, match.row.waits_for)


def _held_reasons(match: Match) -> set[WaitsFor]:
    is_curfew = Relaxation.CURFEW in match.row.relaxed
    reasons = {WaitsFor.SLOT if is_curfew else WaitsFor.BRAKES}
    if match.row.binding_limit is Limit.PLUG_CHECK:
        reasons = reasons - {WaitsFor.BRAKES} | {WaitsFor.CHECK}
    return reasons


def _reasons(day: Day, match: Match) -> set[WaitsFor]:
    """Reasons that the row's own minutes leave possible.

    Whether another fan job would have been sooner is not written in a plan: brakes
    and fan are told apart only where no fan could be sent at all.
    """
    off_block = match.off_block_minute
    if off_block == match.given.target_off_block_minute or match.is_departed:
        return {WaitsFor.NOTHING}
    if _is_mostly_after_ready(match):
        return {WaitsFor.SLOT}
    if match.row.binding_limit is Limit.PLUG_CHECK:
        return {WaitsFor.CHECK}
    if match.row.binding_limit is Limit.TABLE:
        return {WaitsFor.BRAKES}
    may_approach = match.row.approach_minute is not None
    if any(fan.remote or may_approach for fan in day.station.fans):
        return {WaitsFor.BRAKES, WaitsFor.FAN}
    return {WaitsFor.BRAKES}


def _is_mostly_after_ready(match: Match) -> bool:
    """Whether the brakes were ready in more than half of the minutes of the delay."""
    late = range(match.given.target_off_block_minute, match.off_block_minute or 0)
    ready = match.row.brake_ready_minute
    if not late or ready is None:
        return True
    return sum(minute >= ready for minute in late) * 2 > len(late)


def _limit(match: Match) -> Iterator[Violation]:
    waits = match.row.waits_for in (WaitsFor.BRAKES, WaitsFor.FAN, WaitsFor.CHECK)
    if waits and match.is_planned and match.row.binding_limit is None:
        expected = "the limit that the brakes wait for"
        yield match.fault(Code.LIMIT, "binding limit", expected, "none")


def _plug_risk(day: Day, match: Match) -> Iterator[Violation]:
    risk = plug_risk(day, match)
    if match.is_planned and risk is not PlugRisk.LOW:
        expected = "low, or a logged plug check before off-block"
        yield match.fault(Code.PLUG_RISK, "plug risk", expected, risk)


def _status(plan: Plan) -> Iterator[Violation]:
    is_relaxed = any(row.relaxed for row in plan.turnarounds)
    is_proved = plan.proof.objective == plan.proof.bound
    expected = None
    if is_relaxed is not (plan.status is Status.RELAXED):
        expected = f"{'' if is_relaxed else 'not '}{Status.RELAXED}"
    elif plan.status is Status.OPTIMAL and not is_proved:
        expected = "optimal only with a bound equal to the objective"
    if expected is not None:
        yield Violation(
            code=Code.STATUS,
            turnaround_id=None,
            where="status",
            expected=expected,
            got=plan.status,
        )
