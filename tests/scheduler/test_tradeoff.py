"""Weight against time: the plan's minute at the planned weight, both ways round."""

import json
from dataclasses import replace
from functools import cache
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from scheduler.cli.application import main
from scheduler.day import Day, Turnaround
from scheduler.errors import DayError
from scheduler.files import read_scenario
from scheduler.options import Limit, Option
from scheduler.plan import FanJob
from scheduler.readiness import tables_of
from scheduler.report.tradeoff_json import curve_record, held_record
from scheduler.report.tradeoff_text import (
    curve_headline,
    curve_lines,
    held_table,
    jump_lines,
    relief_text,
    weight_text,
)
from scheduler.solve import SolveConfig
from scheduler.tradeoff import Point, Weigher, WeightCurve, weight_curve
from scheduler.tradeoff.departures import departing

SCENARIO = Path(__file__).parents[2] / "scenarios" / "small-field"
FLIGHT = "S15"


@cache
def small() -> Day:
    """The shipped day of a handful of flights."""
    return read_scenario(SCENARIO)


def flight(day: Day, name: str = FLIGHT) -> Turnaround:
    """Turnaround by its id."""
    return next(one for one in day.turnarounds if one.id == name)


@cache
def options(name: str) -> tuple[Option, ...]:
    """What the plan may choose for a turnaround."""
    place = [one.id for one in small().turnarounds].index(name)
    table, _ = tables_of(small(), [place], SolveConfig())[name]
    return table.options


def weigher(
    name: str = FLIGHT, option: Option | None = None, **given: float
) -> Weigher:
    """Weigh a turnaround as one of its options has it."""
    chosen = options(name)[0] if option is None else option
    one = flight(small(), name)
    job = None
    if chosen.fan is not None:
        job = FanJob(
            fan_type=chosen.fan,
            units=chosen.units,
            start_minute=chosen.start_minute or 0,
            end_minute=chosen.end_minute or 0,
        )
    return Weigher(
        small(),
        one,
        job=job,
        planned_minute=chosen.ready_minute,
        sample_count=512,
        seed=1,
    )


@cache
def still() -> Weigher:
    """The flight in still air."""
    return weigher()


@cache
def curve() -> WeightCurve:
    """Its curve."""
    return weight_curve(still())


@pytest.mark.parametrize("name", ["S15", "S17"])
def test_planned_weight_has_the_minute_of_the_plan(name):
    """Still air agrees to the minute, by the heat alone; without a weight too."""
    found = weigher(name)
    assert found.shift_minutes == 0
    planned = found.planned
    assert found.planned_minute == options(name)[0].ready_minute
    if planned is not None:
        at = found.at(planned.take_off_weight_kg)
        assert at.earliest_off_block_minute == options(name)[0].ready_minute


@pytest.mark.slow
@pytest.mark.parametrize("name", ["S13", "S19"])
def test_planned_fan_job_has_the_minute_of_the_plan(name):
    """Behind every tenth fan job too."""
    jobs = [one for one in options(name)[1:] if one.ready_minute is not None]
    assert jobs
    for option in jobs[::10]:
        assert weigher(name, option).shift_minutes == 0


def test_heavier_never_leaves_earlier():
    """Minutes never fall with weight, and the planned weight is a point."""
    minutes = [
        10**6
        if point.earliest_off_block_minute is None
        else point.earliest_off_block_minute
        for point in curve().points
    ]
    weights = [point.take_off_weight_kg for point in curve().points]
    assert minutes == sorted(minutes)
    assert weights == sorted(set(weights))
    assert minutes[0] < minutes[-1]
    planned = flight(small()).departure.take_off_weight_kg
    assert planned in weights
    at = minutes[weights.index(planned)]
    assert at == options(FLIGHT)[0].ready_minute


def test_greatest_weight_leaves_in_time_and_one_step_more_does_not():
    """Both directions agree: weight to minute, minute to weight."""
    minute = (options(FLIGHT)[0].ready_minute or 0) - 4
    found = still().relief(minute, 100.0)
    assert found.weight_kg is not None
    assert found.weight_kg % 100.0 == 0.0
    at = still().at(found.weight_kg).earliest_off_block_minute
    above = still().at(found.weight_kg + 100.0).earliest_off_block_minute
    assert at is not None
    assert at <= minute
    assert above is None or above > minute
    assert found.off_kg == pytest.approx(47600.0 - found.weight_kg)


