"""Synthetic days that are hard to plan, and how hard they are.

All data is invented: waves of arrivals whose departures saturate the runway, most of
them limited by their brakes, two fan types with full and partial sets, three wake
classes, slots, stands that are needed again, tows, work for crews, aircraft that may
still be asked for a longer rollout.
"""

import math
from collections import Counter
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from scheduler.day import (
    Basis,
    Crew,
    Day,
    DelayCost,
    Departure,
    Duty,
    FanType,
    Runway,
    Stand,
    Task,
    Turnaround,
    WakeTable,
    ZoneMove,
)
from scheduler.options import Limit, Option, OptionTable
from scheduler.plan import Plan
from tests.benchmarks.plain_days import make_aircraft, make_day_of, make_station

WAVES = (360, 600, 840, 1080)
WAVE_MINUTES = (115, 62, 115, 115)  # the second one saturates the runway
FAN_GRID = 5
JOB_MINUTES = (10, 15, 20, 25, 30, 40)
LARGE, SMALL = "large", "small"
RATE = {LARGE: 2.7, SMALL: 1.9}
SHARE_HOT = 0.72
COST = DelayCost(rates=((0, 1), (15, 2), (45, 4)), jumps=((60, 30),))
WAKE = WakeTable(
    name="synthetic",
    source="invented",
    edition="1",
    pairs=(("H", "M", 180), ("H", "L", 180), ("M", "L", 120)),
    weights=(("H", 136e3), ("M", 50e3), ("L", 0.0)),
)
TYPES = {"heavy": 200e3, "medium": 90e3, "light": 45e3}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What a hard day is made of."""

    turnarounds: int = 120
    fans: int = 5
    seed: int = 7
    exact_moves: bool = False
    fan_grid: int = FAN_GRID


def make_hard_day(shape: Shape) -> tuple[Day, list[OptionTable]]:
    """Make a day and what its invented heat allows."""
    rng = np.random.default_rng(shape.seed)
    rows = _turnarounds(rng, shape.turnarounds)
    day = make_day_of(rows, _station(shape, len(rows)))
    types = rng.choice(list(TYPES), size=len(rows), p=[0.15, 0.65, 0.2])
    kind = dict(zip((row.tail for row in rows), types, strict=True))
    day = replace(
        day,
        aircraft=tuple(_aircraft(name, kg) for name, kg in TYPES.items()),
        tails=tuple(
            replace(tail, aircraft=str(kind[tail.registration])) for tail in day.tails
        ),
    )
    return day, [_table(rng, day, shape, one) for one in rows]


def _aircraft(name: str, take_off_kg: float) -> object:
    base = make_aircraft()
    share = take_off_kg / base.maximum_take_off_kg
    return replace(
        base,
        name=name,
        maximum_take_off_kg=take_off_kg,
        maximum_landing_kg=base.maximum_landing_kg * share,
        operating_empty_kg=base.operating_empty_kg * share,
    )


def runway_names(count: int) -> tuple[str, ...]:
    """One runway for every 120 turnarounds."""
    return tuple(f"09{letter}" for letter in "LCR"[: max(count // 120, 1)])


def _station(shape: Shape, count: int) -> object:
    large = max(round(0.4 * shape.fans), 1)
    fans = (_fan(LARGE, large, shape), _fan(SMALL, shape.fans - large, shape))
    zones = ("north", "centre", "south")
    stands = tuple(
        Stand(
            name=f"S{index}",
            taxi_in_minutes=5,
            taxi_out_minutes=8 + index % 5,
            zone=zones[index % 3],
            tow_off_minutes=10 if index % 2 else None,
        )
        for index in range(count)
    )
    moves = (
        ZoneMove(from_zone="north", to_zone="north", minutes=2),
        ZoneMove(from_zone="centre", to_zone="centre", minutes=2),
        ZoneMove(from_zone="south", to_zone="south", minutes=2),
        ZoneMove(from_zone="north", to_zone="centre", minutes=5),
        ZoneMove(from_zone="centre", to_zone="south", minutes=5),
        ZoneMove(from_zone="north", to_zone="south", minutes=8),
    )
    return make_station(
        fans=tuple(fan for fan in fans if fan.units),
        delay_cost=COST,
        stands=stands,
        runways=tuple(
            Runway(
                name=name,
                heading_deg=90.0,
                landing_distance_m=3000.0,
                spacing_minutes=2,
            )
            for name in runway_names(count)
        ),
        wake=WAKE,
        crews=(
            Crew(
                name="line",
                count=max(count // 40, 1),
                tasks=(Task.INSPECTION,),
                move_minutes=5,
            ),
        ),
        zone_moves=moves,
        exact_moves=shape.exact_moves,
    )


def _fan(name: str, units: int, shape: Shape) -> FanType:
    home = [0, 0, 0]
    for index in range(units):
        home[index % 3] += 1
    zones = ("north", "centre", "south")
    return FanType(
        name=name,
        units=units,
        air_speed_m_per_s=10.0,
        setup_minutes=3,
        removal_minutes=2,
        move_minutes=4,
        from_minute=0,
        to_minute=1800,
        brakes_per_unit=4,
        home=tuple((zone, n) for zone, n in zip(zones, home, strict=True) if n),
    )


def _turnarounds(rng: np.random.Generator, count: int) -> tuple[Turnaround, ...]:
    per_wave = -(-count // len(WAVES))
    runways = runway_names(count)
    rows: list[Turnaround] = []
    for index in range(count):
        wave, place = divmod(index, per_wave)
        span = WAVE_MINUTES[wave % 4] * min(per_wave / 30 / len(runways), 2)
        in_block = int(WAVES[wave % 4] + rng.integers(0, round(span)))
        target = in_block + int(rng.integers(38, 60))
        stand = f"S{place if rng.random() < 0.5 else index}"
        rows.append(
            Turnaround(
                id=f"T{index:03d}",
                tail=f"TAIL{index:03d}",
                stand=stand,
                in_block_minute=in_block,
                in_block_basis=Basis.ESTIMATED,
                target_off_block_minute=target,
                off_block_basis=Basis.SCHEDULED,
                departure=replace(
                    _departure(rng, target), runway=runways[index % len(runways)]
                ),
                duties=_work(rng, in_block),
            )
        )
    return tuple(rows)


def _departure(rng: np.random.Generator, target: int) -> Departure:
    ctot = int(target + 15 + rng.integers(0, 25)) if rng.random() < 0.15 else None
    limit = int(target + 120) if rng.random() < 0.1 else None
    return Departure(ctot_minute=ctot, crew_limit_minute=limit)


def _work(rng: np.random.Generator, in_block: int) -> tuple[Duty, ...]:
    if rng.random() > 0.15:
        return ()
    earliest = in_block + int(rng.integers(5, 20))
    return (Duty(task=Task.INSPECTION, minutes=15, earliest_minute=earliest),)


def _table(
    rng: np.random.Generator, day: Day, shape: Shape, one: Turnaround
) -> OptionTable:
    """Still air takes its minutes; a fan takes away more for each minute of air.

    What a job can win is limited: the wheel warms again from the stack.
    """
    hot = rng.random() < SHARE_HOT
    still = float(rng.uniform(55, 105) if hot else rng.uniform(10, 35))
    approach = one.in_block_minute + int(rng.integers(4, 12))
    options = _ways(day, shape, one, still, approach, None)
    if rng.random() < 0.2:
        options += _ways(day, shape, one, 0.85 * still, approach, "full length")
    return OptionTable(
        turnaround_id=one.id,
        approach_minute=approach,
        options=tuple(options),
        rollout_deadline_minute=one.in_block_minute - 25,
    )


def _ways(
    day: Day,
    shape: Shape,
    one: Turnaround,
    still: float,
    approach: int,
    rollout: str | None,
) -> list[Option]:
    begin = one.in_block_minute
    ways = [_option(begin + math.ceil(still), rollout)]
    for fan in day.station.fans:
        for units in fan.sets_for(8):
            rate = RATE[fan.name] * (0.55 + 0.65 * units)
            first = (
                -(-(approach + fan.setup_minutes) // shape.fan_grid) * shape.fan_grid
            )
            for start in range(first, begin + math.ceil(still), shape.fan_grid):
                for minutes in JOB_MINUTES:
                    won = min(rate * minutes, 0.75 * still)
                    after = max(
                        still - won, start - begin + minutes + fan.removal_minutes
                    )
                    if after < still - 2:
                        job = (fan.name, units, start, start + minutes)
                        ways.append(_option(begin + math.ceil(after), rollout, job))
    return ways


def _option(
    ready: int, rollout: str | None, job: tuple[str, int, int, int] | None = None
) -> Option:
    if job is None:
        return Option(ready_minute=ready, binding=Limit.STOPPING, rollout=rollout)
    fan, units, start, end = job
    return Option(
        fan=fan,
        units=units,
        start_minute=start,
        end_minute=end,
        ready_minute=ready,
        binding=Limit.STOPPING,
        rollout=rollout,
    )


def hardness(day: Day, tables: list[OptionTable], plan: Plan, greedy: int) -> dict:
    """How hard the day is: shares and ratios."""
    limited = sum(
        table.still_air.ready_minute > one.target_off_block_minute
        for one, table in zip(day.turnarounds, tables, strict=True)
    )
    return {
        "options": sum(len(table.options) for table in tables),
        "limited_by_brakes": round(limited / len(tables), 3),
        "peak_fan_use": round(_peak_fan_use(day, plan), 3),
        "busiest_runway_hour": round(_busiest_hour(day, plan), 3),
        "ctot_conflicts": _ctot_conflicts(day, tables),
        "first_come_over_optimum": round(greedy / max(plan.proof.objective[1], 1), 3),
    }


def _peak_fan_use(day: Day, plan: Plan) -> float:
    """Units in use at the busiest minute, all types together."""
    busy: Counter[int] = Counter()
    for row in plan.turnarounds:
        for job in row.fan_jobs:
            fan = day.fan(job.fan_type)
            start, end = job.start_minute - fan.setup_minutes, job.end_minute
            for minute in range(start, end + fan.removal_minutes + fan.move_minutes):
                busy[minute] += job.units
    return max(busy.values(), default=0) / sum(fan.units for fan in day.station.fans)


def _busiest_hour(day: Day, plan: Plan) -> float:
    """Share of the busiest hour of a runway that separations take."""
    return max(_busiest_hour_of(day, plan, one.name) for one in day.station.runways)


def _busiest_hour_of(day: Day, plan: Plan, runway: str) -> float:
    by_id = {one.id: one for one in day.turnarounds}
    take_offs = sorted(
        (row.take_off_minute, row.id)
        for row in plan.turnarounds
        if row.take_off_minute is not None
        and day.departure_runway_of(by_id[row.id]).name == runway
    )
    gaps = [
        (at, day.departure_gap(by_id[one], by_id[two]))
        for (at, one), (_, two) in pairwise(take_offs)
    ]
    return max(
        sum(gap for other, gap in gaps if at <= other < at + 60) / 60 for at, _ in gaps
    )


def _ctot_conflicts(day: Day, tables: list[OptionTable]) -> int:
    """Flights whose brakes in still air miss their slot."""
    missed = 0
    for one, table in zip(day.turnarounds, tables, strict=True):
        ctot, ready = one.departure.ctot_minute, table.still_air.ready_minute
        if ctot is not None and ready is not None:
            missed += ready + day.taxi_out_minutes(one) > ctot + 10
    return missed
