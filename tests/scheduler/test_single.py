"""One aircraft without a folder: readings, weights, bounds, fan, words and errors."""

import json
import subprocess
import sys
from argparse import Namespace
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from scheduler.cases import build_case
from scheduler.cli.application import main
from scheduler.clock import Clock
from scheduler.day import Reading
from scheduler.errors import DayError
from scheduler.options import Limit
from scheduler.readiness import build_tables
from scheduler.readiness.limits import COLUMNS, SampleMinutes
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.report.single_json import answer_record
from scheduler.report.single_text import headline, notes
from scheduler.single import Answer, Evidence, Question, Verdict, answer
from scheduler.single.answer import _verdict, _Work
from scheduler.single.bounds import Confidence, share_to_cover, weighted_bound
from scheduler.single.evidence import (
    effective_count,
    indications_k,
    spread,
    weigh,
    weights,
)
from scheduler.single.question import TURNAROUND, day_of
from thermal.errors import ParameterError
from thermal.units import kelvin

ROOT = Path(__file__).parents[2]
CLOCK = Clock(day=date(2026, 7, 14))
LANDED = 14 * 60 + 2
CONFIDENCE = Confidence(share=0.99, assurance=0.95)
WORDS = ["single", "--aircraft", "twin-72", "--landed", "14:02"]


def reading(indicated_c: float, after: int) -> Reading:
    """Build a reading so many minutes after touchdown."""
    return Reading(
        turnaround_id=TURNAROUND,
        minute=LANDED + after,
        indicated_k=float(kelvin(indicated_c)),
    )


@cache
def answered(*readings: tuple[float, int], **given: Any) -> Answer:
    """Answer for a narrow twin landed at 14:02, with readings (°C, minutes after)."""
    question = Question(
        clock=CLOCK,
        aircraft="twin-72",
        landed_minute=LANDED,
        readings=tuple(reading(*one) for one in readings),
        ambient_k=float(kelvin(20.0)),
        **given,
    )
    return answer(question)


@cache
def plain_heat() -> StandHeat:
    """Heat of the same landing, without readings."""
    question = answered().question
    day = day_of(question)
    case = build_case(day, day.turnarounds[0], sample_count=512, seed=1)
    return stand_heat((case,), day.station.hold_minutes)


def minutes_of(values: list[float]) -> SampleMinutes:
    """One followed row per sample, all for the stopping limit."""
    count = np.arange(len(values))
    return SampleMinutes(
        row=count,
        sample=count,
        limit=np.zeros(count.size, dtype=np.intp),
        minute=np.array(values, dtype=np.float64),
    )


# Weights


def test_equal_weights_count_in_full() -> None:
    """Kish's effective count of equal weights is their number."""
    assert effective_count(np.full(512, 1 / 512)) == pytest.approx(512.0)
    assert effective_count(np.array([1.0, 0.0, 0.0])) == pytest.approx(1.0)


def test_weights_fall_as_a_normal_distribution_does() -> None:
    """One standard deviation away: exp(-1/2) of the weight on the spot."""
    foretold = np.concatenate([np.full(100, 500.0), np.full(100, 525.0)])[:, None]
    weight, sd_k, at_edge = weights(np.array([500.0]), foretold, 25.0)
    assert (sd_k, at_edge) == (25.0, False)
    assert weight[150] / weight[50] == pytest.approx(np.exp(-0.5))
    assert weight.sum() == pytest.approx(1.0)


def test_two_equal_readings_say_no_more_than_one() -> None:
    """They share the model's error."""
    foretold = np.linspace(400.0, 600.0, 512)[:, None]
    one, _, _ = weights(np.array([500.0]), foretold, 25.0)
    two, _, _ = weights(np.array([500.0, 500.0]), np.repeat(foretold, 2, axis=1), 25.0)
    assert np.allclose(one, two)


