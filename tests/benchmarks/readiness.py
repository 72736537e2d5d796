"""Brake-ready tables of a day: seconds, trajectories, and how far from brute force.

``python -m tests.benchmarks.readiness --turnarounds 60 --seed 1 --json``

Brute force follows every brake of every sample, integrates the fan job of all of them
from touchdown on, and looks at every minute around the table's: the first from which
enough samples keep all limits to the end of the look. A few options drawn from the day
are compared; a positive deviation says that the table is late.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from scheduler.cases import Case, build_case, network_of
from scheduler.cases.full_length import full_length_case
from scheduler.cases.reach import reached_brakes
from scheduler.day import Day, Turnaround
from scheduler.options import Limit, Option, OptionTable
from scheduler.readiness import build_tables
from tests.benchmarks.heat_days import make_heat_day
from thermal.cooling import cool
from thermal.margins import departure_margins_k
from thermal.sampling import bound_rank
from thermal.turnaround import arrival, arrival_s, fan_job, parked, start_k
from thermal.units import MINUTE_S

LOOK = 4
HEAT_LIMITS = (Limit.STOPPING, Limit.PLUG, Limit.WHEEL_WELL, Limit.OTHER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Seed and samples, as the tables are asked for."""

    seed: int
    sample_count: int


def comparable(day: Day, tables: list[OptionTable]) -> list[tuple[Turnaround, Option]]:
    """Options whose minute a limit on heat sets, fan jobs and still air."""
    found = []
    for turnaround, table in zip(day.turnarounds, tables, strict=True):
        for option in table.options:
            ready = option.ready_minute
            if ready is None or option.binding not in HEAT_LIMITS:
                continue
            if ready - turnaround.in_block_minute > LOOK:
                found.append((turnaround, option))
    return found


def exact_minute(
    day: Day, turnaround: Turnaround, option: Option, settings: Settings
) -> int | None:
    """First minute around the table's from which enough samples hold; brute force."""
    station, samples = day.station, settings.sample_count
    rank = bound_rank(samples, station.limit_confidence, station.bound_confidence)
    case = build_case(day, turnaround, sample_count=samples, seed=settings.seed)
    if option.rollout is not None:
        spare = samples - rank
        case = full_length_case(day, case, seed=settings.seed, above=spare) or case
    ready = option.ready_minute - turnaround.in_block_minute
    state_at = _states(day, case, turnaround, option, ready)
    first = None
    for minute in range(ready + 1, ready - LOOK - 1, -1):
        off_block = np.full(case.rows.count, float(minute))
        margins = departure_margins_k(
            network_of(case.aircraft.brake), case.rows, state_at(minute), off_block
        )
        holds = (margins >= 0).all(axis=1).reshape(case.shape)
        if int(holds.all(axis=1).sum()) < rank:
            break
        first = minute
    return None if first is None else turnaround.in_block_minute + first


def _states(
    day: Day, case: Case, turnaround: Turnaround, option: Option, ready: int
) -> Callable[[int], np.ndarray]:
    """Temperatures of all rows at a minute after in-block, integrated to it exactly."""
    minutes = np.arange(max(ready - LOOK, 0), ready + 2, dtype=np.float64)
    states_k = _curves_k(day, case, turnaround, option, minutes)
    if option.fan is not None:
        fan = day.fan(option.fan)
        reached = reached_brakes(day, turnaround, fan, option.units)[case.rows.brake]
        if not reached.all():
            still = Option(ready_minute=option.ready_minute, binding=None)
            alone_k = _curves_k(day, case, turnaround, still, minutes)
            states_k = np.where(reached[:, None, None], states_k, alone_k)
    return lambda minute: states_k[:, int(minute - minutes[0])]


