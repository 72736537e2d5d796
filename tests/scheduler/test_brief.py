"""The arrival brief: stopping first, then minutes; what is offered and what is said."""

import json
from dataclasses import replace
from functools import cache
from io import StringIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

from scheduler.brief import Brief, compose
from scheduler.brief.compose import without_readings
from scheduler.brief.heat import option_heats, rank_above
from scheduler.brief.margin import Verdict, verdict
from scheduler.brief.rollouts import Rollout, other_rollouts, planned_rollout
from scheduler.brief.rungs import Rungs
from scheduler.cases import build_case
from scheduler.cases.landing import Technique
from scheduler.cases.other_landing import draws_of, land_otherwise
from scheduler.cli.application import main
from scheduler.clock import later_minute
from scheduler.day import Basis, Day
from scheduler.errors import DayError, UnknownTurnaroundError
from scheduler.files import read_scenario
from scheduler.options import Limit, PlugRisk
from scheduler.readiness import tables_of
from scheduler.readiness.limits import stand_minutes
from scheduler.readiness.stand import stand_heat
from scheduler.report.bars import bar
from scheduler.report.brief_json import brief_record
from scheduler.report.brief_message import LONGEST, brief_message
from scheduler.report.brief_text import (
    brief_headline,
    not_available,
    option_table,
    shown_options,
)
from scheduler.solve import SolveConfig
from thermal.friction import RunwayCondition
from thermal.units import celsius

SCENARIO = Path(__file__).parents[2] / "scenarios" / "tarn-field"
FLIGHT = "TF323"
OPTION_KEYS = {
    "label", "exit_id", "target_speed_additive_kt", "touchdown_m", "reverse",
    "deceleration_m_per_s2", "automatic_braking_off_kt", "heat_mj_per_brake",
    "stack_peak_c", "plug_release_probability", "brake_ready_utc",
    "ground_minutes_against_planned", "runway_seconds", "stop_margin_m", "available",
    "reason", "agree_with",
}  # fmt: skip


@cache
def tarn() -> Day:
    """The shipped day."""
    return read_scenario(SCENARIO)


def on_runway(condition: RunwayCondition, length_m: float | None = None) -> Day:
    """The same day with its runways in another state."""
    runways = tuple(
        replace(
            one,
            condition=condition,
            landing_distance_m=length_m or one.landing_distance_m,
        )
        for one in tarn().station.runways
    )
    return replace(tarn(), station=replace(tarn().station, runways=runways))


def with_tail(**given: bool) -> Day:
    """The same day with defects of every tail."""
    tails = tuple(replace(one, **given) for one in tarn().tails)
    return replace(tarn(), tails=tails)


@cache
def brief() -> Brief:
    """Brief of one arrival as shipped."""
    return compose(tarn(), FLIGHT)


def judged(day: Day) -> list[tuple[Rollout, Verdict]]:
    """Every rollout with the verdict on it, no heat."""
    turnaround = next(one for one in day.turnarounds if one.id == FLIGHT)
    case = build_case(day, turnaround, sample_count=64, seed=1)
    draws = draws_of(day, turnaround, sample_count=64, seed=1)
    found = []
    for one in (planned_rollout(turnaround), *other_rollouts(day, turnaround)):
        landed = land_otherwise(day, case, one.turnaround, draws, one.technique)
        found.append((one, verdict(day, one, landed.planned, landed.heat, 0)))
    return found


@cache
def dry() -> list[tuple[Rollout, Verdict]]:
    """Verdicts on the day as shipped."""
    return judged(tarn())


@cache
def nil() -> Brief:
    """Brief on a runway with no braking action."""
    day = on_runway(RunwayCondition.CODE_0)
    return compose(day, FLIGHT, sample_count=128)


def test_planned_landing_comes_first_and_agrees_with_the_plan():
    """Number 0 is the plan's minute."""
    numbers = [one.id for one in tarn().turnarounds]
    alone = replace(tarn(), station=replace(tarn().station, fans=()))
    table, _ = tables_of(alone, [numbers.index(FLIGHT)], SolveConfig())[FLIGHT]
    planned = brief().options[0]
    assert planned.number == 0
    assert table.still_air.ready_minute is not None
    assert planned.brake_ready_minute is not None
    assert abs(planned.brake_ready_minute - table.still_air.ready_minute) <= 1
    assert planned.ground_minutes_against_planned == 0


