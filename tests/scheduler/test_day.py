"""The records of a day: what is refused, what is looked up, what a delay costs."""

from dataclasses import replace

import pytest
from good_plan import make_day, make_station, make_turnaround
from hypothesis import given
from hypothesis import strategies as st

from scheduler.day import (
    Curfew,
    CurfewEvent,
    DelayCost,
    Departure,
    Landing,
    Runway,
    Stand,
    Tail,
)
from scheduler.errors import DayError, SchedulerError

DAY = make_day()
A1 = DAY.turnarounds[0]


@st.composite
def costs(draw: st.DrawFn, *, with_jumps: bool) -> DelayCost:
    """Valid delay costs with up to four stretches."""
    count = draw(st.integers(1, 4))
    steps = draw(st.lists(st.integers(1, 40), min_size=count - 1, max_size=count - 1))
    rises = draw(st.lists(st.integers(0, 9), min_size=count, max_size=count))
    starts = [sum(steps[:index]) for index in range(count)]
    rates = [sum(rises[: index + 1]) for index in range(count)]
    jump = st.tuples(st.integers(1, 120), st.integers(0, 500))
    jumps = draw(st.lists(jump, max_size=3)) if with_jumps else []
    return DelayCost(rates=tuple(zip(starts, rates, strict=True)), jumps=tuple(jumps))


@given(cost=costs(with_jumps=False), delay=st.integers(1, 200))
def test_delay_cost_is_convex(cost: DelayCost, delay: int):
    """Without jumps no minute is cheaper than the one before."""
    before, now, after = (cost.of(delay + step) for step in (-1, 0, 1))
    assert after - now >= now - before >= 0


@given(cost=costs(with_jumps=True), delay=st.integers(0, 200))
def test_delay_cost_never_falls(cost: DelayCost, delay: int):
    """With jumps too a longer delay never costs less."""
    assert cost.of(delay + 1) >= cost.of(delay)


@given(cost=costs(with_jumps=True), delay=st.integers(0, 200))
def test_delay_cost_minute_by_minute(cost: DelayCost, delay: int):
    """The cost is the rate in force in each minute, plus the jumps reached."""
    rate_of = [
        max(rate for start, rate in cost.rates if start <= minute)
        for minute in range(delay)
    ]
    jumps = [amount for minute, amount in cost.jumps if minute <= delay]
    assert cost.of(delay) == sum(rate_of) + sum(jumps)


@given(cost=costs(with_jumps=True), early=st.integers(-200, 0))
def test_early_or_on_time_costs_nothing(cost: DelayCost, early: int):
    """No delay, no cost."""
    assert cost.of(early) == 0


@pytest.mark.parametrize(
    ("delay", "cost"), [(0, 0), (15, 15), (16, 17), (29, 43), (30, 95), (40, 115)]
)
def test_delay_cost_by_hand(delay: int, cost: int):
    """1 a minute up to 15, then 2, and 50 once 30 minutes are reached."""
    assert make_station().delay_cost.of(delay) == cost


@pytest.mark.parametrize(
    ("rates", "jumps", "words"),
    [
        ((), (), "rising breakpoints from 0"),
        (((5, 1),), (), "rising breakpoints from 0"),
        (((0, 1), (0, 2)), (), "rising breakpoints from 0"),
        (((0, 1), (9, 2), (5, 3)), (), "rising breakpoints from 0"),
        (((0, -1),), (), "not negative"),
        (((0, 2), (5, -1)), (), "not negative"),
        (((0, 1),), ((0, 5),), "jumps after 0"),
        (((0, 1),), ((5, -5),), "jumps after 0"),
    ],
)
def test_delay_cost_that_is_refused(rates: tuple, jumps: tuple, words: str):
    """Costs that would reward a delay are refused in words."""
    with pytest.raises(DayError, match=words):
        DelayCost(rates=rates, jumps=jumps)


@pytest.mark.parametrize("minute", range(1378, 1444))
def test_curfew_end_is_open(minute: int):
    """A curfew forbids its first minute, and its end no more."""
    curfew = Curfew(from_minute=1380, to_minute=1442)
    is_inside = 1380 <= minute < 1442
    assert curfew.forbids(0, minute) is is_inside
    at_off_block = replace(curfew, event=CurfewEvent.OFF_BLOCK)
    assert at_off_block.forbids(minute, 0) is is_inside
    assert at_off_block.forbids(0, minute) is False


def test_day_errors_are_value_errors_of_this_package():
    """Callers may catch either."""
    assert issubclass(DayError, ValueError)
    assert issubclass(DayError, SchedulerError)