def _curves_k(
    day: Day,
    case: Case,
    turnaround: Turnaround,
    option: Option,
    minutes: np.ndarray,
) -> np.ndarray:
    """Temperatures with every brake cooled as the option says, (row, minute, node)."""
    rows, network = case.rows, network_of(case.aircraft.brake)
    if option.fan is None:
        phases = (*arrival(rows), *parked(rows, 0.0, minutes[-1] * MINUTE_S))
        begin, at = -arrival_s(rows), minutes * MINUTE_S
        start = start_k(network, rows)
    else:
        job = [
            float(edge - turnaround.in_block_minute)
            for edge in (option.start_minute, option.end_minute)
        ]
        before = cool(
            network,
            rows.variation,
            (*arrival(rows), *parked(rows, 0.0, job[0] * MINUTE_S)),
            start_k(network, rows),
            np.array([job[0] * MINUTE_S]),
            start_s=-arrival_s(rows),
        )
        every = np.ones(rows.count)
        air = day.fan(option.fan).air_speed_m_per_s
        phases = fan_job(rows, job[0] * every, job[1] * every, air * every, 180.0)
        begin, at = (job[0] - job[1]) * MINUTE_S, (minutes - job[1]) * MINUTE_S
        start = before.end_k
    curve = cool(network, rows.variation, phases, start, at, start_s=begin)
    return curve.temperature_k


def counted(day: Day, settings: Settings) -> dict[str, int]:
    """Trajectories of the tables, counted in one process."""
    from scheduler import readiness

    counts = {"trajectories": 0, "steps": 0}
    names = ("scheduler.readiness.stand", "scheduler.readiness.fan_options")
    modules = [sys.modules[name] for name in (*names, "thermal.margins")]

    def counting(*given: Any, **named: Any) -> Any:
        curve = cool(*given, **named)
        counts["trajectories"] += given[1].batch
        counts["steps"] += int(curve.step_count.sum())
        return curve

    spread, readiness.SPREAD_FROM = readiness.SPREAD_FROM, 10**9
    for module in modules:
        module.cool = counting
    try:
        build_tables(day, settings)
    finally:
        readiness.SPREAD_FROM = spread
        for module in modules:
            module.cool = cool
    return counts


def measure(turnarounds: int, settings: Settings, *, compared: int) -> dict[str, Any]:
    """Time the tables, count their trajectories, compare some with brute force."""
    day = make_heat_day(turnarounds, settings.seed)
    begin = time.perf_counter()
    tables = [table for table, _ in build_tables(day, settings)]
    seconds = time.perf_counter() - begin
    candidates = comparable(day, tables)
    chosen = np.random.default_rng(settings.seed).permutation(len(candidates))
    deviations = []
    for place in chosen[:compared]:
        turnaround, option = candidates[place]
        exact = exact_minute(day, turnaround, option, settings)
        late = None if exact is None else option.ready_minute - exact
        deviations.append(
            {
                "turnaround": turnaround.id,
                "fan": option.fan,
                "binding": str(option.binding),
                "minutes_late": late,
            }
        )
    found = [row["minutes_late"] for row in deviations]
    brute = sum(
        settings.sample_count * len(day.tail_of(turnaround).positions) * len(t.options)
        for turnaround, t in zip(day.turnarounds, tables, strict=True)
    )
    return {
        "turnarounds": turnarounds,
        "seed": settings.seed,
        "samples": settings.sample_count,
        "seconds": seconds,
        "options": sum(len(table.options) for table in tables),
        "brute_force_trajectories": brute,
        **counted(day, settings),
        "compared": len(deviations),
        "early": sum(late is None or late < 0 for late in found),
        "worst_minutes_late": max(
            (late for late in found if late is not None), default=0
        ),
        "deviations": deviations,
    }


def main() -> int:
    """Measure and print, as text or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--turnarounds", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--samples", type=int, default=512)
    parser.add_argument("--compared", type=int, default=8)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    settings = Settings(seed=given.seed, sample_count=given.samples)
    found = measure(given.turnarounds, settings, compared=given.compared)
    if given.json:
        json.dump(found, sys.stdout, indent=2)
        sys.stdout.write("\n")
        return 0
    for key, value in found.items():
        if key != "deviations":
            sys.stdout.write(f"{key}: {value}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