def test_landing_as_planned_again_changes_nothing():
    """Swapping in the planned landing gives the rows that the case has."""
    turnaround = next(one for one in tarn().turnarounds if one.id == FLIGHT)
    case = build_case(tarn(), turnaround, sample_count=64, seed=3)
    draws = draws_of(tarn(), turnaround, sample_count=64, seed=3)
    again = land_otherwise(tarn(), case, turnaround, draws, Technique()).case
    np.testing.assert_allclose(again.energy_j, case.energy_j, rtol=1e-12)
    np.testing.assert_allclose(again.rows.roll_power_w, case.rows.roll_power_w)


@pytest.mark.slow
@pytest.mark.parametrize("scenario", ["small-field", "tarn-field"])
def test_few_samples_that_are_followed_give_the_minute_of_all(scenario):
    """The thinned batch sets the bound that all samples set, to the minute."""
    day = read_scenario(SCENARIO.parent / scenario)
    for reading in day.readings:
        day = without_readings(day, reading.turnaround_id)
    day = replace(day, station=replace(day.station, fans=()))
    above = rank_above(512, 0.99, 0.95)
    for place, turnaround in enumerate(day.turnarounds):
        table, _ = tables_of(day, [place], SolveConfig())[turnaround.id]
        case = build_case(day, turnaround, sample_count=512, seed=1)
        draws = draws_of(day, turnaround, sample_count=512, seed=1)
        cases = [
            land_otherwise(day, case, one.turnaround, draws, one.technique).case
            for one in (
                replace(planned_rollout(turnaround), technique=Technique()),
                *list(other_rollouts(day, turnaround))[4::5],
            )
        ]
        rungs = Rungs.of(day, cases, above)
        found = option_heats(day, rungs, cases, above)[0].table
        ready, still = found.still_air.ready_minute, table.still_air.ready_minute
        assert (ready is None) == (still is None), turnaround.id
        assert abs((ready or 0) - (still or 0)) <= 1, turnaround.id


def test_few_rows_that_are_followed_give_the_minute_of_all():
    """Between the rungs, and where plugs are what holds, to the minute."""
    turnaround = next(one for one in tarn().turnarounds if one.id == "TF525")
    case = build_case(tarn(), turnaround, sample_count=128, seed=1)
    draws = draws_of(tarn(), turnaround, sample_count=128, seed=1)
    rollouts = list(other_rollouts(tarn(), turnaround))
    cases = [
        land_otherwise(tarn(), case, one.turnaround, draws, one.technique).case
        for one in (rollouts[place] for place in (5, 18, 28, 38))
    ]
    found = option_heats(tarn(), Rungs.of(tarn(), cases, 0), cases, 0)
    late = 0
    for heated, one in zip(found, cases, strict=True):
        heat = stand_heat((one,), tarn().station.hold_minutes)
        exact, told = stand_minutes(heat, 128)[0], dict(heated.table.limit_minutes)
        for limit in (Limit.STOPPING, Limit.PLUG, Limit.WHEEL_WELL):
            minute = later_minute(exact.bound(128, 128, limit)[0])
            ready = told[limit]
            assert ready is not None
            assert abs(ready - turnaround.in_block_minute - minute) <= 1
            late += limit is Limit.PLUG and minute > 20
        plug_k = float(heat.curve.plug_k.max())
        assert heated.plug_peak_c == pytest.approx(celsius(plug_k), abs=0.3)
    assert late >= 2


def test_nothing_without_margin_is_offered():
    """A short margin is a reason; what has a reason gets no minutes."""
    for one in (*brief().options, *nil().options):
        assert one.available is (one.reason is None)
        if one.available:
            assert one.stop_margin_m >= 0.0
        elif one.number:
            assert one.brake_ready_minute is None
            assert one.ground_minutes_against_planned is None


def test_chosen_option_leaves_first():
    """No available option is ready before the chosen one."""
    offered = [one for one in brief().options if one.available]
    best = brief().option(brief().chosen or 0)
    ready = [one.brake_ready_minute for one in offered if one.brake_ready_minute]
    target = brief().turnaround.target_off_block_minute
    assert max(best.brake_ready_minute or 0, target) <= max(min(ready), target)


def test_more_heat_is_never_ready_earlier():
    """Among options with the same draws brake-ready goes with heat."""
    offered = [one for one in brief().options[1:] if one.brake_ready_minute]
    offered.sort(key=lambda one: one.heat_mj_per_brake)
    minutes = [one.brake_ready_minute or 0 for one in offered]
    assert all(later >= earlier - 3 for earlier, later in pairwise(minutes))


