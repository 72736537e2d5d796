"""The demonstration day holds every situation that it is there to show."""

import csv
from collections import Counter

import pytest

from scheduler.choices import usable_options
from scheduler.day import Basis, FanType, Reverse
from scheduler.options import Limit, OptionTable, PlugRisk
from scheduler.plan import WaitsFor
from tests.scenarios.planned_day import SCENARIOS, Planned

FOLDER = SCENARIOS / "tarn-field"
HELD_MINUTES = 5
CTOT_EARLY, CTOT_LATE = 5, 10  # A-CDM: a slot from 5 minutes before to 10 after


def test_two_dozen_aircraft_are_still_to_leave(tarn_field: Planned) -> None:
    """The day has 24 departures to plan, of at least four types, and some gone."""
    day = tarn_field.day
    gone = [t for t in day.turnarounds if t.off_block_basis is Basis.ACTUAL]
    assert len(day.turnarounds) - len(gone) >= 24
    assert gone
    assert len({day.aircraft_of(t).brake for t in day.turnarounds}) >= 4


def test_weather_is_hot_high_and_partly_forecast(tarn_field: Planned) -> None:
    """Reports reach 33 °C at 760 m and a forecast follows them."""
    day = tarn_field.day
    assert day.station.elevation_m >= 700
    assert max(row.temperature_k for row in day.weather) >= 306.15
    sources = {row.source for row in day.weather}
    assert {"report", "forecast"} <= sources, sources


def test_all_units_are_busy_at_the_peak(tarn_field: Planned) -> None:
    """Three identical units exist, and for a time no one of them is free."""
    (fan,) = tarn_field.day.station.fans
    assert fan.units >= 3
    assert peak_units(tarn_field, fan) == fan.units


def peak_units(planned: Planned, fan: FanType) -> int:
    """Most units under way at one minute, from set-up to the end of the move."""
    busy: Counter[int] = Counter()
    for row in planned.plan.turnarounds:
        for job in row.fan_jobs:
            end = job.end_minute + fan.removal_minutes + fan.move_minutes
            for minute in range(job.start_minute - fan.setup_minutes, end):
                busy[minute] += job.units
    return max(busy.values())


def test_two_aircraft_lose_minutes_to_shared_fans(tarn_field: Planned) -> None:
    """At least two leave late though a free fan would have them ready earlier."""
    late = []
    for given, row in tarn_field.rows:
        table = tarn_field.tables[given.id]
        ready = row.brake_ready_minute
        if ready is None or ready <= given.target_off_block_minute:
            continue
        usable = usable_options(tarn_field.day, given, table)
        best = min(o.ready_minute for o in usable if o.ready_minute is not None)
        if max(best, given.target_off_block_minute) < ready:
            late.append(given.id)
    assert len(late) >= 2


@pytest.mark.parametrize(
    "reason",
    [
        WaitsFor.NOTHING,
        WaitsFor.SLOT,
        WaitsFor.BRAKES,
        WaitsFor.FAN,
        WaitsFor.CHECK,
    ],
)
def test_somebody_waits_for_each(tarn_field: Planned, reason: WaitsFor) -> None:
    """Each reason to wait that the planner knows by now is there to see."""
    assert any(row.waits_for is reason for _, row in tarn_field.rows)


def test_one_landing_raises_the_plug_risk(tarn_field: Planned) -> None:
    """One landing is at raised risk; its plugs are checked before it leaves."""
    raised = [
        given
        for given in tarn_field.day.turnarounds
        if tarn_field.heat[given.id].risk is PlugRisk.RAISED
    ]
    assert raised
    for given in raised:
        assert 0.01 <= tarn_field.heat[given.id].release_probability <= 0.10
        leaves = tarn_field.plan.of(given.id).off_block_minute
        (check,) = (c for c in tarn_field.day.checks if c.turnaround_id == given.id)
        assert leaves is not None
        assert check.minute <= leaves


