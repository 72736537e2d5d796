"""Readings of the day in its cases, tables and plans."""

from dataclasses import replace

import numpy as np
import pytest

from scheduler.cases import build_case
from scheduler.day import FanTime, FanType, Reading
from scheduler.readiness import build_tables
from scheduler.solve import SolveConfig, plan_day
from scheduler.verify import Code, check
from tests.benchmarks.coverage import one_landing

DAY, ONE = one_landing("carbon-narrow")
FAN = FanType(
    name="ground",
    units=2,
    air_speed_m_per_s=8.0,
    setup_minutes=3,
    removal_minutes=3,
    move_minutes=3,
    from_minute=0,
    to_minute=2880,
)


def with_readings(*entries, day=DAY):
    """The day with (minute after in-block, °C, position) read."""
    readings = tuple(
        Reading(
            turnaround_id=ONE.id,
            minute=ONE.in_block_minute + minute,
            indicated_k=273.15 + shown,
            position=position,
        )
        for minute, shown, position in entries
    )
    return replace(day, readings=readings)


def case_of(day, **options):
    """Case of the one turnaround, few samples."""
    given = {"sample_count": 128, "seed": 3} | options
    return build_case(day, ONE, **given)


def test_without_readings_the_case_is_as_drawn():
    """No reading, no estimate."""
    assert case_of(DAY).informed is None


@pytest.mark.parametrize("position", ["2", None])
def test_readings_narrow_the_heat(position):
    """A reading of one brake, or of the hottest, leaves a third less spread."""
    before = case_of(DAY).energy_j
    day = with_readings((5, 250.0, position), (15, 270.0, position))
    after = case_of(day).energy_j
    assert after.std(axis=0).max() < 0.67 * before.std(axis=0).min()


def test_hotter_readings_leave_hotter_brakes():
    """More indicated, more heat, and discs stay together with the draws."""
    cool, hot = (case_of(with_readings((15, shown, "1"))) for shown in (180.0, 300.0))
    assert hot.energy_j.mean() > 1.3 * cool.energy_j.mean()
    np.testing.assert_array_equal(hot.rows.stop_j, cool.rows.stop_j)


def test_the_middle_moves_with_the_draws():
    """The one sample that stands for the middle has about the draws' mean heat."""
    day = with_readings((5, 250.0, "1"), (15, 270.0, "1"))
    middle = case_of(day, sample_count=1, central=True).energy_j
    assert middle.mean() == pytest.approx(case_of(day).energy_j.mean(), rel=0.1)


def test_what_the_readings_say_is_told():
    """The assumptions of the case name the readings and the odd one among them."""
    entries = [(10, 240.0, str(k)) for k in (1, 2, 3)]
    day = with_readings(*entries, (10, 464.0, "4"), (12, 245.0, "1"), (12, 245.0, "2"))
    lines = [line for line in case_of(day).assumed if "reading" in line]
    assert lines[0].startswith("readings: 5 of 6 count")
    assert lines[1].startswith("reading 464 °C at 10:10")
    assert "°F" in lines[1]


def test_unexplained_readings_make_nothing_cooler():
    """Readings no landing explains leave every draw at least its heat."""
    day = with_readings((5, 60.0, "1"), (6, 60.0, "2"), (20, 60.0, "3"))
    case = case_of(day)
    assert not case.informed.is_explained
    assert (case.energy_j >= case_of(DAY).energy_j - 1.0).all()


def test_a_fan_that_blew_is_told_to_the_estimate():
    """The same readings mean a hotter brake when a fan blew meanwhile."""
    station = replace(DAY.station, fans=(FAN,))
    day = with_readings(
        (12, 200.0, "1"), (20, 180.0, "1"), day=replace(DAY, station=station)
    )
    blew = FanTime(
        turnaround_id=ONE.id, fan="ground", units=1, start_minute=601, end_minute=None
    )
    without, beside = case_of(day), case_of(replace(day, fan_times=(blew,)))
    assert beside.energy_j.mean() > 1.1 * without.energy_j.mean()


def test_tables_follow_the_readings():
    """A cool reading brings brake-ready forward, a hot one keeps it."""
    config = SolveConfig(seed=1, sample_count=512)
    cool = build_tables(with_readings((4, 170.0, "1"), (15, 180.0, "1")), config)
    hot = build_tables(with_readings((4, 220.0, "1"), (15, 240.0, "1")), config)
    earlier, later = (one[0][0].still_air.ready_minute for one in (cool, hot))
    assert earlier < later


def test_tables_say_what_was_before():
    """The summary gives brake-ready before and after; without readings neither."""
    config = SolveConfig(seed=1, sample_count=512)
    day = with_readings((4, 170.0, "1"), (15, 180.0, "1"))
    (table, heat), *_ = build_tables(day, config)
    (line,) = [text for text in heat.assumed if text.startswith("brake-ready")]
    ready = day.clock.short(table.still_air.ready_minute)
    assert f"by the readings {ready}, before them" in line
    (_, unread), *_ = build_tables(DAY, config)
    assert not [text for text in unread.assumed if text.startswith("brake-ready")]


def test_a_plan_with_readings_passes_the_verifier():
    """The verifier draws the same brakes after the readings, and finds no fault."""
    day = with_readings((4, 170.0, "1"), (15, 180.0, "1"))
    plan = plan_day(day, SolveConfig(seed=1, sample_count=512, seconds=5.0)).plan
    faults = [one for one in check(day, plan) if one.code is not Code.CAUTIONS]
    assert faults == []
