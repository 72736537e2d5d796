"""Plans held against sampled days: limits broken, and how much earlier they held.

``python -m tests.benchmarks.simulation --scenario small-field --days 1000 --json``

Every aircraft of the plan is followed on so many days drawn plainly and with another
seed, all brakes, from touchdown to two hours after take-off, with its planned fan job.
Bars: the share of aircraft that break any limit on any brake at their planned off-block
has an exact lower 95 % bound of at most 1 - ``limit_confidence``, and brake-ready lies
at most 15 minutes, in the median, after the first minute from which all limits held.

Left out: what has gone, is cancelled or held. Where a table or a plug check sets
brake-ready no heat can be earlier or later: such aircraft count for the limits and not
for the minutes.
"""

import argparse
import json
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from scheduler.day import Day, Task, Turnaround
from scheduler.files import read_scenario
from scheduler.options import Limit
from scheduler.plan import Plan, PlannedTurnaround
from scheduler.solve import SolveConfig, plan_day
from tests.benchmarks.simulated_cases import (
    LOOKED_AT,
    Truths,
    air_of,
    leaving,
    lower_bound,
    true_case,
)
from tests.benchmarks.simulated_days import (
    AFTER_FAN_MINUTES,
    LIMITS,
    Aircraft,
    true_minutes,
)
from tests.benchmarks.simulated_delays import disturbed

SCENARIOS = Path(__file__).parents[2] / "scenarios"
EXCESS_MINUTES = 15.0
NOT_OF_HEAT = (Limit.TABLE, Limit.PLUG_CHECK)


def on_all_days(
    day: Day, plan: Plan, one: Turnaround, row: PlannedTurnaround, truths: Truths
) -> dict[str, Any]:
    """One aircraft: limits broken at off-block and at brake-ready, excess minutes.

    A plug that came within its margin of release at the stand counts as broken too,
    where no check of the plugs is planned or logged.
    """
    case = true_case(day, plan, one, row.rollout, truths)
    air = None
    if row.fan_jobs:
        start = float(row.fan_jobs[0].start_minute - one.in_block_minute)
        air = air_of(day, one, row.fan_jobs[0], np.full(truths.days, start))
    aircraft = Aircraft.of(case, day.station.hold_minutes, air)
    every = np.arange(truths.days)
    ready = float(row.brake_ready_minute - one.in_block_minute)
    leaves = np.full(truths.days, float(row.off_block_minute - one.in_block_minute))
    at_leaving = aircraft.margins_k(every, leaves) < 0
    at_ready = aircraft.margins_k(every, np.full(truths.days, ready)) < 0
    near = aircraft.is_near_release(leaves)
    checked = is_checked(day, row)
    with_stand = at_leaving.any(axis=1) | (near & (not checked))
    return {
        "id": one.id,
        "fan": bool(row.fan_jobs),
        "rollout": row.rollout,
        "limit": str(row.binding_limit.value),
        "delay_minutes": row.delay_minutes,
        "ready_minutes": ready,
        "broken": int(at_leaving.any(axis=1).sum()),
        "broken_by": dict(zip(LIMITS, at_leaving.sum(axis=0).tolist(), strict=True)),
        "broken_at_ready": int(at_ready.any(axis=1).sum()),
        "near_release": int(near.sum()),
        "is_checked": checked,
        "broken_with_stand": int(with_stand.sum()),
        **excess_of(day, aircraft, every[: truths.looked_at], ready),
        "of_heat": row.binding_limit not in NOT_OF_HEAT,
    }


def is_checked(day: Day, row: PlannedTurnaround) -> bool:
    """Whether the plugs are looked at before it goes."""
    planned = any(duty.task is Task.PLUG_CHECK for duty in row.duties)
    return planned or any(check.turnaround_id == row.id for check in day.checks)


def excess_of(
    day: Day, aircraft: Aircraft, samples: np.ndarray, ready: float
) -> dict[str, list[float]]:
    """Minutes of brake-ready over the truth, and over what heat alone asks for.

    The truth waits for an indication that can be trusted, as any day does.
    """
    last = float(day.station.hold_minutes)
    if aircraft.air is not None:
        last = min(last, float(aircraft.air.end.max()) + AFTER_FAN_MINUTES)
    held = np.minimum(true_minutes(aircraft, samples, ready, last), last)
    may_go = np.maximum(held, aircraft.shown_minute[samples])
    return {
        "excess_minutes": (ready - may_go).tolist(),
        "excess_of_heat_minutes": (ready - held).tolist(),
    }


