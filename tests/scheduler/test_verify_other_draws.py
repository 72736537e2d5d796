"""Which draws the check of the approach follows: by all that makes a wheel hot."""

from dataclasses import replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case
from scheduler.day import Day
from scheduler.readiness.stand import stand_heat
from scheduler.verify.other_draws import hottest_rows, spare_samples
from thermal.rows import Rows

SAMPLES, SPECIAL = 16, 11


def windy_day() -> Day:
    """The sample day with wind across open stands, and one tail that comes twice."""
    day = sample_day()
    first = replace(
        day.turnarounds[0],
        departure=replace(day.turnarounds[0].departure, ctot_minute=None),
    )
    later = replace(
        first,
        id="LATER",
        in_block_minute=first.target_off_block_minute + 60,
        target_off_block_minute=first.target_off_block_minute + 110,
    )
    open_stands = tuple(
        replace(stand, shelter_fraction=0.0, heading_deg=330.0)
        for stand in day.station.stands
    )
    blown = tuple(
        replace(row, wind_m_per_s=8.0, wind_direction_deg=60.0) for row in day.weather
    )
    return replace(
        day,
        station=replace(day.station, wind_credit=True, stands=open_stands),
        weather=blown,
        turnarounds=(first, later),
    )


DAY = windy_day()
LATER = DAY.turnarounds[-1]


def test_the_truly_hottest_are_among_those_followed() -> None:
    """In the lee, after an earlier sector: most of the hottest by a full integration.

    Stack and plug at three times people may come; a fault makes many more draws fail
    than the few that confidence spares, so most of the very hottest are enough.
    """
    count = 1024
    case = build_case(DAY, LATER, sample_count=count, seed=1)
    assert len(case.before) == 1
    assert np.ptp(case.rows.wind_m_per_s[: case.shape[1]]) > 0.0
    curve = stand_heat((case,), 60, every_brake=True).curve
    needed = spare_samples(count, 0.99, 0.95) + 1
    hit = []
    for minute in (10.0, 30.0, 60.0):
        place = int(np.searchsorted(curve.time_s, 60.0 * minute))
        followed = hottest_rows(case, -1, 6 * needed, ((minute, 0.0),))
        samples = {row // case.shape[1] for row in followed}
        for values in (curve.stack_k[:, place], curve.plug_k[:, place]):
            hottest = np.argsort(-values.reshape(case.shape).max(axis=1))[:needed]
            hit += [int(sample) in samples for sample in hottest]
    assert np.mean(hit) >= 0.7


def alike(rows: Rows) -> Rows:
    """Every row as the first, but for its sample and brake."""
    one = rows.select(np.zeros(rows.count, dtype=np.intp))
    return replace(one, case=rows.case, sample=rows.sample, brake=rows.brake)


def even_case() -> Case:
    """Samples that do not differ, with one sector before."""
    case = build_case(DAY, LATER, sample_count=SAMPLES, seed=1)
    sector = case.before[0]
    level = np.full(case.rows.count, 90.0)
    before = replace(
        sector,
        rows=alike(sector.rows),
        flight_minutes=level,
        approach_minutes=level / 20.0,
    )
    own = replace(
        alike(case.rows),
        wind_m_per_s=np.full(case.rows.count, 3.0),
        onboard_fan_m_per_s=np.full(case.rows.count, 5.0),
        onboard_fan_s=np.full(case.rows.count, 600.0),
    )
    return replace(case, rows=own, before=(before,))


def scaled(rows: Rows, row: int, name: str, factor: float) -> Rows:
    """One row with another value of one input."""
    values = getattr(rows, name).copy()
    values[row] *= factor
    return replace(rows, **{name: values})


@pytest.mark.parametrize(
    ("name", "factor"),
    [
        ("roll_power_w", 1.1),
        ("stack_fraction", 0.9),
        ("ambient_k", 1.01),
        ("wind_m_per_s", 0.3),
        ("convection_factor", 0.9),
        ("onboard_fan_s", 0.5),
    ],
)
def test_every_input_that_heats_puts_a_draw_first(name: str, factor: float) -> None:
    """More heat, less stack, warmer air, a brake in the lee, weaker cooling."""
    case = even_case()
    row = SPECIAL * case.shape[1] + 2
    changed = replace(case, rows=scaled(case.rows, row, name, factor))
    assert hottest_rows(changed, 0, 3)[0] == row


@pytest.mark.parametrize(
    ("name", "factor"), [("roll_power_w", 1.5), ("taxi_out_j", 9.0)]
)
def test_heat_of_a_sector_before_puts_a_draw_first(name: str, factor: float) -> None:
    """What an earlier landing left counts, where it is more than what is drawn."""
    case = even_case()
    row = SPECIAL * case.shape[1] + 1
    sector = case.before[0]
    hotter = replace(sector, rows=scaled(sector.rows, row, name, factor))
    cold = replace(case.rows, residual_k=case.rows.ambient_k[:, 0])
    changed = replace(case, rows=cold, before=(hotter,))
    assert hottest_rows(changed, 0, 3)[0] == row


def test_a_fan_that_gives_little_air_counts_only_after_a_fan() -> None:
    """Behind twenty minutes of air the draw with the least of it is the hottest."""
    case = even_case()
    row = SPECIAL * case.shape[1]
    own = replace(case.rows, onboard_fan_s=np.zeros(case.rows.count))
    changed = replace(case, rows=scaled(own, row, "fan_factor", 0.7))
    assert hottest_rows(changed, 3, 2, ((30.0, 20.0),))[0] == row
    assert hottest_rows(changed, 3, 2, ((30.0, 0.0),))[0] != row


def test_the_named_draw_is_left_out_and_no_draw_comes_twice() -> None:
    """However hot it is; and never more than there are."""
    case = even_case()
    brakes = case.shape[1]
    changed = replace(
        case, rows=scaled(case.rows, SPECIAL * brakes, "roll_power_w", 2.0)
    )
    rows = hottest_rows(changed, SPECIAL, 3 * SAMPLES)
    samples = [row // brakes for row in rows]
    assert sorted(samples) == [k for k in range(SAMPLES) if k != SPECIAL]
