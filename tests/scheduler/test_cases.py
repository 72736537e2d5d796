"""From a turnaround and its draws to rows: what is given, drawn, assumed, and signs."""

from dataclasses import fields, replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case, hourly_weather, weather_at
from scheduler.cases.station_air import headwind_m_per_s
from scheduler.day import Basis, Day, Reverse, Runway, Turnaround, WeatherRow
from thermal.catalogue import load_brake, load_ranges
from thermal.errors import ParameterError

DAY = sample_day()
BARE = next(one for one in DAY.turnarounds if one.id == "SB105")
RANGES = {item.name: item for item in load_ranges()}
CALM = replace(DAY.weather[0], wind_m_per_s=0.0, wind_direction_deg=None)
QUIET = replace(DAY, weather=(CALM,))


def case_of(day: Day = QUIET, one: Turnaround = BARE, count: int = 64) -> Case:
    return build_case(day, one, sample_count=count, seed=5)


def landing(**values: object) -> Turnaround:
    return replace(BARE, landing=replace(BARE.landing, **values))


def leaving(**values: object) -> Turnaround:
    return replace(BARE, departure=replace(BARE.departure, **values))


def heat_j(one: Turnaround, day: Day = QUIET) -> float:
    """Mean heat of all brakes of a landing and its taxi-in."""
    return float(case_of(day, one).energy_j.sum(axis=1).mean())


def with_tail(**values: object) -> Day:
    """The day with another state of the bare turnaround's tail."""
    tails = tuple(
        replace(tail, **values) if tail.registration == BARE.tail else tail
        for tail in QUIET.tails
    )
    return replace(QUIET, tails=tails)


def test_same_seed_gives_the_same_rows():
    """Seed and turnaround fix every number; another seed gives others."""
    one, two = case_of(), case_of()
    for item in fields(one.rows):
        np.testing.assert_array_equal(
            getattr(one.rows, item.name), getattr(two.rows, item.name)
        )
    np.testing.assert_array_equal(one.release_k, two.release_k)
    other = build_case(QUIET, BARE, sample_count=64, seed=6)
    assert not np.array_equal(one.energy_j, other.energy_j)
    renamed = case_of(QUIET, replace(BARE, id="SB106"))
    assert not np.array_equal(one.energy_j, renamed.energy_j)


def test_rows_are_found_by_sample_and_position():
    """Rows are sample-major, in the tail's order of positions."""
    case = case_of()
    place = case.row_of(7, case.positions[2])
    assert (case.rows.sample[place], case.rows.brake[place]) == (7, 2)
    assert case.rows.arrival_j[place] == case.energy_j[7, 2]
    assert case.shape == (64, len(case.positions))


def test_the_number_of_a_case_is_in_its_rows():
    """Rows of several turnarounds can be told apart in one batch."""
    case = build_case(QUIET, BARE, sample_count=8, seed=5, case=3)
    assert set(case.rows.case.tolist()) == {3}


def test_the_central_case_is_one_sample_in_the_middle():
    """Every range is taken at its middle, so brakes are alike."""
    case = build_case(QUIET, BARE, sample_count=1, seed=5, central=True)
    middle = (RANGES["joint_factor"].low + RANGES["joint_factor"].high) / 2
    assert case.rows.joint_factor == pytest.approx(np.full(case.rows.count, middle))
    assert np.ptp(case.energy_j) == pytest.approx(0.0, abs=1e-6)


def test_sample_counts_are_powers_of_two():
    """Another count is refused by the draws."""
    with pytest.raises(ParameterError, match="a power of two"):
        case_of(count=48)


# What is missing, the label it is told under, and the range it is drawn from.
MISSING = (
    ("landing weight", "landing_weight_fraction"),
    ("touchdown speed additive", "additive_kt"),
    ("deceleration", "deceleration_m_per_s2"),
    ("reverse thrust", "reverse_unknown"),
    ("stops taxiing in", "taxi_in_stops"),
    ("take-off weight", "take_off_weight_fraction"),
    ("V1 against the type's own", "v1_factor"),
    ("brakes at touchdown above the air", "residual_rise_k"),
)


@pytest.mark.parametrize(("label", "name"), MISSING)
def test_what_is_missing_is_drawn_in_its_range_and_told(label: str, name: str):
    """Draws fill their range, and the range is told to people."""
    case, item = case_of(), RANGES[name]
    values = dict(case.drawn)[label]
    assert values.shape == (64,)
    assert (values >= item.low).all()
    assert (values <= item.high).all()
    assert np.ptp(values) > 0.8 * (item.high - item.low)
    told = [text for text in case.assumed if text.startswith(f"{label}: ")]
    assert len(told) == 1
    assert f"{item.low:g} to {item.high:g}" in told[0]