def test_a_reading_at_the_edge_is_taken_wider() -> None:
    """At least fifty samples' worth is left, and no more than it takes."""
    foretold = np.linspace(400.0, 600.0, 256)[:, None]
    weight, sd_k, at_edge = weights(np.array([640.0]), foretold, 25.0)
    assert at_edge
    assert effective_count(weight) >= 50.0
    narrower = np.exp(-0.5 * ((640.0 - foretold[:, 0]) / (sd_k / 1.25)) ** 2)
    assert effective_count(narrower) < 50.0


def test_the_spread_is_that_of_the_weights() -> None:
    """Five and ninety-five per cent of an even range."""
    low, high = spread(np.arange(1000.0), np.full(1000, 1e-3))
    assert (low, high) == pytest.approx((50.0, 950.0), abs=1.0)


# Bounds


@pytest.mark.parametrize(
    ("count", "share"),
    [(512.9, 510 / 512), (299.0, 298 / 299), (150.0, 149 / 150), (60.0, 0.99)],
)
def test_the_share_to_cover_follows_the_order_statistic(
    count: float, share: float
) -> None:
    """Rank 511 of 512 (binomial), the last of 299; never less than the confidence."""
    assert share_to_cover(count, CONFIDENCE) == pytest.approx(share)


def test_equal_weights_give_the_order_statistic() -> None:
    """Of 512 the second latest bounds 99 %, weighted or not."""
    values = np.random.default_rng(1).permutation(512).astype(float)
    found, weight = minutes_of(values.tolist()), np.full(512, 1 / 512)
    share = share_to_cover(512.0, CONFIDENCE)
    assert found.bound(511, 512)[0] == 510.0
    assert weighted_bound(found, weight, share)[0] == 510.0


def test_the_weighted_bound_is_the_weighted_quantile_one_sample_later() -> None:
    """Against a plain loop over the sorted samples."""
    generator = np.random.default_rng(4)
    values, weight = generator.uniform(0, 90, 400), generator.exponential(1.0, 400)
    weight /= weight.sum()
    order = np.argsort(values)
    reached, place = 0.0, 0
    for place in range(400):
        reached += weight[order[place]]
        if reached >= 0.99:
            break
    later = next(
        k for k in order[place + 1 :] if weight[k] > 1e-4 * float(weight.max())
    )
    minute, at = weighted_bound(minutes_of(values.tolist()), weight, 0.99)
    assert minute == values[later]
    assert at == later


def test_negligible_samples_never_set_the_bound() -> None:
    """A sample that the reading rules out does not count, however late it is."""
    weight = np.array([0.5, 0.5, 1e-9])
    assert weighted_bound(minutes_of([10.0, 20.0, 300.0]), weight, 0.99)[0] == 20.0


# Readings


def test_without_readings_it_is_the_day_s_own_bound() -> None:
    """The same landing in a day of its own: same minute, limit and plug risk."""
    found = answered()
    day = day_of(replace(found.question, off_block_minute=LANDED + 300))
    settings = Namespace(seed=1, sample_count=512)
    table, summary = build_tables(day, settings)[0]
    assert found.still.ready_minute == table.still_air.ready_minute
    assert found.still.binding == table.still_air.binding
    assert dict(found.still.limits) == dict(table.limit_minutes)
    assert found.plugs.release_probability == summary.release_probability
    assert found.makes_off_block is None


def test_a_cool_reading_lets_it_go_earlier_than_a_warm_one() -> None:
    """Later with every step of the reading, and the heat goes along."""
    found = [answered((value, 12)) for value in (180.0, 250.0)]
    ready = [one.still.ready_minute for one in found]
    heat = [one.heat_mj[0] for one in found]
    assert ready == sorted(ready)
    assert ready[0] < ready[-1]
    assert heat == sorted(heat)
    assert all(one.evidence.used and not one.evidence.at_edge for one in found)
    assert ready[0] < found[0].sampled_minute


