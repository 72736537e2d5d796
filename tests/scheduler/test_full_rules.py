"""All rules at once: the plan is as good as the best of all plans, and passes."""

import pytest

from scheduler.plan import Status
from scheduler.solve import SolveConfig, plan_day
from scheduler.verify import check_decisions
from tests.scheduler.full_small_days import full_day
from tests.scheduler.trying_everything import best_by_trying

DAYS = 200


@pytest.mark.parametrize("seed", range(DAYS))
def test_plan_is_the_best_of_all(seed: int):
    """Objective of the plan and the best found by trying everything are the same."""
    day, tables, published = full_day(seed)
    heat = [(table, None) for table in tables]
    result = plan_day(day, SolveConfig(seconds=60.0), published, tables=heat)
    plan = result.plan
    assert result.rejected == ()
    assert plan.proof.objective == plan.proof.bound
    assert plan.status in (Status.OPTIMAL, Status.RELAXED)
    assert plan.proof.objective == best_by_trying(day, tables, published)
    assert check_decisions(day, plan, published, with_heat=False) == ()
