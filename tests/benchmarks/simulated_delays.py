"""Delay of a plan and of first come, first served, on the same disturbed days."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from scheduler.day import Day
from scheduler.decisions import Decision, fan_jobs
from scheduler.greedy import first_come
from scheduler.options import OptionTable
from scheduler.plan import Plan
from scheduler.solve import SolveResult
from tests.benchmarks.simulated_cases import Truths, air_of, lower_bound, true_case
from tests.benchmarks.simulated_days import Aircraft
from tests.benchmarks.simulated_shifts import (
    Executed,
    Flight,
    Mishap,
    carried_out,
    flights_of,
    mishaps,
)

# What goes otherwise: a fan comes late, a fan unit fails; aircraft always do.
CAUSES = {
    "in_block": (False, False),
    "fan_late": (True, False),
    "fan_failed": (False, True),
}


def decided(day: Day, plan: Plan, tables: Sequence[OptionTable]) -> list[Decision]:
    """What the plan decided, with the options behind it."""
    options = {table.turnaround_id: table.options for table in tables}
    found = []
    for row in plan.turnarounds:
        option = next(
            one
            for one in options[row.id]
            if fan_jobs(one) == row.fan_jobs and one.rollout == row.rollout
        )
        found.append(
            Decision(
                turnaround_id=row.id,
                option=replace(option, ready_minute=row.brake_ready_minute),
                off_block_minute=row.off_block_minute,
            )
        )
    return found


def disturbed(day: Day, result: SolveResult, truths: Truths) -> dict[str, Any]:
    """Carry both out on the same days; limits on the first of them, looked at."""
    tables = [table for table, _ in result.tables]
    plan = result.plan
    ways = {
        "plan": decided(day, plan, tables),
        "first_come": list(first_come(day, tables)),
    }
    flights = {
        name: flights_of(day, tables, made, plan.seed, plan.sample_count)
        for name, made in ways.items()
    }
    both = {one.id for one in flights["plan"]} & {
        one.id for one in flights["first_come"]
    }
    found: dict[str, Any] = {
        "as_planned": {
            name: sum(
                it.decision.off_block_minute
                - it.choices.turnaround.target_off_block_minute
                for it in flown
                if it.id in both
            )
            for name, flown in flights.items()
        },
        "held": {
            name: sum(one.off_block_minute is None for one in made)
            for name, made in ways.items()
        },
    }
    for name, (late, failed) in CAUSES.items():
        days = mishaps(day, truths.days, truths.seed, late=late, failed=failed)
        outcomes = {
            way: [carried_out(day, flown, one) for one in days]
            for way, flown in flights.items()
        }
        found[name] = compared(day, outcomes, both)
        some = Truths(seed=truths.seed, days=min(truths.days, truths.looked_at))
        found[name]["broken"] = broken_when_disturbed(
            day,
            plan,
            flights["plan"],
            (days[: some.days], outcomes["plan"][: some.days]),
            some,
        )
    return found


def compared(
    day: Day, outcomes: dict[str, list[dict[str, Executed]]], both: set[str]
) -> dict[str, Any]:
    """Delay minutes and cost a day of both; what is saved, with its 95 % interval."""
    price = day.station.delay_cost.of
    costs = {
        way: np.array([sum(price(one[name].delay) for name in both) for one in days])
        for way, days in outcomes.items()
    }
    saved_cost = costs["first_come"] - costs["plan"]
    half_cost = 1.96 * float(saved_cost.std(ddof=1)) / np.sqrt(saved_cost.size)
    sums = {
        way: np.array([sum(one[name].delay for name in both) for one in days])
        for way, days in outcomes.items()
    }
    saved = sums["first_come"] - sums["plan"]
    half = 1.96 * float(saved.std(ddof=1)) / np.sqrt(saved.size)
    return {
        **{f"{way}_delay_minutes": float(it.mean()) for way, it in sums.items()},
        **{f"{way}_delay_cost": float(it.mean()) for way, it in costs.items()},
        "saved_cost": float(saved_cost.mean()),
        "saved_cost_half_width_95": half_cost,
        "saved_minutes": float(saved.mean()),
        "saved_half_width_95": half,
        "days_better": float((saved > 0).mean()),
        "days_worse": float((saved < 0).mean()),
        "never_left": {
            way: sum(one[name].off_block is None for one in days for name in both)
            for way, days in outcomes.items()
        },
    }


def broken_when_disturbed(
    day: Day,
    plan: Plan,
    flights: Sequence[Flight],
    happened: tuple[list[Mishap], list[dict[str, Executed]]],
    truths: Truths,
) -> dict[str, Any]:
    """Limits that truly break when the bound behind the real fan lets aircraft go."""
    broken = count = 0
    for flight in flights:
        one, job = flight.choices.turnaround, flight.job
        came = np.array(
            [one.in_block_minute + it.shifts.get(one.id, 0) for it in happened[0]]
        )
        runs = [it[flight.id] for it in happened[1]]
        gone = np.array([it.off_block is not None for it in runs])
        leaves = np.array([float(it.off_block or 0) for it in runs]) - came
        air = None
        if job is not None:
            never = day.station.hold_minutes - (job.end_minute - job.start_minute)
            begins = [
                float(never) if it.air_from is None else it.air_from - at
                for it, at in zip(runs, came.tolist(), strict=True)
            ]
            air = air_of(day, one, job, np.array(begins))
        case = true_case(day, plan, one, flight.decision.option.rollout, truths)
        aircraft = Aircraft.of(case, day.station.hold_minutes, air)
        every = np.flatnonzero(gone)
        fails = aircraft.margins_k(every, leaves[every]) < 0
        broken += int(fails.any(axis=1).sum())
        count += every.size
    return {
        "aircraft_days": count,
        "broken": broken,
        "share": broken / count,
        "lower_95": lower_bound(broken, count),
    }