def test_full_load_leaves_at_its_minute_with_nothing_off():
    """At brake-ready nothing has to come off; before in-block no weight helps."""
    ready = options(FLIGHT)[0].ready_minute or 0
    assert still().relief(ready, 100.0).off_kg == 0.0
    early = still().relief(flight(small()).in_block_minute, 100.0)
    assert early.weight_kg is None
    assert early.off_kg is None


def test_weight_above_planned_raises_v1_and_below_keeps_it():
    """A given V1 stays where load comes off and rises with the root of the weight."""
    one = flight(small())
    given = replace(one, departure=replace(one.departure, v1_m_per_s=62.0))
    assert departing(given, 44_000.0).departure.v1_m_per_s == 62.0
    heavier = departing(given, 1.1 * 47600.0).departure
    assert heavier.v1_m_per_s == pytest.approx(62.0 * 1.1**0.5)
    assert heavier.take_off_weight_kg == pytest.approx(1.1 * 47600.0)
    assert departing(one, 44_000.0).departure.v1_m_per_s is None


def test_plan_of_another_day_is_refused():
    """A brake-ready that this heat does not give is not this day's plan."""
    with pytest.raises(DayError, match="make the plan again"):
        Weigher(
            small(),
            flight(small()),
            job=None,
            planned_minute=(options(FLIGHT)[0].ready_minute or 0) - 30,
            sample_count=512,
            seed=1,
        )


def test_plan_that_was_moved_later_moves_all_weights():
    """What the second integration asked for holds for every weight."""
    ready = options(FLIGHT)[0].ready_minute or 0
    moved = Weigher(
        small(),
        flight(small()),
        job=None,
        planned_minute=ready + 3,
        sample_count=512,
        seed=1,
    )
    light = curve().points[0]
    at = moved.at(light.take_off_weight_kg).earliest_off_block_minute
    own = still().at(light.take_off_weight_kg).earliest_off_block_minute
    assert own is not None
    assert at == own + 3


def test_words_say_weight_and_time():
    """Headline, chart, both answers; load and its closing where they are given."""
    minute = (options(FLIGHT)[0].ready_minute or 0) - 4
    relief = still().relief(minute, 100.0)
    one = flight(small())
    loaded = replace(
        one,
        departure=replace(
            one.departure, removable_load_kg=50.0, load_close_minute=10 * 60 + 50
        ),
    )
    text = relief_text(
        replace(curve(), turnaround=loaded), replace(relief, within_removable=False)
    )
    assert f"at most {relief.weight_kg:,.0f} kg" in text
    assert f"{relief.off_kg:,.0f} kg to come off" in text
    assert "only 50 kg can be left behind" in text
    assert "before the load is closed, 10:50" in text
    assert "47,600 kg leaves at 11:0" in curve_headline(curve())
    assert " UTC at the earliest" in curve_headline(curve())
    assert "UTC →" in text
    lines = list(curve_lines(curve()))
    assert len(lines) == len(curve().points)
    assert sum("planned" in line for line in lines) == 1
    assert "leaves at" in weight_text(curve(), curve().points[0])


def test_held_flights_fit_into_80_columns():
    """No cell is cut where every one is as wide as it gets."""
    one = replace(
        curve(),
        rollout="full length",
        fan_job=FanJob(fan_type="cart", units=1, start_minute=720, end_minute=750),
        turnaround=replace(
            flight(small()),
            id="TF329",
            departure=replace(
                flight(small()).departure,
                removable_load_kg=2000.0,
                load_close_minute=700,
            ),
        ),
    )
    relief = replace(
        still().relief(options(FLIGHT)[0].ready_minute or 0, 100.0),
        binding_limit=Limit.PLUG_CHECK,
        weight_kg=371000.0,
        within_removable=True,
    )
    console = Console(width=80, file=StringIO())
    console.print(held_table([(one, relief, relief)]))
    text = console.file.getvalue()
    assert "…" not in text
    assert max(map(len, text.splitlines())) <= 80
    for word in ("TF329 R", "plug check", "12:00", "cart", "371,000", "2,000", "11:40"):
        assert word in text


def test_json_holds_every_key():
    """Points, planned, the greatest weight, cautions."""
    relief = still().relief(options(FLIGHT)[0].ready_minute or 0, 100.0)
    record = json.loads(
        json.dumps(curve_record(curve(), relief, None, curve().points[0]))
    )
    assert {"take_off_weight_kg", "earliest_off_block_utc", "binding_limit"} == set(
        record["points"][0]
    )
    assert record["greatest_weight_kg"] >= 47600.0
    assert record["to_come_off_kg"] == 0.0
    assert "not the only weight limit" in record["cautions"][0]
    held = held_record([(curve(), relief, None)])
    assert held["flights"][0]["turnaround_id"] == FLIGHT


