"""A lower bound on the day's delay cost that trusts no solver's word.

Enters: a day, its option tables, the plan that claims a bound. Leaves: prices of the
model's rows and the bound that follows from them. Whatever prices one takes, the bound
holds: it is a sum that can be followed by hand, and the linear solver that proposed
the prices does not have to be believed.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.choices import choices_of
from scheduler.day import Day
from scheduler.options import OptionTable
from scheduler.plan import Plan

STAGE = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """The delay cost of a plan between its value and the bounds on it.

    ``bound`` is computed again here; ``claimed`` is what the plan says. The claim
    cannot be too high if ``claimed`` is no more than the plan's ``value``; how far the
    linear bound lies below is the solver's share of the proof.
    """

    value: int
    claimed: int
    bound: int
    exact_bound: float

    @property
    def holds(self) -> bool:
        """Whether bound, claim and value stand in order."""
        return self.bound <= self.value and self.claimed <= self.value

    @property
    def gap(self) -> float:
        """Relative distance of the value from the bound computed here."""
        return 0.0 if self.value == 0 else (self.value - self.bound) / self.value


def certify(
    day: Day, tables: Sequence[OptionTable], plan: Plan, *, seconds: float = 60.0
) -> Certificate | None:
    """Bound the delay cost of the day under the plan's weight of broken rules.

    Parameters
    ----------
    day : Day
    tables : sequence of OptionTable
        What the heat allows.
    plan : Plan
        Its first stage is taken as given, its second one is bounded.
    seconds : float
        Longest time for the linear solver that proposes prices.

    Returns
    -------
    certificate : Certificate or None
        None where the time was not enough or nothing is open.
    """
    from scheduler.model.build import build
    from scheduler.model.relax import relax

    weight = plan.proof.objective[0]
    model = build(day, choices_of(day, tables), {}, may_hold=True, most_weight=weight)
    found = relax(model, model.stages[STAGE], seconds=seconds)
    if found is None:
        return None
    return Certificate(
        value=plan.proof.objective[STAGE],
        claimed=plan.proof.bound[STAGE],
        bound=found.bound,
        exact_bound=found.exact_bound,
    )
