"""What happens at the stand: parking brake, wind against the aircraft, its own fan."""

from dataclasses import replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case, stand_settings
from scheduler.cases import stand as stand_module
from scheduler.cases.station_air import upwind_brakes
from scheduler.day import Day, WeatherRow
from scheduler.readiness import build_tables
from scheduler.readiness.fan_jobs import candidate_jobs
from scheduler.readiness.limits import stand_minutes
from scheduler.readiness.stand import binding_rows, stand_heat
from scheduler.solve import SolveConfig
from scheduler.verify.departure_limits import broken_limits
from scheduler.verify.witness import witness_of
from tests.benchmarks.heat_days import make_heat_day
from thermal.catalogue import load_brake, load_ranges
from thermal.departure import indication_valid_minute

DAY = sample_day()
ONE = next(one for one in DAY.turnarounds if one.id == "SB105")
LEE = next(item for item in load_ranges() if item.name == "lee_wind_fraction")
LEFT, RIGHT, NONE = [True, True, False, False], [False, False, True, True], [False] * 4
FAN_M_PER_S = 6.0


def windy(
    direction_deg: float | None,
    *,
    heading_deg: float | None = 330.0,
    speed: float = 8.0,
) -> Day:
    """The sample day with wind credit, open stands and one wind."""
    stands = tuple(
        replace(stand, shelter_fraction=0.0, heading_deg=heading_deg)
        for stand in DAY.station.stands
    )
    row = replace(DAY.weather[0], wind_m_per_s=speed, wind_direction_deg=direction_deg)
    return replace(
        DAY,
        station=replace(DAY.station, wind_credit=True, stands=stands),
        weather=(row,),
    )


def case_of(day: Day, count: int = 64) -> Case:
    return build_case(day, ONE, sample_count=count, seed=5)


@pytest.mark.parametrize(
    ("direction_deg", "heading_deg", "upwind"),
    [
        (60.0, 330.0, RIGHT),
        (240.0, 330.0, LEFT),
        (20.0, 350.0, RIGHT),
        (330.0, 330.0, NONE),
        (345.0, 330.0, NONE),
        (140.0, 330.0, NONE),
        (None, 330.0, NONE),
        (60.0, None, NONE),
    ],
)
def test_brakes_on_the_side_of_the_wind_are_upwind(
    direction_deg: float | None, heading_deg: float | None, upwind: list[bool]
) -> None:
    """The second half of the positions is the right side; from ahead nobody is."""
    day = windy(direction_deg, heading_deg=heading_deg)
    assert upwind_brakes(day, ONE).tolist() == upwind


def test_calm_has_no_side() -> None:
    """A direction without wind says nothing."""
    assert upwind_brakes(windy(60.0, speed=0.0), ONE).tolist() == NONE


def test_a_wind_that_turns_leaves_all_in_the_lee() -> None:
    """A report before the target with the wind from the other side takes credit."""
    day = windy(60.0)
    for minute, upwind in (
        (ONE.target_off_block_minute, NONE),
        (ONE.target_off_block_minute + 1, RIGHT),
    ):
        row: WeatherRow = replace(
            day.weather[0], minute=minute, wind_direction_deg=240.0
        )
        turned = replace(day, weather=(*day.weather, row))
        assert upwind_brakes(turned, ONE).tolist() == upwind


def test_lee_brakes_get_a_part_of_the_wind_and_upwind_brakes_the_whole() -> None:
    """The part is drawn for each sample in its range."""
    case = case_of(windy(60.0))
    wind = case.rows.wind_m_per_s.reshape(case.shape)
    assert (np.ptp(wind[:, 2:], axis=1) == 0.0).all()
    part = wind[:, 0] / wind[:, 2]
    assert (part > LEE.low).all()
    assert (part < LEE.high).all()
    assert np.ptp(part) > 0.8 * (LEE.high - LEE.low)


def test_the_part_moves_no_other_draw() -> None:
    """Whether it is used or not, all other inputs of the samples are the same."""
    one, other = (case_of(windy(turn, speed=0.1)) for turn in (60.0, None))
    np.testing.assert_array_equal(one.rows.joint_factor, other.rows.joint_factor)
    np.testing.assert_array_equal(one.release_k, other.release_k)


def test_a_brake_in_the_lee_can_bind_beside_a_hotter_one_upwind() -> None:
    """Of each sample the hottest of all and the hottest in the lee are followed."""
    case = case_of(windy(60.0))
    energy = case.energy_j
    kept = np.zeros(case.shape, dtype=bool)
    kept.reshape(-1)[binding_rows(case)] = True
    every = np.arange(case.shape[0])
    assert kept[every, energy.argmax(axis=1)].all()
    assert kept[every, energy[:, :2].argmax(axis=1)].all()
    assert kept.sum() < kept.size