@pytest.fixture(scope="module")
def plan_folder(tmp_path_factory):
    """Plan of the day as the command writes it."""
    folder = tmp_path_factory.mktemp("plan")
    assert main(["plan", str(SCENARIO), "--out", str(folder)]) == 0
    return folder


@pytest.mark.slow
def test_command_agrees_with_the_plan_on_every_turnaround(plan_folder, capsys):
    """At the planned weight the curve has the plan's brake-ready, to the minute."""
    plan = json.loads((plan_folder / "plan.json").read_text(encoding="utf-8"))
    for row in plan["turnarounds"]:
        words = ["tradeoff", str(SCENARIO), "--turnaround", row["id"]]
        assert main([*words, "--plan", str(plan_folder), "--json"]) == 0
        record = json.loads(capsys.readouterr().out)
        planned = record["planned"]
        assert planned["earliest_off_block_utc"] == row["brake_ready_utc"]
        weight = planned["take_off_weight_kg"]
        at = [
            point["earliest_off_block_utc"]
            for point in record["points"]
            if point["take_off_weight_kg"] == weight
        ]
        assert at == ([] if weight is None else [row["brake_ready_utc"]])


@pytest.mark.slow
def test_command_lists_held_flights(plan_folder, capsys):
    """One row for each flight whose brakes are ready after its target."""
    plan = json.loads((plan_folder / "plan.json").read_text(encoding="utf-8"))
    late = {
        row["id"]
        for row in plan["turnarounds"]
        if (row["brake_ready_utc"] or "x") > row["target_off_block_utc"]
    }
    assert late
    where = ["tradeoff", str(SCENARIO), "--plan", str(plan_folder)]
    assert main([*where, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert {one["turnaround_id"] for one in record["flights"]} == late
    assert main(where) == 0
    assert "not the only weight limit" in " ".join(capsys.readouterr().out.split())


def test_command_answers_each_way(plan_folder, capsys):
    """Weight for a minute, minute for a weight, cautions with both."""
    where = ["tradeoff", str(SCENARIO), "--plan", str(plan_folder)]
    words = [*where, "--turnaround", FLIGHT]
    assert main([*words, "--off-block", "11:00", "--weight-kg", "45000"]) == 0
    text = capsys.readouterr().out
    assert "Leave at 11:00" in text
    assert "45,000 kg →" in text
    assert "Advisory figures" in text


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--off-block", "11:00"], "need --turnaround"),
        (["--turnaround", "S99"], "expected one of S11"),
        (["--turnaround", FLIGHT, "--off-block", "eleven"], "expected HH:MM"),
        (["--turnaround", FLIGHT, "--off-block", "10:20"], "after in-block"),
        (["--turnaround", FLIGHT, "--weight-kg", "9000"], "--weight-kg: expected"),
    ],
)
def test_command_refuses_what_cannot_be(plan_folder, capsys, words, message):
    """One clear line and code 2."""
    assert main(["tradeoff", str(SCENARIO), "--plan", str(plan_folder), *words]) == 2
    assert message in capsys.readouterr().err


def test_jump_by_warming_again_is_explained():
    """Many minutes for a little weight get a sentence; a stopping limit has none."""
    light, heavy = (
        Point(
            take_off_weight_kg=weight,
            earliest_off_block_minute=minute,
            binding_limit=Limit.PLUG,
        )
        for weight, minute in ((51_500.0, 870), (52_000.0, 925))
    )
    told = list(jump_lines(replace(curve(), points=(light, heavy))))
    assert len(told) == 1
    assert "51,500 kg and 52,000 kg it jumps from 14:30 to 15:25" in told[0]
    stopping = replace(heavy, binding_limit=Limit.STOPPING)
    near = replace(heavy, earliest_off_block_minute=880)
    for other in (stopping, near, replace(heavy, earliest_off_block_minute=None)):
        assert not list(jump_lines(replace(curve(), points=(light, other))))
    job = FanJob(fan_type="cart", units=1, start_minute=820, end_minute=861)
    fanned = replace(curve(), points=(light, stopping), fan_job=job)
    assert "the planned fan ends at 14:21" in next(jump_lines(fanned))
