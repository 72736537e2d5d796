"""Any small day with every rule on is planned, proved and passes the check."""

from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.solve import SolveConfig, plan_day
from scheduler.verify import check_decisions
from tests.scheduler.full_small_days import full_day


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(min_value=1000, max_value=10**9))
def test_every_day_is_planned_and_passes(seed: int):
    """Nothing is raised, nothing is rejected, the proof is complete."""
    day, tables, published = full_day(seed)
    heat = [(table, None) for table in tables]
    result = plan_day(day, SolveConfig(seconds=60.0), published, tables=heat)
    assert result.rejected == ()
    assert result.plan.proof.objective == result.plan.proof.bound
    assert check_decisions(day, result.plan, published, with_heat=False) == ()