def test_a_full_turnaround_assumes_nothing():
    """With every input given, nothing is drawn in its place and nothing assumed."""
    given = replace(
        landing(
            weight_kg=58e3,
            touchdown_speed_m_per_s=68.0,
            touchdown_m=450.0,
            exit="E",
            reverse=Reverse.IDLE,
            deceleration_m_per_s2=1.7,
            taxi_stops=2,
            residual_k=310.0,
        ),
        departure=replace(BARE.departure, take_off_weight_kg=66e3, v1_m_per_s=70.0),
    )
    case = case_of(with_tail(wear=(0.1, 0.2, 0.3, 0.4)), given)
    assert case.assumed == ()
    assert case.drawn == ()
    assert set(case.rows.residual_k.tolist()) == {310.0}


@pytest.mark.parametrize(
    ("low", "high"),
    [
        ({"weight_kg": 50e3}, {"weight_kg": 62e3}),
        ({"touchdown_speed_m_per_s": 62.0}, {"touchdown_speed_m_per_s": 72.0}),
        ({"reverse": Reverse.FULL}, {"reverse": Reverse.IDLE}),
        ({"reverse": Reverse.IDLE}, {"reverse": Reverse.NONE}),
        ({"deceleration_m_per_s2": 1.2}, {"deceleration_m_per_s2": 2.4}),
        ({"taxi_stops": 0}, {"taxi_stops": 6}),
    ],
)
def test_given_inputs_are_used(low: dict[str, object], high: dict[str, object]):
    """What makes more brake heat does so through the file too."""
    assert heat_j(landing(**high)) > heat_j(landing(**low)) + 1e5


def test_an_exit_too_near_makes_braking_harder():
    """The nearer exit asks for more than the held deceleration, and more heat."""
    near = landing(exit="C", deceleration_m_per_s2=1.2, touchdown_m=450.0)
    far = landing(exit="E", deceleration_m_per_s2=1.2, touchdown_m=450.0)
    assert heat_j(near) > 1.05 * heat_j(far)
    roll_s = [case_of(QUIET, one).rows.roll_s.max() for one in (near, far)]
    assert roll_s[0] < roll_s[1]


def test_a_long_touchdown_makes_braking_harder():
    """Landing long leaves less runway before the same exit."""
    short = landing(exit="C", deceleration_m_per_s2=1.2, touchdown_m=350.0)
    long = landing(exit="C", deceleration_m_per_s2=1.2, touchdown_m=650.0)
    assert heat_j(long) > heat_j(short)


def test_an_inoperative_brake_takes_nothing_and_the_others_more():
    """Its share goes to the others; so does that of the accelerate-stop."""
    whole, part = case_of(), case_of(with_tail(inoperative=("2",)))
    assert (part.energy_j[:, 1] == 0.0).all()
    assert (part.rows.stop_j.reshape(part.shape)[:, 1] == 0.0).all()
    assert (part.rows.taxi_out_j.reshape(part.shape)[:, 1] == 0.0).all()
    others = [0, 2, 3]
    assert (part.energy_j[:, others] > 1.2 * whole.energy_j[:, others]).all()


def test_an_inoperative_reverser_leaves_more_to_the_brakes():
    """One of two reversers gives half of the reverse thrust."""
    full = landing(reverse=Reverse.FULL)
    assert heat_j(full, with_tail(reverser_inoperative=True)) > heat_j(full)


def test_unknown_wear_counts_as_fully_worn():
    """A stack of unknown wear has the mass of a fully worn one, and that is told."""
    case = case_of(with_tail(wear=(0.0, None, 1.0, 0.5)))
    worn = load_brake(case.aircraft.brake).worn_fraction
    left = case.rows.stack_fraction.reshape(case.shape)[0]
    assert left.tolist() == pytest.approx([1.0, worn, worn, (1.0 + worn) / 2])
    assert any(text.startswith("brake wear: fully worn") for text in case.assumed)


def test_gusts_are_landed_in_faster_where_no_speed_is_given():
    """The full gust counts, 20 kt at most (from memory); a given speed stays."""
    energy_j = [
        heat_j(BARE, replace(DAY, weather=(replace(CALM, gust_m_per_s=gust),)))
        for gust in (0.0, 6.0, 9.0, 10.3, 30.0)
    ]
    assert energy_j == sorted(energy_j)
    assert energy_j[0] < energy_j[1] < energy_j[2]
    assert energy_j[3] == pytest.approx(energy_j[4], rel=2e-3)
    given = landing(touchdown_speed_m_per_s=65.0)
    gusty = replace(DAY, weather=(replace(CALM, gust_m_per_s=9.0),))
    assert heat_j(given, gusty) == heat_j(given)


