"""At the planned weight the weight curve has the plan's brake-ready, to the minute."""

import pytest

from scheduler.tradeoff import Weigher
from scheduler.windows import is_gone
from tests.scenarios.planned_day import Planned

pytestmark = pytest.mark.slow


def test_heat_alone_gives_the_minute_of_the_plan(shipped: Planned) -> None:
    """Every turnaround that is still to leave, with the fan job of the plan.

    The plan may be later than the heat alone where the second integration asked for it;
    here it did not.
    """
    apart = {}
    for turnaround, row in shipped.rows:
        if is_gone(turnaround):
            continue
        found = Weigher(
            shipped.day,
            turnaround,
            job=row.fan_jobs[0] if row.fan_jobs else None,
            planned_minute=row.brake_ready_minute,
            rollout=row.rollout,
            sample_count=shipped.plan.sample_count,
            seed=shipped.plan.seed,
        )
        assert found.planned_minute == row.brake_ready_minute
        apart[turnaround.id] = found.shift_minutes
    assert apart
    assert set(apart.values()) == {0}, apart
