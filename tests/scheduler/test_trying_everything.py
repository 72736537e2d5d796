"""The two ways of trying everything agree, and each rule of the full days matters."""

from dataclasses import replace

import pytest
from small_days import BruteForce, random_day

from scheduler.day import Day
from tests.scheduler.full_small_days import full_day
from tests.scheduler.trying_everything import best_by_trying


@pytest.mark.parametrize("seed", range(60))
def test_agrees_with_the_plainer_search(seed: int):
    """On days with the first rules only, both searches find the same best value."""
    day, tables = random_day(seed)
    assert best_by_trying(day, tables) == BruteForce(day, tables).value()


def _without_turnaround_rules(day: Day, **changes: object) -> Day:
    flights = tuple(replace(one, **changes) for one in day.turnarounds)
    return replace(day, turnarounds=flights)


def _without_departure_rules(day: Day, **changes: object) -> Day:
    flights = tuple(
        replace(one, departure=replace(one.departure, **changes))
        for one in day.turnarounds
    )
    return replace(day, turnarounds=flights)


def _with_station(day: Day, **changes: object) -> Day:
    return replace(day, station=replace(day.station, **changes))


def _with_runways(day: Day, **changes: object) -> Day:
    runways = tuple(replace(one, **changes) for one in day.station.runways)
    return _with_station(day, runways=runways)


def _with_fans(day: Day, **changes: object) -> Day:
    return _with_station(
        day, fans=tuple(replace(one, **changes) for one in day.station.fans)
    )


WITHOUT = {
    "closures": lambda day: _with_runways(day, closures=()),
    "landings": lambda day: _with_runways(day, arrival_gap_minutes=0),
    "spacing": lambda day: _with_runways(day, spacing_minutes=0),
    "wake": lambda day: _with_station(day, wake=None),
    "slots": lambda day: _with_station(day, slots=(), slots_only=False),
    "curfews": lambda day: _with_station(day, curfews=()),
    "tolerance": lambda day: _with_station(day, tolerance_minutes=99),
    "pins": lambda day: replace(day, pins=()),
    "outages": lambda day: _with_fans(day, outages=()),
    "moves": lambda day: _with_station(_with_fans(day, move_minutes=0), zone_moves=()),
    "crew limit": lambda day: _without_departure_rules(day, crew_limit_minute=None),
    "CTOT": lambda day: _without_departure_rules(day, ctot_minute=None),
    "rotation": lambda day: _without_turnaround_rules(day, rotation_minutes=None),
    "work": lambda day: _without_turnaround_rules(day, duties=()),
}


@pytest.mark.parametrize("rule", sorted(WITHOUT))
def test_every_rule_binds_on_some_day(rule: str):
    """Without a rule some day gets better: the random days do put it to the test."""
    for seed in range(300):
        day, tables, published = full_day(seed)
        if rule == "moves" and day.station.exact_moves:
            continue
        freer = WITHOUT[rule](day)
        if freer == day:
            continue
        best = best_by_trying(day, tables, published)
        if best_by_trying(freer, tables, published) < best:
            return
    pytest.fail(f"no day in which {rule} binds")


def test_exact_moves_bind_on_some_day():
    """Some day loses by the way between two zones, so the rule is put to the test."""
    for seed in range(300):
        day, tables, published = full_day(seed)
        if not day.station.exact_moves:
            continue
        moves = tuple(replace(one, minutes=0) for one in day.station.zone_moves)
        freer = _with_station(day, zone_moves=moves)
        best = best_by_trying(day, tables, published)
        if best_by_trying(freer, tables, published) < best:
            return
    pytest.fail("no day in which moves bind")


def test_tow_offs_and_rollouts_are_used_on_some_day():
    """Towing and asking for a longer rollout both pay on some day."""
    tows = asks = 0
    for seed in range(100):
        day, tables, published = full_day(seed)
        best = best_by_trying(day, tables, published)
        stands = tuple(replace(s, tow_off_minutes=None) for s in day.station.stands)
        untowed = _with_station(day, stands=stands)
        tows += best_by_trying(untowed, tables, published) > best
        plain = [
            replace(t, options=tuple(o for o in t.options if o.rollout is None))
            for t in tables
        ]
        asks += best_by_trying(day, plain, published) > best
    assert tows > 3
    assert asks > 3