def test_a_given_v1_is_read_in_thin_air_as_in_thick():
    """The same indicated V1 is a faster, hotter stop where the air is thin."""
    thin = replace(CALM, pressure_pa=0.85 * CALM.pressure_pa)
    given = leaving(v1_m_per_s=70.0, take_off_weight_kg=68e3)
    low = case_of(QUIET, given).rows.stop_j
    high = case_of(replace(QUIET, weather=(thin,)), given).rows.stop_j
    assert np.median(high / low) == pytest.approx(1.0 / 0.85, rel=0.05)


@pytest.mark.parametrize(
    ("direction_deg", "expected"),
    [(240.0, 8.0), (60.0, -8.0), (150.0, 0.0), (330.0, 0.0), (None, 0.0)],
)
def test_headwind_is_positive_and_tailwind_negative(
    direction_deg: float | None, expected: float
):
    """Wind blows from its direction; one that varies counts as none."""
    row = replace(CALM, wind_m_per_s=8.0, wind_direction_deg=direction_deg)
    runway = Runway(name="24", heading_deg=240.0, landing_distance_m=2600.0)
    assert headwind_m_per_s(row, runway) == pytest.approx(expected, abs=1e-9)


def test_a_tailwind_makes_more_heat_than_a_headwind():
    """Through landing and accelerate-stop alike."""
    heading = DAY.station.runways[0].heading_deg
    head, tail = (
        case_of(
            replace(
                QUIET,
                weather=(
                    replace(CALM, wind_m_per_s=5.0, wind_direction_deg=heading + turn),
                ),
            )
        )
        for turn in (0.0, 180.0)
    )
    assert (tail.energy_j.sum(axis=1) > head.energy_j.sum(axis=1)).mean() > 0.95
    assert (tail.rows.stop_j > head.rows.stop_j).all()


def weather_day() -> Day:
    """Rows every twenty minutes from 40 minutes before in-block."""
    begin = BARE.in_block_minute
    temperatures = ((-40, 300.0), (-20, 301.0), (20, 306.0), (40, 302.0), (60, 303.0))
    rows: tuple[WeatherRow, ...] = tuple(
        replace(CALM, minute=begin + minute, temperature_k=kelvin, spread_k=0.5)
        for minute, kelvin in temperatures
    )
    return replace(QUIET, weather=rows)


def test_hourly_weather_takes_the_warmest_of_each_hour():
    """What holds at the hour's start counts with what comes inside it."""
    warmest, spread = hourly_weather(weather_day(), BARE)
    assert warmest[:3].tolist() == [306.0, 303.0, 303.0]
    assert set(spread.tolist()) == {0.5}
    assert warmest.size * 60 > DAY.station.hold_minutes


def test_weather_before_the_first_row_is_the_first_row():
    """A landing before the first report takes that report."""
    day = weather_day()
    assert weather_at(day, BARE.in_block_minute - 90) == day.weather[0]
    assert weather_at(day, BARE.in_block_minute + 39).temperature_k == 306.0


def test_wind_at_the_wheel_needs_credit_and_an_open_stand():
    """By default there is none; with credit it is reduced, sheltered and capped."""
    windy = replace(QUIET, weather=(replace(CALM, wind_m_per_s=8.0),))
    assert (case_of(windy).rows.wind_m_per_s == 0.0).all()
    open_stands = tuple(
        replace(stand, shelter_fraction=0.0) for stand in DAY.station.stands
    )
    credit = replace(
        windy, station=replace(DAY.station, wind_credit=True, stands=open_stands)
    )
    wind = case_of(credit).rows.wind_m_per_s
    assert (wind > 0.0).all()
    assert wind.max() <= 4.0 * RANGES["lee_wind_fraction"].high
    storm = replace(credit, weather=(replace(CALM, wind_m_per_s=20.0),))
    lee = case_of(storm).rows.wind_m_per_s.max()
    assert lee == pytest.approx(5.0 * RANGES["lee_wind_fraction"].high, rel=0.02)


def test_times_and_gear_come_from_the_turnaround():
    """Taxi times and minutes with the gear down become seconds of the rows."""
    one = leaving(taxi_out_minutes=14, gear_down_minutes=3)
    rows = case_of(QUIET, replace(one, off_block_basis=Basis.ESTIMATED)).rows
    assert set(rows.taxi_out_s.tolist()) == {840.0}
    assert set(rows.gear_down_s.tolist()) == {180.0}
    taxi_in_s = 60.0 * DAY.taxi_in_minutes(BARE)
    assert set(rows.taxi_in_s.tolist()) == {taxi_in_s}
