"""Plans hold on sampled days, and the simulation would see it if they did not."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from heated_day import heated_day

from scheduler.cases import build_case
from scheduler.day import Day
from scheduler.files import read_scenario
from scheduler.plan import Plan
from scheduler.solve import SolveConfig, SolveResult, plan_day
from tests.benchmarks.simulated_cases import Truths, air_of, leaving, lower_bound
from tests.benchmarks.simulated_days import (
    Aircraft,
    plain_draws,
    plainly_drawn,
    true_minutes,
)
from tests.benchmarks.simulated_delays import decided, disturbed
from tests.benchmarks.simulated_shifts import Flight, Mishap, carried_out, flights_of
from tests.benchmarks.simulation import SCENARIOS, simulate

FEW = Truths(seed=9, days=48, looked_at=8)


def day() -> Day:
    """Three aircraft that have to leave before they are cool, with fans."""
    return heated_day(with_fans=True)


@cache
def result() -> SolveResult:
    """The plan of that day with its tables."""
    return plan_day(day(), SolveConfig(seconds=5, sample_count=512))


@cache
def flights() -> tuple[Flight, ...]:
    """What was decided, ready to be carried out."""
    plan, tables = result().plan, [table for table, _ in result().tables]
    made = decided(day(), plan, tables)
    return tuple(flights_of(day(), tables, made, plan.seed, plan.sample_count))


def moved(plan: Plan, minutes: int) -> Plan:
    """The same plan with brake-ready and off-block some minutes later."""
    return replace(
        plan,
        turnarounds=tuple(
            replace(
                row,
                brake_ready_minute=row.brake_ready_minute + minutes,
                off_block_minute=row.off_block_minute + minutes,
            )
            for row in plan.turnarounds
        ),
    )


@pytest.mark.parametrize(
    ("hits", "count", "expected"),
    [(0, 50, 0.0), (1, 10, 1 - 0.95**0.1), (10, 10, 0.05**0.1)],
)
def test_the_lower_bound_is_exact(hits: int, count: int, expected: float) -> None:
    """None, one and all of them have bounds that can be written down."""
    assert lower_bound(hits, count) == pytest.approx(expected, abs=1e-12)


def test_truths_are_plain_draws_of_a_stream_of_their_own() -> None:
    """As many as asked for, the same again, others with another seed."""
    shape = ("a", "b"), ("c",), 4
    one, again, other = (plain_draws(2001, (seed, 3), *shape) for seed in (1, 1, 2))
    assert one.common.shape == (2001, 2)
    assert one.per_brake.shape == (2001, 1, 4)
    assert (one.common == again.common).all()
    assert abs(np.corrcoef(one.common[:, 0], other.common[:, 0])[0, 1]) < 0.1
    assert one.common.mean() == pytest.approx(0.5, abs=0.03)


def test_the_first_minute_is_that_of_looking_at_every_minute() -> None:
    """Steps and halving find what a look at each minute finds, with a fan and without.

    Some samples hold before the minute that is begun with, some only after it.
    """
    plan = result().plan
    one, row = next((it, row) for it, row in leaving(day(), plan) if row.fan_jobs)
    with plainly_drawn():
        case = build_case(day(), one, sample_count=4, seed=9)
    start = float(row.fan_jobs[0].start_minute - one.in_block_minute)
    blown = air_of(day(), one, row.fan_jobs[0], np.full(4, start))
    for air in (None, blown):
        aircraft = Aircraft.of(case, 240, air)
        begin = aircraft.away_minute.max() + 8.0
        last = int(begin) + 30
        found = true_minutes(aircraft, np.arange(4), begin, float(last))
        minutes = np.arange(int(aircraft.away_minute[0]), last + 1)
        every = np.repeat(np.arange(4), minutes.size)
        margins = aircraft.margins_k(every, np.tile(minutes, 4).astype(float))
        bad = (margins < 0).any(axis=1).reshape(4, -1)
        after = np.where(bad.any(axis=1), bad.shape[1] - bad[:, ::-1].argmax(axis=1), 0)
        expected = minutes[0] + after
        assert (found == np.where(after < minutes.size, expected, np.inf)).all()
        assert np.isfinite(found).any()


def test_the_plan_is_safe_and_not_timid() -> None:
    """Few days break a limit, and brake-ready is near what each day needed."""
    found = simulate(day(), result().plan, FEW)
    assert found["aircraft"] == 3
    assert found["is_safe"]
    assert found["is_not_timid"]


def test_leaving_earlier_than_planned_is_seen_to_be_unsafe() -> None:
    """A quarter of an hour before brake-ready limits break on many days."""
    found = simulate(day(), moved(result().plan, -15), FEW)
    assert not found["is_safe"]
    assert found["broken_share"] > 0.05


def test_a_plan_that_waits_for_an_hour_is_seen_to_be_timid() -> None:
    """Nothing breaks, but the median excess is far over the bar."""
    found = simulate(day(), moved(result().plan, 60), FEW)
    assert found["is_safe"]
    assert not found["is_not_timid"]


def test_a_day_as_planned_goes_as_planned() -> None:
    """Without a mishap every aircraft leaves at its minute, every fan blows at its."""
    outcome = carried_out(day(), flights(), Mishap(shifts={}))
    for one in flights():
        assert outcome[one.id].off_block == one.decision.off_block_minute
        job = one.job
        assert outcome[one.id].air_from == (job.start_minute if job else None)


def test_a_fan_that_fails_leaves_its_aircraft_in_still_air() -> None:
    """Where the station has one unit, the first job and all after it are lost."""
    station = day().station
    single = tuple(replace(fan, units=1) for fan in station.fans)
    lonely = replace(day(), station=replace(station, fans=single))
    outcome = carried_out(lonely, flights(), Mishap(shifts={}, failed=0.0))
    blown = [one for one in flights() if one.job]
    assert blown
    for one in blown:
        came = one.choices.turnaround.in_block_minute
        assert outcome[one.id].air_from is None
        assert outcome[one.id].off_block >= came + one.release.still


def test_a_late_aircraft_leaves_later_and_one_that_is_early_not_earlier() -> None:
    """Heat and handling start with in-block; nobody leaves before the plan."""
    for shift in (-10, 25):
        shifts = {one.id: shift for one in flights()}
        outcome = carried_out(day(), flights(), Mishap(shifts=shifts))
        for one in flights():
            planned = one.decision.off_block_minute
            target = one.choices.turnaround.target_off_block_minute
            assert outcome[one.id].off_block >= max(planned, target + max(shift, 0))


def test_take_offs_of_a_disturbed_day_keep_their_distance() -> None:
    """First come, first served, with the spacing of the runway."""
    shifts = dict(zip((one.id for one in flights()), (20, 11, 0), strict=True))
    outcome = carried_out(day(), flights(), Mishap(shifts=shifts))
    away = sorted(
        outcome[one.id].off_block + one.choices.taxi_out_minutes for one in flights()
    )
    spacing = day().departure_runway_of(day().turnarounds[0]).spacing_minutes
    assert np.diff(away).min() >= spacing


@pytest.mark.slow
def test_disturbed_days_are_compared_with_first_come_on_the_same_days() -> None:
    """Both ways meet the same days; limits hold behind the fans there really were."""
    found = disturbed(day(), result(), replace(FEW, days=30))
    assert found["held"] == {"plan": 0, "first_come": 0}
    for name in ("in_block", "fan_late", "fan_failed"):
        one = found[name]
        saved = one["first_come_delay_minutes"] - one["plan_delay_minutes"]
        assert one["saved_minutes"] == pytest.approx(saved)
        assert one["broken"]["lower_95"] <= 0.01


@pytest.mark.slow
def test_a_shipped_day_is_safe_on_a_thousand_days() -> None:
    """Small Field: every aircraft, every brake, and how much earlier it could go."""
    small = read_scenario(SCENARIOS / "small-field")
    plan = plan_day(small, SolveConfig()).plan
    found = simulate(small, plan, Truths(seed=9, days=1000))
    assert found["broken_with_stand_lower_95"] <= found["bar_share"]
    assert found["excess_median_minutes"] <= found["bar_excess_minutes"]
