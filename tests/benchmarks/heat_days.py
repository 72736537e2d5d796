"""Days of any size with real landings, for the heat benchmarks (all invented)."""

from datetime import date

import numpy as np

from scheduler.clock import Clock
from scheduler.day import (
    ApproachRule,
    Basis,
    Day,
    Departure,
    FanType,
    Landing,
    Reverse,
    Runway,
    Stand,
    Station,
    Tail,
    Turnaround,
    WeatherRow,
)
from thermal.catalogue import known_aircraft, load_aircraft

FIRST_MINUTE, LAST_MINUTE = 360, 1200


def make_heat_day(turnarounds: int, seed: int) -> Day:
    """Draw a hot day in waves: types, weights, wear and what is given all differ."""
    draw = np.random.default_rng(seed)
    names = known_aircraft()
    weights = np.array([0.1 if "freighter" in name else 0.225 for name in names])
    kinds = draw.choice(len(names), size=turnarounds, p=weights / weights.sum())
    stands = tuple(
        Stand(name=str(k + 1), taxi_in_minutes=4 + k % 5, taxi_out_minutes=6 + k % 7)
        for k in range(turnarounds)
    )
    fans = (
        FanType(
            name="ground",
            units=max(2, turnarounds // 12),
            air_speed_m_per_s=8.0,
            setup_minutes=3,
            removal_minutes=3,
            move_minutes=4,
            from_minute=0,
            to_minute=2880,
        ),
    )
    station = Station(
        name="Bench Field",
        elevation_m=600.0,
        time_zone="UTC",
        runways=(Runway(name="09", heading_deg=90.0, landing_distance_m=3200.0),),
        stands=stands,
        fans=fans,
        approach=ApproachRule(
            max_plug_k=458.0, max_stack_k=900.0, minutes_after_in_block=4
        ),
    )
    waves = np.sort(draw.choice(4, size=turnarounds))
    in_block = 420 + 200 * waves + draw.integers(0, 90, turnarounds)
    rows = [
        _turnaround(draw, k, names[kinds[k]], int(in_block[k]), stands[k].name)
        for k in range(turnarounds)
    ]
    return Day(
        name="bench",
        clock=Clock(day=date(2026, 7, 14)),
        station=station,
        aircraft=tuple(load_aircraft(name) for name in names),
        tails=tuple(tail for tail, _ in rows),
        weather=tuple(_weather(minute) for minute in range(FIRST_MINUTE, 1741, 30)),
        turnarounds=tuple(turnaround for _, turnaround in rows),
    )


def _turnaround(
    draw: np.random.Generator, number: int, kind: str, in_block: int, stand: str
) -> tuple[Tail, Turnaround]:
    aircraft = load_aircraft(kind)
    positions = tuple(str(k + 1) for k in range(aircraft.brake_count))
    wear = tuple(float(value) for value in draw.uniform(0.1, 0.95, len(positions)))
    known = draw.random(4) < 0.7
    tail = Tail(
        registration=f"T{number:03d}",
        aircraft=kind,
        positions=positions,
        wear=wear if known[0] else (None,) * len(positions),
    )
    reverse = (Reverse.NONE, Reverse.IDLE, Reverse.FULL)[int(draw.integers(3))]
    landing_kg = aircraft.maximum_landing_kg * draw.uniform(0.85, 1.0)
    take_off_kg = aircraft.maximum_take_off_kg * draw.uniform(0.78, 0.97)
    return tail, Turnaround(
        id=f"F{number:03d}",
        tail=tail.registration,
        stand=stand,
        in_block_minute=in_block,
        in_block_basis=Basis.ESTIMATED,
        target_off_block_minute=in_block + int(draw.integers(25, 75)),
        off_block_basis=Basis.ESTIMATED,
        landing=Landing(
            weight_kg=float(landing_kg) if known[1] else None,
            reverse=reverse if known[2] else None,
            deceleration_m_per_s2=float(draw.uniform(1.4, 2.6)),
        ),
        departure=Departure(
            take_off_weight_kg=float(take_off_kg) if known[3] else None
        ),
    )


def _weather(minute: int) -> WeatherRow:
    warmth = np.sin(np.pi * (minute - FIRST_MINUTE) / (LAST_MINUTE - FIRST_MINUTE))
    return WeatherRow(
        minute=minute,
        temperature_k=293.15 + 12.0 * float(max(warmth, 0.0)),
        wind_m_per_s=3.0,
        wind_direction_deg=70.0,
        pressure_pa=94300.0,
        source="report",
    )
