"""The linear relaxation, what it lets drop, and solving a day part by part."""

import pytest

from scheduler.choices import choices_of
from scheduler.model import stages
from scheduler.model.build import build
from scheduler.model.relax import relax
from scheduler.solve import SolveConfig, decide
from tests.benchmarks.plain_days import make_day
from tests.scheduler.small_days import (
    BruteForce,
    day_of,
    fan,
    flight,
    random_day,
    still,
    table,
)

CONFIG = SolveConfig(seconds=30)


@pytest.mark.parametrize("seed", range(20))
def test_the_relaxation_is_a_bound_and_keeps_the_best_plan(seed: int):
    """No plan is below the bound; the best plan uses no column that is dropped."""
    day, tables = random_day(seed)
    decisions, proof = decide(day, tables, CONFIG)
    weight, cost, *_ = proof.objective
    model = build(day, choices_of(day, tables), {}, may_hold=True)
    model.freeze(model.stages[0], weight)
    price = relax(model, model.stages[1], seconds=10)
    if price is None:
        assert not model.variables.departures
        return
    assert price.exact_bound <= cost + 1e-6
    kept = price.keeps(cost)
    by_id = {one.turnaround_id: one for one in decisions}
    for one in model.variables.departures:
        for literal, value in one.decided(by_id[one.choices.turnaround.id], 0):
            assert kept[literal.index] or not value


def test_the_relaxation_is_exact_where_nothing_is_shared():
    """Without a common fan or runway the bound is the cost, and it drops the rest."""
    day = day_of(flight("a"), fans=(fan(),))
    model = build(day, choices_of(day, [table("a", still(617))]), {}, may_hold=False)
    price = relax(model, model.stages[1], seconds=10)
    assert price is not None
    assert price.bound == 7
    (one,) = model.variables.departures
    left = [slot for slot, x in one.slots.items() if price.keeps(9)[x.index]]
    assert left == [617, 618, 619]


def test_no_time_gives_no_relaxation():
    """A relaxation that is cut short is not used."""
    day, tables = make_day(12, 2, seed=3)
    model = build(day, choices_of(day, tables), {}, may_hold=False)
    assert relax(model, model.stages[1], seconds=0) is None


@pytest.mark.parametrize("seed", range(4))
def test_every_way_through_a_day_proves_the_same_value(
    seed: int, monkeypatch: pytest.MonkeyPatch
):
    """Without prices, at once, and part by part, a day has the same best value."""
    day, tables = make_day(14, 2, seed=seed)
    _, at_once = decide(day, tables, CONFIG)
    monkeypatch.setattr(stages, "_CUTS", ())
    monkeypatch.setattr(stages, "_SMALLEST_PART", 4)
    _, by_parts = decide(day, tables, CONFIG)
    monkeypatch.setattr(stages, "relax", lambda *_, **__: None)
    _, unpriced = decide(day, tables, CONFIG)
    assert at_once.objective == at_once.bound
    assert by_parts.objective == by_parts.bound == at_once.objective
    assert unpriced.objective == unpriced.bound == at_once.objective


@pytest.mark.parametrize("seed", range(1, 60, 2))
def test_part_by_part_equals_brute_force(seed: int, monkeypatch: pytest.MonkeyPatch):
    """Days that must break rules are solved part by part to the best value too."""
    monkeypatch.setattr(stages, "_CUTS", ())
    monkeypatch.setattr(stages, "_SMALLEST_PART", 2)
    day, tables = random_day(seed)
    _, proof = decide(day, tables, CONFIG)
    assert proof.objective == proof.bound == BruteForce(day, tables).value()


def test_stretches_cover_every_arrival():
    """Each stretch has the size asked for and every arrival is in one."""
    day, tables = make_day(23, 2, seed=1)
    choices = choices_of(day, tables)
    parts = list(stages.stretches(choices, 6))
    assert set().union(*parts) == {one.turnaround.id for one in choices}
    assert max(map(len, parts)) == 6


@pytest.mark.parametrize("seed", range(12))
def test_one_sum_and_frozen_stages_give_the_same_answer(
    seed: int, monkeypatch: pytest.MonkeyPatch
):
    """The folded sum and stage after stage have the same value in every stage."""
    day, tables = random_day(seed)
    _, at_once = decide(day, tables, CONFIG)
    monkeypatch.setattr(stages, "folded", lambda _: None)
    _, one_by_one = decide(day, tables, CONFIG)
    assert at_once.objective == one_by_one.objective
    assert one_by_one.objective == one_by_one.bound