def test_longer_roll_needs_agreement():
    """An exit beyond the planned one names approach control and the tower."""
    for one in brief().options[1:]:
        if one.exit_id == "A6":
            assert one.agree_with == ("approach control", "tower")
        elif one.exit_id == "A5":
            assert one.agree_with == ()


def test_every_change_has_the_sign_of_the_trade():
    """None of them saves heat by more than rounding; no reverse costs most minutes."""
    changes = {one.label: one for one in brief().changes}
    assert len(changes) >= 5
    assert min(one.extra_heat_mj_per_brake for one in changes.values()) >= -0.05
    assert (changes["no reverse"].extra_ground_minutes or 0) > 20
    assert (changes["riding the brakes on the taxiway"].extra_ground_minutes or 0) >= 0


def usual_level() -> float:
    """Deceleration that is usual for the type."""
    return tarn().aircraft_of(brief().turnaround).default_deceleration_m_per_s2


def test_wet_runway_takes_gentle_braking_away():
    """No level below the type's usual one is offered, and none has more margin."""
    wet = judged(on_runway(RunwayCondition.WET))
    offered = [one for one, found in wet[1:] if found.reason is None]
    assert offered
    assert all((one.level or 0.0) >= usual_level() for one in offered)
    for (_, before), (_, after) in zip(dry(), wet, strict=True):
        assert after.stop_margin_m <= before.stop_margin_m + 1e-6


@pytest.mark.parametrize(
    ("condition", "length_m", "reason"),
    [
        (RunwayCondition.CODE_0, None, "braking action nil"),
        (RunwayCondition.DRY, 1100.0, "stop margin"),
        (RunwayCondition.CODE_1, None, "stop margin"),
    ],
)
def test_where_nothing_stops_nothing_is_offered(condition, length_m, reason):
    """Nil, short or slippery: every rollout is refused, most for that reason."""
    found = judged(on_runway(condition, length_m))
    assert all(one.reason is not None for _, one in found)
    assert any(reason in (one.reason or "") for _, one in found)


def test_no_option_is_said():
    """Nothing is chosen, and the headline says so."""
    assert nil().chosen is None
    assert "No rollout has the stop margin" in brief_headline(nil())


@pytest.mark.parametrize("defect", ["anti_skid_inoperative", "reverser_inoperative"])
def test_defect_takes_gentle_braking_away(defect):
    """An abnormal configuration wants more braking (common practice)."""
    found = judged(with_tail(**{defect: True}))
    gentle = [one for one in found[1:] if (one[0].level or 9.0) < usual_level()]
    assert gentle
    assert all(one.reason is not None for _, one in gentle)
    for (_, before), (_, after) in zip(dry(), found, strict=True):
        assert after.stop_margin_m <= before.stop_margin_m + 1e-6


def test_without_automatic_braking_pedals_brake_from_the_start():
    """No level is set, and pedals take over at touchdown."""
    day = with_tail(automatic_braking_inoperative=True)
    turnaround = next(one for one in day.turnarounds if one.id == FLIGHT)
    found = list(other_rollouts(day, turnaround))
    assert all(one.level is None for one in found)
    assert all((one.off_kt or 0.0) > 250.0 for one in found)


def test_few_samples_count_with_their_worst():
    """Where the confidence needs more samples than there are none may lie above."""
    assert rank_above(256, 0.99, 0.95) == 0
    assert rank_above(512, 0.99, 0.95) >= 1


def test_message_is_short_plain_and_complete():
    """ASCII, 400 characters at most; margin, agreement, caution and validity in it."""
    for one in brief().options:
        if not one.available:
            continue
        text = brief_message(brief(), one)
        assert text.isascii()
        assert len(text) <= LONGEST
        assert f"STOP MARGIN {one.stop_margin_m:.0f} M" in text
        assert "STOPPING FIRST" in text
        assert text.endswith("VALID UNTIL 1244Z.")
        assert ("AGREE WITH APPROACH CONTROL AND TOWER FIRST" in text) is bool(
            len(one.agree_with) == 2
        )


