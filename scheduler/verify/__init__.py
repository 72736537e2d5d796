"""Checks a plan against its day, without a line of the code that made the plan.

A day and a plan enter; every violation that was found leaves, never only the first.
The rules are written the other way round from an optimiser: sweeps over minutes and
loops over all pairs instead of rows and bounds. Nothing of the plan is taken on
trust: take-offs, delays, relaxations and the objective are computed again.
"""

from collections.abc import Collection

from scheduler.day import Day
from scheduler.plan import Plan
from scheduler.verify.claims import claim_violations
from scheduler.verify.duties import duty_violations
from scheduler.verify.facts import fact_violations
from scheduler.verify.fans import fan_violations
from scheduler.verify.figures import figure_violations
from scheduler.verify.heat import heat_violations
from scheduler.verify.held import held_violations
from scheduler.verify.matches import match_rows
from scheduler.verify.numbers import number_violations, range_violations
from scheduler.verify.objective import proof_violations
from scheduler.verify.output import output_violations
from scheduler.verify.rows import row_violations
from scheduler.verify.runway import runway_violations
from scheduler.verify.soft import soft_violations
from scheduler.verify.tow import tow_violations
from scheduler.verify.violation import Code, Violation
from scheduler.verify.waits import waits_violations

__all__ = ["Code", "Violation", "check", "check_decisions"]


def check(
    day: Day,
    plan: Plan,
    published: Plan | None = None,
    *,
    with_heat: bool = True,
    heat_of: Collection[str] | None = None,
) -> tuple[Violation, ...]:
    """Find everything that is wrong with a finished plan.

    Parameters
    ----------
    day : Day
        What was given.
    plan : Plan
        What was decided, with its action list and cautions.
    published : Plan, optional
        The plan that this one replaces. Without it the number of changes can only
        be checked to lie between zero and the number of turnarounds.
    with_heat : bool
        Integrate the heat again. Only a plan whose minutes did not come from the heat
        of this day can do without.
    heat_of : collection of str, optional
        Integrate the heat of these turnarounds only, all of them if not given.

    Returns
    -------
    violations : tuple of Violation
        Empty when every rule holds. A plan with minutes that are no integers gets
        those faults alone, because nothing else of it can be judged.
    """
    unreadable = number_violations(plan)
    if unreadable:
        return unreadable
    found = _decisions(day, plan, published, with_heat=with_heat, heat_of=heat_of)
    return (*found, *output_violations(day, plan))


def check_decisions(
    day: Day,
    plan: Plan,
    published: Plan | None = None,
    *,
    with_heat: bool = True,
    heat_of: Collection[str] | None = None,
) -> tuple[Violation, ...]:
    """Find what is wrong with the decisions, before actions and cautions are added.

    Parameters and result are those of `check`.
    """
    return number_violations(plan) or _decisions(
        day, plan, published, with_heat=with_heat, heat_of=heat_of
    )


def _decisions(
    day: Day,
    plan: Plan,
    published: Plan | None,
    *,
    with_heat: bool,
    heat_of: Collection[str] | None,
) -> tuple[Violation, ...]:
    matches, mismatched = match_rows(day, plan)
    return (
        *range_violations(plan),
        *mismatched,
        *row_violations(day, matches),
        *fact_violations(day, matches, published),
        *held_violations(day, matches),
        *fan_violations(day, matches),
        *duty_violations(day, matches),
        *runway_violations(day, matches),
        *soft_violations(day, matches),
        *tow_violations(day, matches),
        *waits_violations(day, matches),
        *claim_violations(day, plan, matches),
        *figure_violations(matches),
        *proof_violations(day, plan, matches, published),
        *(heat_violations(day, plan, heat_of) if with_heat else ()),
    )