def test_what_is_foretold_is_the_curve_of_the_hottest_brake() -> None:
    """On the stand it is the curve itself; before in-block it joins up with it."""
    heat = plain_heat()
    in_block = heat.cases[0].turnaround.in_block_minute
    shown = indications_k(
        heat,
        tuple(
            Reading(turnaround_id=TURNAROUND, minute=minute, indicated_k=400.0)
            for minute in (in_block - 1, in_block, in_block + 10)
        ),
    )
    place = int(np.flatnonzero(heat.minute == 10.0)[0])
    curve = heat.curve.indicated_k
    assert np.allclose(shown[heat.rows.sample, 2], curve[:, place])
    assert np.allclose(shown[heat.rows.sample, 1], curve[:, 0])
    rate = curve[:, 1] - curve[:, 0]
    step = curve[:, 0] - shown[heat.rows.sample, 0]
    assert (step > rate).all()
    assert (step < 3.0 * rate + 10.0).all()


def test_a_reading_far_below_is_not_used() -> None:
    """The sampled bound stands, and the answer says why."""
    found = answered((30.0, 12))
    assert not found.evidence.used
    assert found.evidence.below_k > 60.0
    assert found.still.ready_minute == answered().still.ready_minute
    assert "below everything these inputs allow. It is not used" in " ".join(
        notes(found)
    )


@pytest.mark.slow
def test_a_reading_at_the_low_edge_never_makes_it_earlier() -> None:
    """It counts with a wider spread, and the sampled bound stands at least."""
    found = answered((105.0, 12))
    assert found.evidence.used
    assert found.evidence.at_edge
    assert found.still.ready_minute >= answered().still.ready_minute
    assert "lies at the edge of what the inputs allow" in " ".join(notes(found))


def test_a_reading_above_all_is_followed_with_more_heat() -> None:
    """The brakes plainly hold more: later, more heat, and it says what to look for."""
    found = answered((420.0, 12), off_block_minute=LANDED + 48)
    low, high = found.evidence.more_heat or (0.0, 0.0)
    assert 1.1 < low < high < 3.0
    assert found.heat_mj[0] > answered().heat_mj[1]
    assert found.still.ready_minute > answered().still.ready_minute + 20
    assert found.still.plug_check
    assert found.sampled_minute is None
    assert found.makes_off_block is False
    assert found.nobody_to_wheels
    text = headline(found)
    assert text.startswith("No off-block before a check of fuse plugs and tyres; ")
    assert "14:50 is not made." in text
    assert "at high plug risk nobody is to be sent to the wheels" in text
    assert "look for a dragging brake" in " ".join(notes(found))


def test_a_reading_that_no_heat_explains_leaves_nothing_to_offer() -> None:
    """No off-block, and no minute that could be read as one."""
    found = answered((1200.0, 12), off_block_minute=LANDED + 300)
    assert found.evidence.too_hot
    assert found.makes_off_block is False
    assert headline(found).startswith("No off-block can be given")
    assert answer_record(found)["still_air"]["earliest_off_block_utc"] is None
    assert "1" not in headline(found)


def test_readings_that_contradict_each_other_leave_the_hottest() -> None:
    """A cooler reading that no landing explains never takes a hot one away."""
    both, hot = answered((420.0, 10), (200.0, 11)), answered((420.0, 10))
    assert both.evidence.contradict
    assert not hot.evidence.contradict
    assert both.still.ready_minute == hot.still.ready_minute
    assert any("No one landing explains" in note for note in notes(both))


def test_an_early_reading_counts_and_says_what_it_cannot_tell() -> None:
    """Three minutes after touchdown, before in-block: narrowed, but read again."""
    found = answered((100.0, 3))
    assert found.evidence.used
    without = found.heat_without_reading_mj
    assert np.ptp(found.heat_mj) < np.ptp(without)
    text = " ".join(notes(found))
    assert "The indicator is not steady before 14:13" in text
    assert "Read again from 14:13." in text
    assert "Read again" not in " ".join(notes(answered((250.0, 12))))


