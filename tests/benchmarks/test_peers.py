"""Other ways to solve a day agree with the model on what the least delay costs."""

from dataclasses import replace

import pytest

from scheduler.day import WakeTable
from scheduler.solve import SolveConfig, decide
from tests.benchmarks.peers import question_of, solve_with
from tests.benchmarks.plain_days import make_day
from tests.scheduler.small_days import day_of, flight, random_day, still, table

CONFIG = SolveConfig(seconds=30)
WAKE_FLIGHTS = (("a", 610), ("b", 611), ("c", 611))
EXACT = ("intervals", "milp")


@pytest.mark.parametrize("name", EXACT)
@pytest.mark.parametrize("seed", range(8))
def test_small_days_agree(seed: int, name: str):
    """Fans, runway, slots, stands and curfews: the same delay cost, and proved."""
    day, tables = random_day(seed)
    _, proof = decide(day, tables, CONFIG)
    found = solve_with(name, day, tables, 60)
    assert found["status"] == "OPTIMAL"
    assert found["objective"] == found["bound"] == proof.objective[1]


@pytest.mark.parametrize("name", EXACT)
def test_a_synthetic_day_agrees(name: str):
    """Arrivals in waves with two fan types of several units."""
    day, tables = make_day(16, 1, seed=1)
    _, proof = decide(day, tables, CONFIG)
    found = solve_with(name, day, tables, 60)
    assert found["objective"] == found["bound"] == proof.objective[1]


@pytest.mark.parametrize("name", EXACT)
def test_wake_classes_agree(name: str):
    """Behind the heavy one the light ones wait longer than the base spacing."""
    pairs = (("H", "L", 240),)
    wake = WakeTable(name="made up", source="invented", edition="1", pairs=pairs)
    day = day_of(*(flight(one, target=at) for one, at in WAKE_FLIGHTS), wake=wake)
    small = replace(day.aircraft[0], name="light")
    light = [replace(one, aircraft="light") for one in day.tails[1:]]
    day = replace(
        day,
        aircraft=(*day.aircraft, small),
        tails=(day.tails[0], *light),
        wake_categories=(("synthetic twin", "H"), ("light", "L")),
    )
    tables = [table(one, still(600)) for one in "abc"]
    _, proof = decide(day, tables, CONFIG)
    found = solve_with(name, day, tables, 60)
    assert found["objective"] == found["bound"] == proof.objective[1]


def test_first_come_is_no_better():
    """The plan without a solver is an upper limit, without a bound of its own."""
    day, tables = make_day(20, 2, seed=1)
    first, best = (solve_with(name, day, tables, 60) for name in ("first come", "milp"))
    assert first["bound"] == 0
    assert first["objective"] > best["objective"]


def test_what_the_other_ways_do_not_know_is_refused():
    """A day with rules that they would not keep gets no answer."""
    day = replace(day_of(flight("a")), now_minute=600)
    with pytest.raises(ValueError, match="clock"):
        question_of(day, [table("a", still(600))])
