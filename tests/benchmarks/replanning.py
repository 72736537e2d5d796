"""Plan a day again after one event, many times: how soon, and how little moves.

`python -m tests.benchmarks.replanning --turnarounds 120 --events 50 --seed 1 --json`.
The day has real heat; all data is invented. Each event hits one day that begins at a
minute of its own: an in-block or a target that moves, a fan unit out of service.
"""

import argparse
import json
from collections.abc import Iterator
from dataclasses import replace
from statistics import quantiles
from time import perf_counter

import numpy as np

from scheduler.day import Basis, Day, Outage, Turnaround
from scheduler.plan import Plan
from scheduler.readiness import build_tables
from scheduler.replan import replan_day
from scheduler.solve import SolveConfig, plan_day
from tests.benchmarks.heat_days import make_heat_day


def main() -> None:
    """Run all events and print what came out."""
    parser = argparse.ArgumentParser(description="Plan again after one event.")
    parser.add_argument("--turnarounds", type=int, default=120)
    parser.add_argument("--events", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=12.0)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    day = make_heat_day(given.turnarounds, given.seed)
    config = SolveConfig(seconds=60.0)
    started = perf_counter()
    tables = build_tables(day, config)
    plan = plan_day(day, config, tables=tables).plan
    rows = list(_runs(day, plan, tables, given))
    first = [row["first_seconds"] for row in rows]
    result = {
        "plan_status": str(plan.status),
        "plan_seconds": round(perf_counter() - started, 1),
        "events": len(rows),
        "first_seconds_median": round(float(np.median(first)), 3),
        "first_seconds_95": round(quantiles(first, n=20)[-1], 3),
        "first_seconds_worst": round(max(first), 3),
        "proved": sum(row["proved"] for row in rows) / len(rows),
        "seconds_95": round(quantiles([row["seconds"] for row in rows], n=20)[-1], 3),
        "untouched_unchanged": min(row["unchanged"] for row in rows),
        "untouched_unchanged_mean": round(
            float(np.mean([row["unchanged"] for row in rows])), 4
        ),
    }
    print(json.dumps(result) if given.json else _lines(result))


def _lines(result: dict[str, object]) -> str:
    return "\n".join(f"{name}: {value}" for name, value in result.items())


def _runs(
    day: Day, plan: Plan, tables: list, given: argparse.Namespace
) -> Iterator[dict[str, float]]:
    rng = np.random.default_rng(given.seed)
    config = SolveConfig(seconds=given.seconds)
    for _ in range(given.events):
        touched, changed = _event(rng, day, plan)
        known = {
            one.turnaround_id: (one, heat)
            for one, heat in tables
            if one.turnaround_id not in touched
        }
        found = replan_day(changed, plan, config, known=known)
        moved = {change.turnaround_id for change in found.changes} - touched
        others = len(day.turnarounds) - len(touched)
        proof = found.plan.proof
        yield {
            "first_seconds": found.first_seconds,
            "seconds": found.seconds,
            "proved": proof.objective == proof.bound,
            "unchanged": 1.0 - len(moved) / others,
        }


def _event(rng: np.random.Generator, day: Day, plan: Plan) -> tuple[set[str], Day]:
    """Turnarounds whose heat changes, and the day with one thing changed."""
    kind = rng.choice(["in-block", "target", "fan"], p=[0.5, 0.3, 0.2])
    number = int(rng.integers(len(day.turnarounds)))
    one = day.turnarounds[number]
    later = int(rng.integers(3, 16))
    now = one.in_block_minute if kind == "in-block" else one.in_block_minute + 5
    begun = _begun(day, plan, now)
    if kind == "fan":
        fan = day.station.fans[0]
        out = Outage(units=1, from_minute=now, to_minute=now + 60)
        fans = (replace(fan, outages=(out,)), *day.station.fans[1:])
        return set(), replace(begun, station=replace(day.station, fans=fans))
    if kind == "in-block":
        changed = replace(
            one,
            in_block_minute=one.in_block_minute + later,
            in_block_basis=Basis.ACTUAL,
        )
        if changed.target_off_block_minute <= changed.in_block_minute:
            changed = replace(
                changed, target_off_block_minute=changed.in_block_minute + 20
            )
    else:
        changed = replace(
            one, target_off_block_minute=one.target_off_block_minute + later
        )
    rows = list(begun.turnarounds)
    rows[number] = changed
    return {one.id}, replace(begun, turnarounds=tuple(rows))


def _begun(day: Day, plan: Plan, now: int) -> Day:
    """Day at a minute: what the plan had done until then has happened."""
    return replace(
        day,
        now_minute=now,
        turnarounds=tuple(_happened(one, plan, now) for one in day.turnarounds),
    )


def _happened(one: Turnaround, plan: Plan, now: int) -> Turnaround:
    leaves = plan.of(one.id).off_block_minute
    if one.in_block_minute < now:
        one = replace(one, in_block_basis=Basis.ACTUAL)
    if leaves is not None and leaves < now:
        return replace(
            one, off_block_basis=Basis.ACTUAL, target_off_block_minute=leaves
        )
    return one


if __name__ == "__main__":
    main()
