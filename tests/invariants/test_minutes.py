"""What must hold of brake-ready in whole minutes, with the same draws.

More heat, warmer air or less wind never gives an earlier off-block by stopping, plug or
wheel well; a fan never makes one of these later.
"""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from scheduler.cases import build_case
from scheduler.day import Day, Landing, WeatherRow
from scheduler.options import Limit, OptionTable
from scheduler.readiness import tables_of
from scheduler.readiness.limits import COLUMNS
from scheduler.readiness.stand import stand_heat
from scheduler.single.bounds import fan_minutes, still_minutes
from tests.benchmarks.heat_days import make_heat_day
from thermal.catalogue import known_aircraft, load_aircraft

LIMITS = (Limit.STOPPING, Limit.PLUG, Limit.WHEEL_WELL)
NEVER = 10**6


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settings:
    seed: int = 7
    sample_count: int = 512


def _day(kind: str, *, weight: float = 0.95, warmer_k: float = 0.0) -> Day:
    """Return a day of one landing at a share of the type's greatest landing weight."""
    day = make_heat_day(1, 3)
    aircraft = load_aircraft(kind)
    count = aircraft.brake_count
    tail = replace(
        day.tails[0],
        aircraft=kind,
        positions=tuple(str(k + 1) for k in range(count)),
        wear=tuple(0.2 + 0.6 * k / count for k in range(count)),
    )
    landing = Landing(
        weight_kg=weight * aircraft.maximum_landing_kg, deceleration_m_per_s2=1.9
    )
    departure = replace(
        day.turnarounds[0].departure,
        take_off_weight_kg=0.9 * aircraft.maximum_take_off_kg,
    )
    return replace(
        day,
        tails=(tail,),
        turnarounds=(
            replace(day.turnarounds[0], landing=landing, departure=departure),
        ),
        weather=tuple(_warmer(row, warmer_k) for row in day.weather),
    )


def _warmer(row: WeatherRow, by_k: float) -> WeatherRow:
    return replace(row, temperature_k=row.temperature_k + by_k, wind_m_per_s=6.0)


def _windy(day: Day, *, credit: bool) -> Day:
    """The same day at an open stand, with or without credit for the wind."""
    stands = tuple(replace(stand, shelter_fraction=0.0) for stand in day.station.stands)
    station = replace(day.station, stands=stands, wind_credit=credit)
    return replace(day, station=station)


def _table(day: Day) -> OptionTable:
    return next(iter(tables_of(day, [0], _Settings()).values()))[0]


def _minutes(table: OptionTable) -> dict[Limit, int]:
    return {
        limit: NEVER if minute is None else minute
        for limit, minute in table.limit_minutes
        if limit in LIMITS
    }


def _check(kind: str) -> None:
    """Compare a landing with a heavier one, a warmer day, and with wind."""
    base = _table(_day(kind))
    plain = _minutes(base)
    heavier = _minutes(_table(_day(kind, weight=0.99)))
    warmer = _minutes(_table(_day(kind, warmer_k=6.0)))
    windless = _minutes(_table(_windy(_day(kind), credit=False)))
    windy = _minutes(_table(_windy(_day(kind), credit=True)))
    for limit in LIMITS:
        assert heavier[limit] >= plain[limit], f"{kind}: {limit}, more heat"
        assert warmer[limit] >= plain[limit], f"{kind}: {limit}, warmer air"
        assert windless[limit] >= windy[limit], f"{kind}: {limit}, less wind"
    still = max(plain.values())
    for option in base.options[1:]:
        if option.binding in LIMITS:
            ready = NEVER if option.ready_minute is None else option.ready_minute
            removal = option.end_minute + 3
            assert ready <= max(still, removal), f"{kind}: {option}"


def _check_samples(kind: str) -> None:
    """Compare every followed sample and limit behind fans with itself in still air."""
    day = _day(kind)
    case = build_case(day, day.turnarounds[0], sample_count=128, seed=7)
    heat = stand_heat((case,), day.station.hold_minutes)
    still = still_minutes(heat, np.full(128, 1.0 / 128.0))
    own = np.flatnonzero(still.limit != COLUMNS.index(Limit.INDICATED))
    ours = np.isin(still.limit, [COLUMNS.index(limit) for limit in LIMITS])[own]
    assert ours.sum() > 100
    earlier = []
    for span, air in (((5, 20), 3.0), ((20, 65), 8.0), ((40, 100), 12.0)):
        blown, _ = fan_minutes(heat, still, span, air)
        waited = np.maximum(still.minute[own], float(span[1]))
        assert (blown.minute[: own.size] <= waited)[ours].all(), f"{kind}: {span}"
        earlier.append((blown.minute[: own.size] < still.minute[own])[ours].any())
    assert any(earlier)


def test_minutes_are_monotone_for_a_steel_stack() -> None:
    """Heat, warmth and wind move the minutes the way they must, and a fan helps."""
    _check("twin-52")


@pytest.mark.parametrize("kind", known_aircraft())
def test_no_sample_waits_longer_for_a_fan(kind: str) -> None:
    """Stopping, plug and wheel well of each draw and brake, behind three fan jobs."""
    _check_samples(kind)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "values"),
    [("weight", (0.85, 0.9, 0.95, 0.99)), ("warmer_k", (0.0, 2.0, 5.0, 9.0))],
)
def test_minutes_never_turn_back_along_a_row_of_days(
    name: str, values: tuple[float, ...]
) -> None:
    """Step by step heavier, and step by step warmer, the same draws."""
    tables = [_minutes(_table(_day("twin-72", **{name: value}))) for value in values]
    for limit in LIMITS:
        minutes = [table[limit] for table in tables]
        assert minutes == sorted(minutes)
    assert len({table[Limit.STOPPING] for table in tables}) > 1


@pytest.mark.slow
@pytest.mark.parametrize("kind", known_aircraft())
def test_minutes_are_monotone_for_every_aircraft(kind: str) -> None:
    """The same for every aircraft of the catalogue."""
    _check(kind)