def test_the_indicated_limit_waits_for_a_reading_that_is_above_it() -> None:
    """A reading over the operator's limit rules out every minute up to it."""
    count = 512
    found = SampleMinutes(
        row=np.arange(2 * count),
        sample=np.tile(np.arange(count), 2),
        limit=np.repeat([0, COLUMNS.index(Limit.INDICATED)], count),
        minute=np.repeat([20.0, 10.0], count),
    )

    def verdict(indicated_c: float) -> Verdict:
        question = replace(answered().question, readings=(reading(indicated_c, 60),))
        work = _Work(
            question=question,
            heat=plain_heat(),
            evidence=Evidence(weight=np.full(count, 1 / count)),
            confidence=CONFIDENCE,
        )
        return _verdict(work, found, 0.0, plug_check=False)

    below, above = verdict(300.0), verdict(301.0)
    assert (below.ready_minute, below.binding) == (LANDED + 26, Limit.STOPPING)
    assert (above.ready_minute, above.binding) == (LANDED + 61, Limit.INDICATED)
    assert dict(above.limits)[Limit.INDICATED] == LANDED + 61


def test_more_heat_leaves_the_given_samples_as_they_are() -> None:
    """Only the rollout's power is raised, each sample by its own factor."""
    heat = plain_heat()
    hotter, evidence = weigh(heat, (reading(420.0, 12),))
    first, second = heat.cases[0], hotter.cases[0]
    factor = (second.energy_j - first.rows.taxi_in_j.reshape(first.shape)) / (
        first.energy_j - first.rows.taxi_in_j.reshape(first.shape)
    )
    assert factor.min() >= 1.0
    assert np.allclose(factor, factor[:, :1])
    assert np.unique(factor[:, 0].round(9)).size == 512
    assert evidence.used
    assert (first.release_k == second.release_k).all()


# Fan


def test_a_fan_is_offered_ten_minutes_after_the_last_reading() -> None:
    """Thirty minutes of air; people are named, their leave is the operator's."""
    assert answered((190.0, 12)).fan_span is None
    asked = answered((250.0, 12), fan_from_minute=LANDED + 13, fan_minutes=12)
    assert asked.fan_span == (LANDED + 13, LANDED + 25)
    assert asked.fan is not None
    assert (asked.fan.ready_minute or 0) >= LANDED + 28
    assert "from 14:10 and again until 14:30" in " ".join(notes(asked))
    steel = answer(
        Question(
            clock=CLOCK,
            aircraft="twin-151",
            landed_minute=LANDED,
            readings=(reading(250.0, 10),),
            off_block_minute=LANDED + 48,
        )
    )
    assert steel.fan_span == (LANDED + 20, LANDED + 50)
    assert steel.fan is not None
    assert steel.fan.ready_minute < steel.still.ready_minute - 15
    assert steel.makes_off_block is False
    assert "With one fan from 14:22 to 14:52: " in headline(steel)


def test_no_fan_where_it_makes_the_off_block_without() -> None:
    """Nothing is offered that is not needed."""
    cool = answered((180.0, 12))
    found = replace(
        cool, question=replace(cool.question, off_block_minute=LANDED + 120)
    )
    assert found.fan is None
    assert found.makes_off_block is True
    assert "is made, " in headline(found)
    assert "fan" not in headline(found)


@pytest.mark.slow
def test_a_remote_fan_and_a_logged_check_count_where_nobody_may_go() -> None:
    """A fan that needs nobody is looked at; a check after the peak lifts the check."""
    found = answered((420.0, 12), fan_remote=True, check_minute=LANDED + 90)
    assert not found.nobody_to_wheels
    assert found.fan is not None
    assert not found.still.plug_check
    assert "need nobody at the wheels" in " ".join(notes(found))
    assert headline(found).startswith("Earliest off-block ")