def judged(rows: list[dict[str, Any]], days: int, confidence: float) -> dict[str, Any]:
    """Figures of all aircraft together against the bars."""
    count, spare = days * len(rows), 1.0 - confidence
    broken = sum(row["broken"] for row in rows)
    ready = sum(row["broken_at_ready"] for row in rows)
    stand = sum(row["broken_with_stand"] for row in rows)
    excess = np.concatenate([row["excess_minutes"] for row in rows if row["of_heat"]])
    heat = np.concatenate(
        [row["excess_of_heat_minutes"] for row in rows if row["of_heat"]]
    )
    middles = {row["id"]: float(np.median(row["excess_minutes"])) for row in rows}
    lows = {row["id"]: lower_bound(row["broken_with_stand"], days) for row in rows}
    worst = max(lows, key=lambda name: lows[name])
    return {
        "aircraft": len(rows),
        "aircraft_days": count,
        "broken": broken,
        "broken_share": broken / count,
        "broken_lower_95": lower_bound(broken, count),
        "broken_with_stand": stand,
        "broken_with_stand_share": stand / count,
        "broken_with_stand_lower_95": lower_bound(stand, count),
        "broken_at_ready": ready,
        "broken_at_ready_share": ready / count,
        "broken_at_ready_lower_95": lower_bound(ready, count),
        "worst_aircraft": worst,
        "worst_aircraft_lower_95": lows[worst],
        "bar_share": spare,
        "is_safe": lower_bound(stand, count) <= spare,
        "excess_of": sum(row["of_heat"] for row in rows),
        "not_of_heat": [row["id"] for row in rows if not row["of_heat"]],
        "excess_median_minutes": float(np.median(excess)),
        "excess_quartiles_minutes": np.quantile(excess, [0.25, 0.75]).tolist(),
        "excess_of_heat_median_minutes": float(np.median(heat)),
        "excess_medians": middles,
        "bar_excess_minutes": EXCESS_MINUTES,
        "is_not_timid": float(np.median(excess)) <= EXCESS_MINUTES,
    }


def simulate(day: Day, plan: Plan, truths: Truths) -> dict[str, Any]:
    """All aircraft of a plan on all sampled days."""
    rows = []
    for one, row in leaving(day, plan):
        rows.append(on_all_days(day, plan, one, row, truths))
        sys.stderr.write(f"{one.id} {rows[-1]['broken']}\n")
    return {
        "scenario": day.name,
        "days": truths.days,
        "seed": truths.seed,
        "plan_seed": plan.seed,
        "plan_samples": plan.sample_count,
        **judged(rows, truths.days, plan.limit_confidence),
        "rows": rows,
    }


def main() -> int:
    """Simulate and print, as text or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--scenario", default="small-field")
    parser.add_argument("--days", type=int, default=1000)
    parser.add_argument("--looked-at", type=int, default=LOOKED_AT)
    parser.add_argument("--seed", type=int, default=9)
    parser.add_argument("--part", choices=("all", "limits", "delays"), default="all")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    day = read_scenario(SCENARIOS / given.scenario)
    result = plan_day(day, SolveConfig())
    truths = Truths(seed=given.seed, days=given.days, looked_at=given.looked_at)
    begin, found = time.process_time(), {}
    if given.part != "delays":
        found = without_lists(simulate(day, result.plan, truths))
    if given.part != "limits":
        found["disturbed"] = disturbed(day, result, truths)
    found["processor_seconds"] = time.process_time() - begin
    if given.json:
        json.dump(found, sys.stdout, indent=1)
        sys.stdout.write("\n")
        return 0
    for key, value in found.items():
        if key != "rows":
            sys.stdout.write(f"{key}: {value}\n")
    return 0


def without_lists(found: dict[str, Any]) -> dict[str, Any]:
    """Leave the minutes of every day out."""
    for row in found["rows"]:
        del row["excess_minutes"], row["excess_of_heat_minutes"]
    return found


if __name__ == "__main__":
    raise SystemExit(main())
