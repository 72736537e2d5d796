"""Where delay comes from, what-ifs, and the bound computed again."""

from dataclasses import replace

import numpy as np
import pytest

from scheduler.certificate import certify
from scheduler.choices import choices_of
from scheduler.explain import day_what_ifs, delay_shares, worth_of_plan
from scheduler.model.build import build
from scheduler.model.relax import Program
from scheduler.solve import SolveConfig, plan_day
from tests.scheduler.small_days import (
    blow,
    day_of,
    fan,
    flight,
    random_day,
    still,
    table,
)

CONFIG = SolveConfig(seconds=30)


def planned(day, tables):
    """Plan of a day without heat."""
    return plan_day(day, CONFIG, tables=[(one, None) for one in tables]).plan


def shared_fan():
    """Two aircraft that one fan would bring to 612; only one gets it."""
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    tables = [table(name, still(640), blow(602, 610, 612)) for name in "ab"]
    return day, tables


def test_each_resource_gets_its_own_share():
    """Two minutes each by their own heat, 28 for the fan that is missing."""
    day, tables = shared_fan()
    plan = planned(day, tables)
    shares = {it.resource: it.minutes for it in delay_shares(day, tables, plan, CONFIG)}
    assert shares == {
        "heat alone": 4,
        "fans shared": 28,
        "runway and CTOT": 0,
        "stand and crew": 0,
    }


def test_one_more_fan_saves_what_sharing_cost():
    """With a second unit both go at their own heat's minute, the runway apart."""
    day, tables = shared_fan()
    (found,) = day_what_ifs(day, tables, planned(day, tables), CONFIG)
    assert (found.change, found.minutes_saved, found.proved) == (
        "one more blower",
        26,
        True,
    )


@pytest.mark.parametrize("seed", range(8))
def test_shares_add_up_to_the_delay(seed: int):
    """Whatever the day, the shares are the whole delay, in minutes and in cost."""
    day, tables = random_day(seed)
    plan = planned(day, tables)
    shares = delay_shares(day, tables, plan, CONFIG)
    total = sum(it.minutes for it in shares), sum(it.cost for it in shares)
    assert total == worth_of_plan(day, plan)


@pytest.mark.parametrize("seed", range(8))
def test_the_bound_stands_below_the_plan(seed: int):
    """The bound from prices never exceeds the best plan's cost."""
    day, tables = random_day(seed)
    plan = planned(day, tables)
    found = certify(day, tables, plan)
    assert found is None or (found.holds and found.exact_bound <= found.value + 1e-6)


def test_any_prices_give_a_bound():
    """Prices out of thin air bound the cost too: the solver need not be believed."""
    day, tables = random_day(3)
    plan = planned(day, tables)
    model = build(
        day,
        choices_of(day, tables),
        {},
        may_hold=True,
        most_weight=plan.proof.objective[0],
    )
    program = Program.of(model, model.stages[1])
    rng = np.random.default_rng(1)
    for _ in range(50):
        bound, _ = program.priced(
            rng.normal(size=len(program.equal.most)),
            rng.normal(size=len(program.at_most.most)),
        )
        assert bound <= plan.proof.objective[1] + 1e-6


def test_a_claim_above_the_value_does_not_hold():
    """A plan that claims more than it costs is told."""
    day, tables = shared_fan()
    plan = planned(day, tables)
    found = certify(day, tables, plan)
    assert found is not None
    assert found.holds
    assert not replace(found, claimed=found.value + 1).holds
