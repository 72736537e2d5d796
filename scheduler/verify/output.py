"""What people read: the cautions are there, the actions belong to the plan."""

from collections.abc import Iterator

from scheduler.day import Day
from scheduler.plan import Action, Plan
from scheduler.verify.violation import Code, Violation


def output_violations(day: Day, plan: Plan) -> Iterator[Violation]:
    """Missing cautions, and actions of nobody, elsewhere or due before they start."""
    if not any(caution.strip() for caution in plan.cautions):
        yield Violation(
            code=Code.CAUTIONS,
            turnaround_id=None,
            where="cautions",
            expected="the cautions that every plan carries",
            got="none",
        )
    stands = {given.id: given.stand for given in day.turnarounds}
    for action in plan.actions:
        yield from _action(day, action, stands.get(action.turnaround_id))


def _action(day: Day, action: Action, stand: str | None) -> Iterator[Violation]:
    expected = got = None
    if stand is None:
        expected, got = "a turnaround of the day", action.turnaround_id
    elif action.stand != stand:
        expected, got = f"stand {stand}", action.stand
    elif not action.do_by_minute >= action.minute:
        expected = f"done by {day.clock.short(action.minute)} or later"
        got = day.clock.short(action.do_by_minute)
    if expected is not None and got is not None:
        yield Violation(
            code=Code.ACTION,
            turnaround_id=action.turnaround_id,
            where=f"action at {day.clock.short(action.minute)}, {action.what}",
            expected=expected,
            got=got,
        )