@pytest.mark.parametrize("target", [600, 599])
def test_off_block_comes_after_in_block(target: int):
    """A turnaround of no length is refused."""
    with pytest.raises(DayError, match="turnaround A1: off-block: expected after"):
        make_turnaround("A1", "S1", 600, target)


def test_wear_and_positions_go_together():
    """One wear entry per brake."""
    with pytest.raises(DayError, match="tail X-1: wear: expected 2 entries, got 1"):
        Tail(registration="X-1", aircraft="Heron", positions=("1", "2"), wear=(0.1,))


def test_defect_of_an_unknown_position():
    """An inoperative brake that the tail does not have is refused."""
    with pytest.raises(DayError, match="inoperative: expected positions of this tail"):
        Tail(
            registration="X-1",
            aircraft="Heron",
            positions=("1",),
            wear=(None,),
            inoperative=("3",),
        )


@pytest.mark.parametrize("label", ["runways", "stands", "fans"])
def test_station_names_are_unique(label: str):
    """Two runways, stands or fans of one name are refused."""
    station = make_station()
    records = getattr(station, label)
    with pytest.raises(DayError, match=f"{label}: expected unique names"):
        replace(station, **{label: (*records, records[0])})


@pytest.mark.parametrize("label", ["runways", "stands"])
def test_station_needs_a_runway_and_a_stand(label: str):
    """A station without either is refused."""
    with pytest.raises(DayError, match="at least one runway and one stand"):
        replace(make_station(), **{label: ()})


@pytest.mark.parametrize("label", ["aircraft", "tails", "turnarounds"])
def test_day_names_are_unique(label: str):
    """Two records of one name are refused."""
    records = getattr(DAY, label)
    with pytest.raises(DayError, match=f"{label}: expected unique names"):
        replace(DAY, **{label: (*records, records[0])})


@pytest.mark.parametrize("minutes", [(), (0, 0), (60, 0)])
def test_weather_is_in_time_order(minutes: tuple[int, ...]):
    """No weather, or rows that do not follow each other, are refused."""
    rows = tuple(replace(DAY.weather[0], minute=minute) for minute in minutes)
    with pytest.raises(DayError, match="weather: expected rows in time order"):
        replace(DAY, weather=rows)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"stand": "S9"}, "stand: expected one of S1, S2, S3, got S9"),
        ({"tail": "X-9"}, "tail: expected one of X-A1"),
        ({"landing": Landing(runway="36")}, "runway: expected one of 09, got 36"),
    ],
)
def test_references_exist(changes: dict[str, object], words: str):
    """A turnaround that names what the day does not have is refused."""
    with pytest.raises(DayError, match=words):
        replace(DAY, turnarounds=(replace(A1, **changes),))


def test_tail_of_an_unknown_type():
    """A tail whose type is missing is found when the day is made."""
    tails = (replace(DAY.tails[0], aircraft="Stork"), *DAY.tails[1:])
    with pytest.raises(DayError, match="aircraft type: expected one of Heron"):
        replace(DAY, tails=tails)


def test_lookups():
    """A turnaround leads to its tail, type, stand, and the station's first runway."""
    assert DAY.tail_of(A1).registration == "X-A1"
    assert DAY.aircraft_of(A1).name == "Heron"
    assert DAY.stand_of(A1).name == "S1"
    assert DAY.runway_of(A1).name == "09"
    assert DAY.fan("pit").remote


def test_named_runway_wins():
    """The landing's runway is taken where it is given."""
    second = Runway(name="27", heading_deg=270.0, landing_distance_m=2400.0)
    station = make_station()
    day = replace(DAY, station=replace(station, runways=(*station.runways, second)))
    assert day.runway_of(replace(A1, landing=Landing(runway="27"))) == second


def test_taxi_times_of_the_turnaround_win():
    """Own taxi times count, zero too; else those of the stand."""
    stand = Stand(name="S1", taxi_in_minutes=4, taxi_out_minutes=11)
    station = replace(make_station(), stands=(stand, *make_station().stands[1:]))
    day = replace(DAY, station=station)
    own = replace(
        A1,
        landing=Landing(taxi_in_minutes=0),
        departure=Departure(taxi_out_minutes=0),
    )
    assert (day.taxi_in_minutes(A1), day.taxi_out_minutes(A1)) == (4, 11)
    assert (day.taxi_in_minutes(own), day.taxi_out_minutes(own)) == (0, 0)


def test_horizon_counts_from_in_block():
    """The last minute is in-block plus the station's hold."""
    assert DAY.last_minute(A1) == 600 + 120