def test_different_limits_hold_departures(tarn_field: Planned) -> None:
    """Of three limits or more, each alone costs some departure five minutes."""
    holding = {
        limit
        for given in tarn_field.day.turnarounds
        if (
            limit := holding_limit(
                tarn_field.tables[given.id], given.target_off_block_minute
            )
        )
        is not None
    }
    assert {Limit.STOPPING, Limit.PLUG, Limit.PLUG_CHECK, Limit.TABLE} <= holding


def holding_limit(table: OptionTable, target_minute: int) -> Limit | None:
    """Limit without which still air would let the aircraft go 5 minutes earlier."""
    minutes = [(minute, limit) for limit, minute in table.limit_minutes if minute]
    (last, limit), *others = sorted(minutes, reverse=True)
    second = max([target_minute, *(minute for minute, _ in others)])
    return limit if last - second >= HELD_MINUTES else None


def test_both_slots_are_kept(tarn_field: Planned) -> None:
    """Two departures have a CTOT, both go inside it, one only thanks to a fan."""
    slots = [
        (given.departure.ctot_minute, row)
        for given, row in tarn_field.rows
        if given.departure.ctot_minute is not None
    ]
    assert len(slots) == 2
    for ctot, row in slots:
        assert row.take_off_minute is not None
        assert -CTOT_EARLY <= row.take_off_minute - ctot <= CTOT_LATE
    assert any(row.fan_jobs for _, row in slots)


def test_curfew_is_kept_thanks_to_a_fan_or_a_rollout(tarn_field: Planned) -> None:
    """The last departure would fall into the night curfew without either."""
    (first, *_) = sorted(
        curfew.from_minute
        for curfew in tarn_field.day.station.curfews
        if curfew.from_minute > 720
    )
    given, row = max(tarn_field.rows, key=lambda pair: pair[1].take_off_minute or 0)
    still = tarn_field.tables[given.id].still_air.ready_minute
    assert row.fan_jobs or row.rollout is not None
    assert row.take_off_minute is not None
    assert row.take_off_minute < first
    assert still is not None
    assert still + tarn_field.day.taxi_out_minutes(given) >= first


def test_delays_are_those_of_a_day_that_works(tarn_field: Planned) -> None:
    """Half of the flights leave on time and none is late by three quarters."""
    delays = [row.delay_minutes or 0 for _, row in tarn_field.rows]
    assert sum(delay == 0 for delay in delays) * 2 >= len(delays)
    assert max(delays) < 45


def test_defects_and_papers_are_mixed(tarn_field: Planned) -> None:
    """Brake and reverser out, a table, gear-down leave and stops without reverse."""
    day = tarn_field.day
    tails = [day.tail_of(one) for one in day.turnarounds]
    assert any(tail.inoperative for tail in tails)
    assert any(tail.reverser_inoperative for tail in tails)
    assert any(one.departure.table_minutes for one in day.turnarounds)
    assert any(one.departure.gear_down_minutes for one in day.turnarounds)
    assert {one.landing.reverse for one in day.turnarounds} >= {None, *Reverse}
    assert len({tail.wear for tail in tails}) >= 15


def test_no_two_rows_look_alike() -> None:
    """Beside names and times, every row has values of its own."""
    with (FOLDER / "turnarounds.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    named = {"id", "tail", "stand", "date", "runway"}
    alike = Counter(
        tuple(
            value
            for column, value in row.items()
            if column not in named and not column.endswith("bt_utc")
        )
        for row in rows
    )
    assert max(alike.values()) == 1
    weights = [row["landing_weight_kg"] for row in rows if row["landing_weight_kg"]]
    assert len(set(weights)) == len(weights)


def test_optional_columns_are_given_and_missing() -> None:
    """Each column but the names is empty somewhere, and one row has the five alone."""
    with (FOLDER / "turnarounds.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for column in ("landing_weight_kg", "exit", "reverse", "take_off_weight_kg"):
        assert {bool(row[column]) for row in rows} == {True, False}
    five = {"id", "tail", "stand", "date", "sibt_utc", "sobt_utc"}
    assert any(
        {column for column, value in row.items() if value} - {"runway"} == five
        for row in rows
    )
