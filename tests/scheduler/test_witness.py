"""The draw that is named behind a fan job is the one that sets its minute."""

from dataclasses import replace

import numpy as np
import pytest

from scheduler.assemble import assemble
from scheduler.decisions import Decision
from scheduler.options import Limit, Option, OptionTable
from scheduler.plan import Proof
from scheduler.readiness.limits import COLUMNS, SampleMinutes
from scheduler.readiness.witness import row_behind_fan
from tests.sample_day import DAY, heat

STOPPING, INDICATED = COLUMNS.index(Limit.STOPPING), COLUMNS.index(Limit.INDICATED)
PROOF = Proof(
    objective=(0, 0, 0, 0), bound=(0, 0, 0, 0), gap=0.0, seconds=0.0, solver="none"
)


def rows_of(*rows: tuple[int, int, float]) -> SampleMinutes:
    """Rows of sample, limit and minute, numbered from 100."""
    sample, limit, minute = zip(*rows, strict=True)
    return SampleMinutes(
        row=np.arange(100, 100 + len(rows)),
        sample=np.array(sample),
        limit=np.array(limit),
        minute=np.array(minute, dtype=np.float64),
    )


@pytest.mark.parametrize(("above", "expected"), [(0, 102), (1, 101), (9, 100)])
def test_as_many_samples_lie_above_as_may(above: int, expected: int) -> None:
    """The latest samples are left out one by one, however many rows each has."""
    found = rows_of((0, STOPPING, 20.0), (1, STOPPING, 30.0), (2, STOPPING, 40.0))
    still = np.array([50.0, 60.0, 70.0])
    assert row_behind_fan(found, still, 10.0, above) == expected


def test_a_sample_counts_once() -> None:
    """Two late rows of one sample are one sample above the bound."""
    found = rows_of((7, STOPPING, 40.0), (7, STOPPING, 39.0), (8, STOPPING, 30.0))
    assert row_behind_fan(found, np.zeros(3), 10.0, 1) == 102


def test_of_rows_that_share_a_minute_the_latest_in_still_air_is_named() -> None:
    """All are ready when the fan is away; the hottest draw stands for them."""
    found = rows_of((0, STOPPING, 22.0), (1, STOPPING, 22.0), (2, STOPPING, 22.0))
    assert row_behind_fan(found, np.array([50.0, 80.0, 60.0]), 10.0, 0) == 101


def test_a_wait_for_the_indicator_names_no_draw() -> None:
    """A row that only waits until the indicator can be trusted comes last."""
    found = rows_of((0, INDICATED, 25.0), (1, STOPPING, 22.0), (2, INDICATED, 26.0))
    still = np.array([90.0, 80.0, 70.0])
    assert row_behind_fan(found, still, 25.0, 0) == 102
    assert row_behind_fan(found, still, 25.0, 1) == 101


@pytest.mark.parametrize("fan", [None, "blower"])
def test_the_plan_names_the_draw_of_the_chosen_option(fan: str | None) -> None:
    """Another way to cool is set by another draw and brake."""
    given = DAY.turnarounds[0]
    still = Option(ready_minute=840, binding=Limit.STOPPING, witness=(3, "4"))
    window = {"units": 1, "start_minute": 815, "end_minute": 820}
    blown = Option(
        fan="blower", **window, ready_minute=830, binding=Limit.PLUG, witness=(5, "1")
    )
    table = OptionTable(
        turnaround_id=given.id, approach_minute=812, options=(still, blown)
    )
    option = still if fan is None else blown
    plan = assemble(
        replace(DAY, turnarounds=(given,)),
        [table],
        {given.id: heat(0.0, 830)},
        [Decision(turnaround_id=given.id, option=option, off_block_minute=855)],
        PROOF,
        seed=1,
        sample_count=64,
    )
    summary = plan.of(given.id).heat
    assert summary is not None
    assert (summary.binding_sample, summary.binding_position) == option.witness
