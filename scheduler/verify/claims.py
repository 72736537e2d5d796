"""What the plan says about itself: limits, plug risk, status.

- A flight that waits for its brakes names the limit.
- Nobody leaves at raised plug risk or worse before a plug check is logged.
- *relaxed* is the status if, and only if, a relaxation is used; *optimal* needs a
  bound that equals the objective.
"""

from collections.abc import Iterator

from scheduler.day import Day
from scheduler.options import PlugRisk
from scheduler.plan import Plan, Status, WaitsFor
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


def claim_violations(
    day: Day, plan: Plan, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    """Every rule of this module on every row, then on the plan."""
    for match in matches:
        yield from _limit(match)
        yield from _plug_risk(day, match)
    yield from _status(plan)


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
