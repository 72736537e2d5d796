"""A begun day planned again: what has begun stays, little moves, the why is told."""

from dataclasses import replace

import pytest

from scheduler.day import Basis, Outage, Pin, Pinned
from scheduler.plan import Relaxation
from scheduler.replan import differences, frozen_day, replan_day
from scheduler.solve import SolveConfig, plan_day
from scheduler.verify import check_decisions
from tests.benchmarks.plain_days import make_day
from tests.scheduler.small_days import blow, day_of, fan, flight, still, table

CONFIG = SolveConfig(seconds=20)


def planned(day, tables):
    """Plan of a day without heat."""
    return plan_day(day, CONFIG, tables=[(one, None) for one in tables]).plan


def again(day, tables, published):
    """The begun day planned again."""
    known = {one.turnaround_id: (one, None) for one in tables}
    return replan_day(day, published, CONFIG, known=known)


def two_flights():
    """Two aircraft, one fan: a goes at 612 behind it, b at 640 in still air."""
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    tables = [
        table("a", still(650), blow(602, 610, 612)),
        table("b", still(640), blow(602, 610, 613)),
    ]
    return day, tables


def with_target(day, name, minute):
    """Day on which one flight's ground handling ends at another minute."""
    rows = tuple(
        replace(one, target_off_block_minute=minute) if one.id == name else one
        for one in day.turnarounds
    )
    return replace(day, turnarounds=rows)


def test_without_an_event_nothing_changes():
    """The same day a little later is the same plan."""
    day, tables = two_flights()
    published = planned(day, tables)
    found = again(replace(day, now_minute=600), tables, published)
    assert found.changes == ()
    assert found.plan.proof.objective == found.plan.proof.bound


def test_a_job_that_has_begun_stays():
    """At 605 the fan blows on a: b does not get it though that would cost less."""
    day, tables = two_flights()
    published = planned(day, tables)
    assert [len(row.fan_jobs) for row in published.turnarounds] == [1, 0]
    late = with_target(replace(day, now_minute=605), "a", 645)
    found = again(late, tables, published)
    assert found.plan.of("a").fan_jobs == published.of("a").fan_jobs
    assert found.plan.of("a").off_block_minute == 645


def test_a_job_that_has_not_begun_may_go_to_another():
    """At 600 nobody has set up: b gets the fan that a needs no longer."""
    day, tables = two_flights()
    published = planned(day, tables)
    late = with_target(replace(day, now_minute=600), "a", 655)
    found = again(late, tables, published)
    assert found.plan.of("b").off_block_minute == 613
    (off_block,) = [c for c in found.changes if c.minutes and c.turnaround_id == "b"]
    assert (off_block.before, off_block.after, off_block.minutes) == (
        "10:40",
        "10:13",
        -27,
    )


def test_frozen_minutes_stay():
    """A time within the frozen minutes does not move even if that saves something."""
    day, tables = two_flights()
    published = planned(day, tables)
    pins = frozen_day(replace(day, now_minute=600), published).pins
    kept = [(p.turnaround_id, p.minute) for p in pins if p.kind is Pinned.OFF_BLOCK]
    assert kept == [("a", 612)]


def test_a_frozen_time_gives_way_to_the_brakes():
    """Where the brakes come later than the frozen minute the plan is not relaxed."""
    day, tables = two_flights()
    published = planned(day, tables)
    hotter = [table("a", still(655), blow(602, 610, 616)), tables[1]]
    found = again(replace(day, now_minute=605), hotter, published)
    row = found.plan.of("a")
    assert row.off_block_minute == 616
    assert row.relaxed == ()


def test_small_savings_move_nothing():
    """A published time moves only where that saves the stability minutes."""
    day = day_of(flight("a", target=620), stability_minutes=5)
    published = planned(day, [table("a", still(630))])
    for ready, goes in ((626, 630), (624, 624)):
        tables = [table("a", still(ready))]
        found = again(replace(day, now_minute=600), tables, published)
        assert found.plan.of("a").off_block_minute == goes


def test_what_has_left_is_no_change():
    """An aircraft that went as published is not told, whatever its fan job was."""
    day, tables = two_flights()
    published = planned(day, tables)
    rows = tuple(
        replace(one, off_block_basis=Basis.ACTUAL, target_off_block_minute=612)
        if one.id == "a"
        else one
        for one in day.turnarounds
    )
    found = again(replace(day, turnarounds=rows, now_minute=620), tables, published)
    assert found.changes == ()


def test_a_unit_out_of_service_is_worked_around():
    """The only fan fails before its job: the flight waits in still air, and says so."""
    day, tables = two_flights()
    published = planned(day, tables)
    out = Outage(units=1, from_minute=600, to_minute=700)
    station = replace(day.station, fans=(fan(outages=(out,)),))
    found = again(replace(day, station=station, now_minute=600), tables, published)
    assert all(row.fan_jobs == () for row in found.plan.turnarounds)
    assert Relaxation.PIN not in found.plan.of("a").relaxed
    assert {c.what for c in found.changes if c.turnaround_id == "a"} == {
        "off-block",
        "fan job",
    }


@pytest.mark.parametrize("seed", range(6))
def test_plans_of_begun_days_pass_the_check(seed: int):
    """One flight late in the middle of a wave: verified, and most stays as it was."""
    day, tables = make_day(16, 2, seed=seed)
    published = planned(day, tables)
    one = day.turnarounds[seed]
    now = one.in_block_minute
    target = one.target_off_block_minute + 12
    late = with_target(replace(day, now_minute=now), one.id, target)
    found = again(late, tables, published)
    assert check_decisions(found.day, found.plan, published, with_heat=False) == ()
    assert differences(late, published, published) == ()


def test_a_pin_is_told_as_the_reason():
    """Who moves for a pin is told so."""
    day, tables = two_flights()
    published = planned(day, tables)
    pin = Pin(turnaround_id="b", kind=Pinned.NOT_BEFORE, minute=650)
    found = again(replace(day, now_minute=600, pins=(pin,)), tables, published)
    (change,) = [c for c in found.changes if c.turnaround_id == "b"]
    assert (change.after, change.reason) == ("10:50", "is pinned")