# Questions


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"readings": (reading(300.0, 0),)}, "reading .* expected 14:03 to 20:08"),
        ({"off_block_minute": LANDED}, "off-block .* expected 14:09 to 20:08"),
        ({"fan_from_minute": LANDED + 2}, "fan .* expected 14:08 to 19:35"),
        (
            {"readings": (reading(200.0, 20),), "fan_from_minute": LANDED + 10},
            "fan .* expected 14:22",
        ),
        ({"aircraft": "glider"}, "one of freighter-385, .*, got glider"),
    ],
)
def test_a_question_that_cannot_be_is_refused(
    given: dict[str, Any], message: str
) -> None:
    """Times in the wrong order, and a type that nobody knows."""
    base: dict[str, Any] = {
        "clock": CLOCK,
        "aircraft": "twin-72",
        "landed_minute": LANDED,
    }
    with pytest.raises((DayError, ParameterError), match=message):
        Question(**(base | given))


def test_weights_of_another_type_are_refused() -> None:
    """Between empty and maximum take-off weight."""
    question = answered().question
    with pytest.raises(DayError, match="landing weight of twin-72: expected"):
        replace(question, landing=replace(question.landing, weight_kg=2e5))


def test_air_that_is_not_given_is_a_wide_range() -> None:
    """From 5 to 35 °C, and named as assumed."""
    question = replace(answered().question, ambient_k=None)
    day = day_of(question)
    case = build_case(day, day.turnarounds[0], sample_count=512, seed=1)
    air_c = case.rows.ambient_k[:, 0] - 273.15
    assert (air_c.min(), air_c.max()) == pytest.approx((5.0, 35.0), abs=0.2)
    known = answered().assumed
    assert not any(line.startswith("air temperature") for line in known)


# Command


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[Question]:
    """Put a stored answer in the place of the computation; gives the questions."""
    questions: list[Question] = []

    def stored(question: Question) -> Answer:
        questions.append(question)
        return replace(answered((250.0, 12)), question=question)

    monkeypatch.setattr("scheduler.single.answer", stored)
    return questions


def test_the_answer_comes_first_then_why(
    asked: list[Question], capsys: pytest.CaptureFixture[str]
) -> None:
    """Headline, limits, plugs, reading, what was assumed, cautions; exit 1."""
    words = [*WORDS, "--indicated", "250@14:12", "--off-block", "14:10"]
    assert main(words) == 1
    assert asked[0].off_block_minute == LANDED + 8
    text = capsys.readouterr().out
    flat = " ".join(text.split())
    assert text.startswith("Earliest off-block 1")
    assert "14:10 is not made, " in flat
    order = [
        "Each limit holds from (still air): stopping 1",
        "Fuse plugs: risk low, <0.1 %",
        "Reading: 250 °C at 14:12, 10 minutes after touchdown",
        "Assumed",
        "* landing weight: 0.82 to 1 of maximum landing weight",
        "Bear in mind",
        "Advisory figures, not certified data.",
    ]
    places = [flat.index(part) for part in order]
    assert places == sorted(places)
    assert "safe to approach" not in flat