def test_message_of_long_names_keeps_what_matters():
    """Ids of any length leave margin, caution and validity whole."""
    long = replace(brief(), turnaround=replace(brief().turnaround, id="X" * 300))
    text = brief_message(long, brief().option(brief().chosen or 0))
    assert len(text) <= LONGEST
    assert text.endswith("VALID UNTIL 1244Z.")


def test_json_holds_every_key():
    """The record has the keys that other programs read, and valid JSON numbers."""
    record = json.loads(json.dumps(brief_record(brief()), allow_nan=False))
    assert set(record["options"][0]) >= OPTION_KEYS
    assert {"label", "extra_heat_mj_per_brake", "extra_ground_minutes"} == set(
        record["changes"][0]
    )
    assert record["valid_until_utc"] == "2026-07-14T12:44:00Z"
    assert "Stopping comes first" in record["cautions"][0]
    assert json.dumps(brief_record(nil()), allow_nan=False)


def test_refused_options_are_told():
    """Reasons stand in the text, many alike in one line."""
    lines = list(not_available(brief(), every=False))
    assert any("the exit is missed at this setting" in line for line in lines)
    every = list(not_available(brief(), every=True))
    assert len(every) == sum(not one.available for one in brief().options)
    assert shown_options(brief(), every=False)[0].number == 0


def test_command_tells_the_brief(capsys, monkeypatch):
    """Text with options, changes and cautions; never that a wheel is safe."""
    monkeypatch.setattr("scheduler.brief.compose", lambda *_, **__: brief())
    assert main(["brief", str(SCENARIO), "--turnaround", FLIGHT]) == 0
    text = capsys.readouterr().out
    flat = " ".join(text.split())
    order = ["Stopping comes first", "Not available", "What each change costs",
             "Bear in mind", "Advisory figures"]  # fmt: skip
    places = [flat.index(part) for part in order]
    assert places == sorted(places)
    changes = flat[flat.index("What each change") : flat.index("Assumed of")]
    assert "Stopping comes first" in changes
    assert "safe to approach" not in flat


def test_command_sends_only_what_is_offered(capsys, monkeypatch):
    """An option without margin, an unknown one, a landed aircraft: refused, code 2."""
    found = brief()
    monkeypatch.setattr("scheduler.brief.compose", lambda *_, **__: found)
    refused = next(one for one in found.options if not one.available)
    words = ["brief", str(SCENARIO), "--turnaround", FLIGHT, "--message"]
    assert main(words) == 0
    assert len(capsys.readouterr().out.strip()) <= LONGEST
    assert main([*words, "--option", str(refused.number)]) == 2
    assert "is not available" in capsys.readouterr().err
    assert main([*words, "--option", "900"]) == 2
    assert "expected 0 to" in capsys.readouterr().err
    landed = replace(
        found,
        landed=True,
        turnaround=replace(found.turnaround, in_block_basis=Basis.ACTUAL),
    )
    monkeypatch.setattr("scheduler.brief.compose", lambda *_, **__: landed)
    assert main(words) == 2
    assert "has landed" in capsys.readouterr().err


def test_unknown_turnaround_names_those_that_there_are():
    """A misspelt id is one clear error."""
    with pytest.raises(UnknownTurnaroundError, match="expected one of TF102"):
        compose(tarn(), "TF000")
    with pytest.raises(DayError, match="128 or more"):
        compose(tarn(), FLIGHT, sample_count=64)


def test_risk_word_goes_with_the_number():
    """Release probabilities of the options are those of the words."""
    assert all(
        PlugRisk.of(one.plug_release_probability) is PlugRisk.LOW
        for one in brief().options
        if one.plug_release_probability is not None
    )


def test_bars_are_in_proportion():
    """Half the value is half the bar; nothing is no bar, a little is one block."""
    assert len(bar(10.0, 10.0)) == 2 * len(bar(5.0, 10.0)) == 30
    assert bar(0.0, 10.0) == bar(-3.0, 10.0) == ""
    assert len(bar(0.01, 10.0)) == 1


@pytest.mark.parametrize("width", [80, 120])
def test_table_fits_the_terminal(width):
    """Nothing is cut: labels and who must agree are whole words at any width."""
    console = Console(width=width, file=StringIO(), force_terminal=False)
    console.print(option_table(brief(), every=True, width=width))
    text = console.file.getvalue()
    assert "…" not in text
    assert max(map(len, text.splitlines())) <= width
    words = set(text.split())
    assert {"reverse,", "control,", "m/s²"} <= {word.strip("()") for word in words}
