"""The rollout to the last exit: when it is looked at, its stop, its heat."""

from dataclasses import fields, replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case
from scheduler.cases.full_length import ask_by, full_length_case, may_roll_on
from scheduler.cases.landing import Technique, landing_roll
from scheduler.cases.other_landing import draws_of
from scheduler.day import Basis, Day, Exit, Reverse, Runway, Turnaround
from thermal import RunwayCondition
from thermal.rollout import LandingRoll
from thermal.stop_margin import stop_margin_m

COUNT, ABOVE = 256, 1
SAMPLE = sample_day()
RUNWAY = Runway(
    name="long",
    heading_deg=270.0,
    landing_distance_m=3600.0,
    exits=(
        Exit(name="near", distance_m=1500.0, speed_m_per_s=14.0),
        Exit(name="far", distance_m=3300.0, speed_m_per_s=14.0),
        Exit(name="middle", distance_m=2200.0, speed_m_per_s=14.0),
    ),
)
GIVEN = next(one for one in SAMPLE.turnarounds if one.id == "SB105")
LANDS = replace(
    GIVEN,
    in_block_basis=Basis.ESTIMATED,
    landing=replace(
        GIVEN.landing,
        runway="long",
        exit="near",
        reverse=Reverse.IDLE,
        deceleration_m_per_s2=2.4,
    ),
)


def day_with(turnaround: Turnaround = LANDS, runway: Runway = RUNWAY) -> Day:
    station = replace(SAMPLE.station, runways=(*SAMPLE.station.runways, runway))
    return replace(SAMPLE, station=station, turnarounds=(turnaround,))


def with_tail(day: Day, **values: object) -> Day:
    return replace(
        day,
        tails=tuple(
            replace(tail, **values) if tail.registration == LANDS.tail else tail
            for tail in day.tails
        ),
    )


def landed(
    day: Day, turnaround: Turnaround = LANDS, count: int = COUNT
) -> tuple[Case, Case | None]:
    case = build_case(day, turnaround, sample_count=count, seed=3)
    return case, full_length_case(day, case, seed=3, above=ABOVE)


def test_it_is_cooler_and_differs_by_the_landing_alone() -> None:
    """Same draws, brakes and departure; every sample's hottest brake takes less."""
    case, other = landed(day_with())
    assert other is not None
    assert other.turnaround.landing.exit == "far"
    changed = {
        field.name
        for field in fields(case.rows)
        if not np.array_equal(
            getattr(case.rows, field.name), getattr(other.rows, field.name)
        )
    }
    assert changed == {"roll_s", "roll_power_w"}
    assert (other.energy_j.max(axis=1) < case.energy_j.max(axis=1)).mean() > 0.99
    assert other.energy_j.mean() < 0.8 * case.energy_j.mean()


def test_it_takes_the_gentlest_level_whose_stop_margin_holds() -> None:
    """On every sample, beyond the few that may be; one level less is short of it."""
    day = day_with(runway=replace(RUNWAY, landing_distance_m=2600.0, exits=SHORT))
    case, other = landed(day)
    assert other is not None
    level = other.turnaround.landing.deceleration_m_per_s2
    levels = sorted({*case.aircraft.automatic_decelerations_m_per_s2, 2.4})
    place = levels.index(level)
    assert place > 0
    assert missing(day, level) <= ABOVE
    assert missing(day, levels[place - 1]) > ABOVE


SHORT = (
    Exit(name="near", distance_m=1500.0, speed_m_per_s=14.0),
    Exit(name="far", distance_m=2400.0, speed_m_per_s=14.0),
)


def missing(day: Day, level: float | None) -> int:
    """Samples that do not stop with the factor, all of them looked at."""
    landing = replace(LANDS.landing, exit="far", deceleration_m_per_s2=level)
    one = replace(LANDS, landing=landing)
    draws = draws_of(day, one, sample_count=COUNT, seed=3)
    roll = landing_roll(day, one, draws.inputs, 1.0, Technique(hold_level=True))
    every = {
        field.name: np.broadcast_to(getattr(roll.roll, field.name), (COUNT, 1))[:, 0]
        for field in fields(roll.roll)
    }
    margin_m = stop_margin_m(
        roll.aircraft,
        LandingRoll(**every),
        roll.surface,
        touchdown_m=roll.touchdown_m[:, 0],
        landing_distance_m=day.runway_of(one).landing_distance_m,
        factor=day.station.stop_factor,
    )
    return int((margin_m < 0.0).sum())


def test_a_runway_without_margin_offers_none() -> None:
    """Stopping comes first, however hot the brakes get."""
    short = replace(RUNWAY, landing_distance_m=1700.0, exits=SHORT)
    assert landed(day_with(runway=short))[1] is None


@pytest.mark.parametrize(
    "condition", [RunwayCondition.WET, RunwayCondition.CODE_5, RunwayCondition.CODE_3]
)
def test_never_on_a_wet_or_slippery_runway(condition: RunwayCondition) -> None:
    """Whatever the length."""
    day = day_with(runway=replace(RUNWAY, condition=condition))
    assert may_roll_on(day, LANDS) is None
    assert landed(day)[1] is None


@pytest.mark.parametrize(
    "given",
    [
        {"in_block_basis": Basis.ACTUAL},
        {"cancelled": True},
        {"landing": replace(LANDS.landing, exit="far")},
        {"landing": replace(LANDS.landing, exit=None)},
    ],
)
def test_nothing_to_ask_for(given: dict[str, object]) -> None:
    """After landing, at the last exit, without an exit, or cancelled."""
    one = replace(LANDS, **given)
    assert may_roll_on(day_with(one), one) is None
    assert may_roll_on(day_with(), LANDS) == RUNWAY.exits[1]


@pytest.mark.parametrize(
    "defect",
    [
        {"anti_skid_inoperative": True},
        {"reverser_inoperative": True},
        {"automatic_braking_inoperative": True},
    ],
)
def test_none_with_a_braking_defect(defect: dict[str, object]) -> None:
    """A defect asks for more braking, not for less."""
    assert may_roll_on(with_tail(day_with(), **defect), LANDS) is None


def test_it_is_asked_for_before_landing() -> None:
    """By the station's minutes; later than that it is not looked at."""
    day = day_with()
    landing = LANDS.in_block_minute - day.taxi_in_minutes(LANDS)
    assert ask_by(day, LANDS) == landing - day.station.rollout_request_minutes
    for late, found in ((0, RUNWAY.exits[1]), (1, None)):
        now = replace(day, now_minute=ask_by(day, LANDS) + late)
        assert may_roll_on(now, LANDS) == found


def test_as_much_heat_is_not_worth_asking() -> None:
    """Full reverse and gentle braking to a near exit leave nothing to win."""
    gentle = replace(LANDS.landing, exit="middle", deceleration_m_per_s2=1.0)
    runway = replace(
        RUNWAY, exits=(Exit(name="far", distance_m=2250.0, speed_m_per_s=7.0), *MIDDLE)
    )
    one = replace(LANDS, landing=gentle)
    day = day_with(one, runway)
    assert may_roll_on(day, one) is not None
    assert landed(day, one)[1] is None


MIDDLE = (Exit(name="middle", distance_m=2200.0, speed_m_per_s=20.0),)
