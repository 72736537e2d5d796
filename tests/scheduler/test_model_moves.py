"""Exact moves of fan units between zones."""

from dataclasses import replace

import pytest

from scheduler.day import ZoneMove
from scheduler.plan import Status
from scheduler.solve import SolveConfig, plan_day
from scheduler.verify import check_decisions
from tests.benchmarks.hard_days import Shape, make_hard_day
from tests.scheduler.small_days import blow, day_of, fan, flight, still, table

CONFIG = SolveConfig(seconds=60)


def plan_of(day, tables):
    """Plan of a day without heat."""
    return plan_day(day, CONFIG, tables=[(one, None) for one in tables]).plan


def two_zones(minutes: int):
    """One unit at home in the west, a job west and a job east right after it."""
    day = day_of(
        flight("a"),
        flight("b"),
        fans=(fan(home=(("west", 1),), setup_minutes=0, removal_minutes=0),),
        exact_moves=True,
        zone_moves=(
            ZoneMove(from_zone="west", to_zone="east", minutes=minutes),
            ZoneMove(from_zone="west", to_zone="west", minutes=0),
            ZoneMove(from_zone="east", to_zone="east", minutes=0),
        ),
    )
    west, east = day.turnarounds[0].stand, day.turnarounds[1].stand
    stands = [
        replace(one, zone={west: "west", east: "east"}.get(one.name, "west"))
        for one in day.station.stands
    ]
    day = replace(day, station=replace(day.station, stands=tuple(stands)))
    tables = [
        table("a", still(660), blow(602, 612, 620)),
        table("b", still(640), blow(618, 628, 630)),
    ]
    return day, tables


def test_a_unit_that_cannot_be_there_in_time_is_not_used():
    """Six minutes between the jobs are enough for a move of six, not of seven."""
    day, tables = two_zones(6)
    assert len([row for row in plan_of(day, tables).turnarounds if row.fan_jobs]) == 2
    day, tables = two_zones(7)
    (row,) = [row for row in plan_of(day, tables).turnarounds if row.fan_jobs]
    assert row.id == "a"


@pytest.mark.parametrize("seed", range(4))
def test_equal_moves_are_the_pooled_move(seed: int):
    """Where every move takes the pooled minutes both rules give the same best day."""
    shape = Shape(turnarounds=16, fans=3, seed=seed)
    day, tables = make_hard_day(shape)
    zones = ("north", "centre", "south")
    moves = tuple(
        ZoneMove(from_zone=one, to_zone=two, minutes=day.station.fans[0].move_minutes)
        for one in zones
        for two in zones
    )
    exact = replace(
        day, station=replace(day.station, exact_moves=True, zone_moves=moves)
    )
    pooled, moved = plan_of(day, tables), plan_of(exact, tables)
    assert moved.status is Status.OPTIMAL
    assert moved.proof.objective == pooled.proof.objective


@pytest.mark.parametrize("seed", range(4))
def test_exact_plans_pass_the_check(seed: int):
    """The check finds a way for every unit to be where the plan wants it."""
    day, tables = make_hard_day(
        Shape(turnarounds=20, fans=3, seed=seed, exact_moves=True)
    )
    plan = plan_of(day, tables)
    assert plan.proof.solver.startswith("CP-SAT")
    assert check_decisions(day, plan, with_heat=False) == ()
