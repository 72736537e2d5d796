"""Synthetic days for tests: waves of arrivals that share a few fans and one runway.

All data is invented.
"""

import math
from datetime import date

import numpy as np

from scheduler.clock import Clock
from scheduler.day import (
    ApproachRule,
    Basis,
    Day,
    DelayCost,
    Departure,
    FanType,
    Runway,
    Stand,
    Station,
    Tail,
    Turnaround,
    WeatherRow,
)
from scheduler.options import Limit, Option, OptionTable
from thermal import Aircraft

WAVES = (360, 600, 840, 1080)
GRID_MINUTES = 5
JOB_MINUTES = (10, 15, 20, 25, 30, 40, 50)


def make_day(turnarounds: int, fans: int, seed: int) -> tuple[Day, list[OptionTable]]:
    """Make a day of arrival waves in which most aircraft wait for their brakes."""
    rng = np.random.default_rng(seed)
    rows = tuple(_turnaround(rng, index) for index in range(turnarounds))
    station = make_station(fans=(_large(fans - fans // 2), _small(fans // 2)))
    day = make_day_of(rows, station)
    return day, [_table(rng, day, one) for one in rows]


def make_aircraft() -> Aircraft:
    """One invented type with eight brakes."""
    return Aircraft(
        name="synthetic twin",
        brake="synthetic",
        brake_count=8,
        maximum_take_off_kg=120e3,
        maximum_landing_kg=100e3,
        operating_empty_kg=60e3,
        wing_area_m2=200.0,
        drag_coefficient_ground=0.1,
        lift_coefficient_ground=0.1,
        rolling_fraction=0.015,
        approach_speed_m_per_s=70.0,
        v1_m_per_s=75.0,
        touchdown_fraction=0.97,
        engine_count=2,
        idle_n=10e3,
        reverse_n=60e3,
        tyre_pressure_pa=1.3e6,
        automatic_decelerations_m_per_s2=(1.2, 1.8, 3.0),
        default_deceleration_m_per_s2=1.8,
        dry_friction=0.5,
    )


def make_station(
    fans: tuple[FanType, ...] = (),
    delay_cost: DelayCost | None = None,
    **changes: object,
) -> Station:
    """One runway, as many stands as names S0 … S199, the given fans."""
    values: dict[str, object] = {
        "name": "Synthetic",
        "elevation_m": 0.0,
        "time_zone": "UTC",
        "runways": (Runway(name="09", heading_deg=90.0, landing_distance_m=3000.0),),
        "stands": tuple(
            Stand(name=f"S{index}", taxi_in_minutes=5, taxi_out_minutes=10)
            for index in range(200)
        ),
        "fans": fans,
        "approach": ApproachRule(max_plug_k=420.0, max_stack_k=800.0),
        "delay_cost": delay_cost or DelayCost(rates=((0, 1), (15, 2), (60, 4))),
    }
    return Station(**{**values, **changes})  # type: ignore[arg-type]


def make_day_of(rows: tuple[Turnaround, ...], station: Station) -> Day:
    """Day of these turnarounds, every one flown by a tail of its own name."""
    aircraft = make_aircraft()
    positions = tuple(str(index) for index in range(1, 9))
    return Day(
        name="synthetic",
        clock=Clock(day=date(2026, 7, 14)),
        station=station,
        aircraft=(aircraft,),
        tails=tuple(
            Tail(
                registration=name,
                aircraft=aircraft.name,
                positions=positions,
                wear=(None,) * len(positions),
            )
            for name in sorted({row.tail for row in rows})
        ),
        weather=(
            WeatherRow(
                minute=0,
                temperature_k=303.15,
                wind_m_per_s=2.0,
                wind_direction_deg=None,
                pressure_pa=101325.0,
                source="report",
            ),
        ),
        turnarounds=rows,
    )


def _large(units: int) -> FanType:
    return _fan("large", units, 12.0)


def _small(units: int) -> FanType:
    return _fan("small", units, 8.0)


def _fan(name: str, units: int, speed: float) -> FanType:
    return FanType(
        name=name,
        units=units,
        air_speed_m_per_s=speed,
        setup_minutes=3,
        removal_minutes=2,
        move_minutes=4,
        from_minute=0,
        to_minute=1440,
    )


def _turnaround(rng: np.random.Generator, index: int) -> Turnaround:
    wave = WAVES[index % len(WAVES)]
    in_block = int(wave + rng.integers(0, 120))
    target = in_block + int(rng.integers(35, 60))
    ctot = int(target + 10 + rng.integers(0, 30)) if rng.random() < 0.2 else None
    return Turnaround(
        id=f"T{index:03d}",
        tail=f"TAIL{index:03d}",
        stand=f"S{index}",
        in_block_minute=in_block,
        in_block_basis=Basis.ESTIMATED,
        target_off_block_minute=target,
        off_block_basis=Basis.SCHEDULED,
        departure=Departure(ctot_minute=ctot),
    )


def _table(rng: np.random.Generator, day: Day, one: Turnaround) -> OptionTable:
    """Exponential cooling: a fan speeds it by its air, more by two units."""
    hot = rng.random() < 0.72
    still_minutes = float(rng.uniform(55, 120) if hot else rng.uniform(10, 35))
    approach = one.in_block_minute + 5
    options = [_option(one.in_block_minute + math.ceil(still_minutes))]
    for fan in day.station.fans:
        for units in range(1, min(2, fan.units) + 1):
            gain = fan.air_speed_m_per_s / 8.0 * (0.9 + 0.6 * units)
            options += _jobs(one, still_minutes, (fan, units, gain), approach)
    return OptionTable(
        turnaround_id=one.id, approach_minute=approach, options=tuple(options)
    )


def _jobs(
    one: Turnaround,
    still_minutes: float,
    kind: tuple[FanType, int, float],
    approach: int,
) -> list[Option]:
    fan, units, gain = kind
    first = approach + fan.setup_minutes - one.in_block_minute
    jobs = []
    for start in range(first, math.ceil(still_minutes), GRID_MINUTES):
        for minutes in JOB_MINUTES:
            left = still_minutes - start - gain * minutes
            after = start + minutes + max(left, 0.0)
            ready = math.ceil(max(after, start + minutes + fan.removal_minutes))
            if ready < still_minutes:
                begin = one.in_block_minute + start
                job = (fan.name, units, begin, begin + minutes)
                jobs.append(_option(one.in_block_minute + ready, job))
    return jobs


def _option(ready: int, job: tuple[str, int, int, int] | None = None) -> Option:
    if job is None:
        return Option(ready_minute=ready, binding=Limit.STOPPING)
    fan, units, start, end = job
    return Option(
        fan=fan,
        units=units,
        start_minute=start,
        end_minute=end,
        ready_minute=ready,
        binding=Limit.STOPPING,
    )