def test_without_wind_no_more_brakes_are_followed() -> None:
    """All are in the same air then, so that the hottest and thinnest are enough."""
    case = case_of(windy(None))
    calm = case_of(DAY)
    np.testing.assert_array_equal(binding_rows(case), binding_rows(calm))


@pytest.mark.parametrize(
    ("given", "is_set", "said"), [(None, 0.0, 1), (False, 0.0, 0), (True, 1.0, 0)]
)
def test_parking_brake_is_released_unless_said(
    given: bool | None, is_set: float, said: int
) -> None:
    """What is not given is assumed to be released, and told."""
    day = replace(DAY, station=replace(DAY.station, parking_brake_set=given))
    case = case_of(day, 2)
    assert set(case.rows.brakes_set.tolist()) == {is_set}
    told = [text for text in case.assumed if text.startswith("parking brake")]
    assert told == ["parking brake: released after chocks"] * said


@pytest.fixture
def blown(monkeypatch: pytest.MonkeyPatch) -> Day:
    """The sample day, its brakes with a fan on board (synthetic)."""
    monkeypatch.setattr(
        stand_module,
        "load_brake",
        lambda name: replace(load_brake(name), onboard_fan_m_per_s=FAN_M_PER_S),
    )
    return DAY


def test_no_shipped_brake_has_a_fan() -> None:
    """Without one nothing runs and nothing is said."""
    settings = stand_settings(DAY, ONE)
    assert (settings.onboard_fan_m_per_s, settings.onboard_fan_s) == (0.0, 0.0)
    assert settings.assumed == ()


def test_an_onboard_fan_runs_as_long_as_the_station_says(blown: Day) -> None:
    """Speed of the brake, minutes of the station; told; not where it is out or off."""
    settings = stand_settings(blown, ONE)
    assert (settings.onboard_fan_m_per_s, settings.onboard_fan_s) == (6.0, 1800.0)
    assert settings.assumed == ("onboard fan: runs for 30 minutes from in-block",)
    out = tuple(replace(tail, onboard_fan_inoperative=True) for tail in blown.tails)
    off = replace(blown.station, onboard_fan_minutes=0)
    for day in (replace(blown, tails=out), replace(blown, station=off)):
        settings = stand_settings(day, ONE)
        assert (settings.onboard_fan_m_per_s, settings.onboard_fan_s) == (0.0, 0.0)
        assert settings.assumed == ()


def test_an_onboard_fan_makes_the_indication_wait(blown: Day) -> None:
    """From in-block to its end, and then as long as beside any fan."""
    case = case_of(blown, 8)
    wait = 30.0 + case.brake.limits.fan_invalid_s / 60.0
    valid = indication_valid_minute(case.brake, case.rows)
    assert valid == pytest.approx(np.full(case.rows.count, wait))
    heat = stand_heat((case,), 120)
    assert stand_minutes(heat)[0].minute.max() >= wait
    before = ONE.in_block_minute + int(wait) - 1
    for off_block, count in ((before, 1), (before + 1, 0)):
        witness = witness_of(blown, case, 3, (), off_block)
        names = [one.expected for one in broken_limits(case.brake, witness, ())]
        assert sum("onboard fan" in name for name in names) == count


def test_no_other_fan_starts_while_the_own_one_runs(blown: Day) -> None:
    """Jobs begin when the aircraft's fan has stopped."""
    jobs = candidate_jobs(blown, ONE, 0, 3.0, 200.0)
    assert min(job.start for job in jobs) == 30
    early = candidate_jobs(
        replace(blown, station=replace(blown.station, onboard_fan_minutes=0)),
        ONE,
        0,
        3.0,
        200.0,
    )
    assert min(job.start for job in early) < 30


def test_fans_are_away_before_the_options_let_go() -> None:
    """Every job and its removal lie before the minute that it would better."""
    fans = {fan.name: fan for fan in DAY.station.fans}
    for job in candidate_jobs(DAY, ONE, 0, 3.0, 60.0):
        assert job.end + fans[job.fan.name].removal_minutes < 60.0


def test_no_brake_is_more_likely_to_release_than_its_aircraft():
    """A plug that lets go is one of the aircraft's: the check holds plans to that."""
    day = make_heat_day(120, 1)
    one = next(row for row in day.turnarounds if row.id == "F092")
    ((_, heat),) = build_tables(replace(day, turnarounds=(one,)), SolveConfig())
    worst = max(brake.release_probability for brake in heat.brakes)
    assert 0 < worst <= round(heat.release_probability, 5)