def test_json_holds_the_same(
    asked: list[Question], capsys: pytest.CaptureFixture[str]
) -> None:
    """Times with Z, the verdict, the limits, the reading; exit 0 where it is made."""
    words = [*WORDS, "--date", "2026-07-14", "--indicated", "250@14:14"]
    assert main([*words, "--off-block", "16:40", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["landed_utc"] == "2026-07-14T14:02:00Z"
    assert record["in_block_utc"] == "2026-07-14T14:08:00Z"
    assert record["makes_off_block"] is True
    assert record["short_minutes"] == 0
    assert set(record["still_air"]["limits"]) == {str(limit) for limit in COLUMNS}
    assert record["reading"]["given"] == [
        {"at_utc": "2026-07-14T14:14:00Z", "indicated_c": 250.0}
    ]
    assert record["reading"]["used"] is True
    assert record["headline"].startswith("Earliest off-block 1")
    assert len(record["cautions"]) == 8


def test_every_option_reaches_the_question(asked: list[Question]) -> None:
    """Weights, speeds, air and fan arrive in SI and in minutes of the day."""
    given = ["--landing-weight-kg", "55000", "--touchdown-kt", "130", "--wear", "0.3"]
    given += ["--deceleration", "1.6", "--reverse", "full", "--ambient-c", "12"]
    given += ["--take-off-weight-kg", "60000", "--taxi-out-minutes", "8"]
    given += ["--taxi-in-minutes", "4", "--elevation-m", "300", "--fan-remote"]
    given += ["--fan-from", "14:20", "--fan-minutes", "15", "--plug-check", "15:10"]
    assert main([*WORDS, *given, "--json"]) == 0
    (one,) = asked
    landing, departure = one.landing, one.departure
    assert (landing.weight_kg, landing.reverse) == (55000.0, "full")
    assert landing.touchdown_speed_m_per_s == pytest.approx(66.878, abs=1e-3)
    assert (landing.deceleration_m_per_s2, landing.taxi_in_minutes) == (1.6, 4)
    assert departure.take_off_weight_kg == 60000.0
    assert departure.taxi_out_minutes == 8
    assert (one.ambient_k, one.elevation_m, one.wear) == (285.15, 300.0, 0.3)
    assert one.fan_span == (LANDED + 18, LANDED + 33)
    assert (one.fan_remote, one.check_minute) == (True, LANDED + 68)
    assert one.in_block_minute == LANDED + 5
    case = build_case(day_of(one), day_of(one).turnarounds[0], sample_count=2, seed=1)
    named = " ".join(case.assumed)
    for known in ("landing weight", "deceleration", "reverse", "wear", "take-off"):
        assert known not in named


def test_times_past_midnight_roll_over(asked: list[Question]) -> None:
    """Landed at 23:50: the reading and the off-block are of the next day."""
    words = ["single", "--aircraft", "twin-72", "--date", "2026-07-14"]
    words += ["--landed", "23:50", "--indicated", "250@00:02", "--off-block", "03:00"]
    main(words)
    assert asked[0].readings[0].minute == 1442
    assert asked[0].off_block_minute == 1620


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ([*WORDS[:2], "glider", *WORDS[3:]], "twin-72"),
        ([*WORDS[:-1], "2:02 pm"], "--landed: expected HH:MM in UTC, got '2:02 pm'"),
        ([*WORDS, "--indicated", "420"], "expected °C@HH:MM, for example 420@14:12"),
        ([*WORDS, "--indicated", "nan@14:12"], "expected °C@HH:MM"),
        ([*WORDS, "--indicated", "300@13:50"], "expected 14:03 to 20:08, got 13:50"),
        ([*WORDS, "--off-block", "14:01"], "off-block (landed 14:02): expected"),
        ([*WORDS, "--off-block", "24:10"], "--off-block: expected HH:MM"),
        ([*WORDS, "--date", "14.7.2026"], "--date: expected YYYY-MM-DD"),
    ],
)
def test_bad_input_is_one_clear_line(
    capsys: pytest.CaptureFixture[str], words: list[str], message: str
) -> None:
    """Exit 2, nothing on standard output."""
    assert main(words) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    (line,) = printed.err.splitlines()
    assert message in line


def test_the_command_needs_no_solver_and_no_tables() -> None:
    """Neither ortools nor pandas nor the planner is loaded for one aircraft."""
    heavy = ("ortools", "pandas", "scheduler.solve", "scheduler.model", "jinja2")
    code = (
        "import sys; from scheduler.cli.application import main; "
        f"main({[*WORDS, '--json']!r}); "
        f"print([name for name in {heavy!r} if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr == "[]\n"
