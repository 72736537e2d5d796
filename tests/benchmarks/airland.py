"""The runway rule against published optima: landings with separation of all pairs.

`python -m tests.benchmarks.airland FILE --runways N --seconds S` solves one file of the
OR-Library's aircraft landing problems (J. E. Beasley) with the runway rule and the
solver settings of the product. Each aircraft has a window, a target and a penalty per
minute before and after it; any two on one runway are the separation of their pair
apart.

- One literal per aircraft, minute and runway; aircraft with equal separations to all
  others are one class of the rule.
- A first plan comes from taking the cheapest free minute by target; for large files it
  is improved by solving stretches of aircraft with the rest as planned.
- A better plan costs no aircraft more than the whole first plan does. Minutes above
  that are left out, which keeps the proof.
"""

import argparse
import json
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter, process_time

from ortools.sat.python import cp_model

from scheduler.model import search
from scheduler.model.runway import add_separation
from tests.benchmarks.landings import (
    UNIT,
    Aircraft,
    Landing,
    Plan,
    classes_of,
    faults,
    first_plan,
    is_clear,
    load,
    plan_value,
    renumbered,
)

LARGE = 20_000
STRETCHES = (12, 20, 30)
STRETCH_EFFORT = 3.0
SHARE_OF_STRETCHES = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came out; ``plan`` is empty where none was found."""

    status: str
    value: int | None
    bound: int
    plan: Plan


def solve(fleet: Sequence[Aircraft], runways: int, seconds: float) -> Result:
    """Plan landings; ``OPTIMAL`` is a proof over all windows."""
    until = perf_counter() + seconds
    plan = first_plan(fleet, runways)
    if plan is not None and _literal_count(fleet, runways, plan) > LARGE:
        share = perf_counter() + SHARE_OF_STRETCHES * seconds
        plan = _stretch_by_stretch(fleet, runways, plan, share)
    problem = _Problem.of(fleet, runways, plan, range(len(fleet)))
    return problem.solve(until - perf_counter(), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Problem:
    """A model with some aircraft free and the others as planned."""

    fleet: Sequence[Aircraft]
    cp: cp_model.CpModel
    landings: dict[int, dict[Landing, cp_model.IntVar]]
    plan: Plan | None

    @classmethod
    def of(
        cls,
        fleet: Sequence[Aircraft],
        runways: int,
        plan: Plan | None,
        free: Sequence[int],
    ) -> "_Problem":
        cp = cp_model.CpModel()
        most = None
        if plan is not None:
            most = sum(fleet[index].cost(plan[index][0]) for index in free)
        landings = {
            index: {
                landing: cp.new_bool_var("")
                for landing in _landings(fleet, runways, plan, free, index, most)
            }
            for index in free
        }
        for own in landings.values():
            cp.add_exactly_one(own.values())
        _separate(cp, fleet, runways, landings)
        terms = [
            (literal, fleet[index].cost(minute))
            for index, own in landings.items()
            for (minute, _), literal in own.items()
        ]
        cp.minimize(
            cp_model.LinearExpr.weighted_sum(
                [literal for literal, _ in terms], [cost for _, cost in terms]
            )
        )
        return cls(fleet=fleet, cp=cp, landings=landings, plan=plan)

    def solve(self, seconds: float, effort: float | None) -> Result:
        """Minimise; aircraft that are not free stay."""
        if self.plan is not None:
            for index, own in self.landings.items():
                for landing, literal in own.items():
                    self.cp.add_hint(literal, landing == self.plan[index])
        solver = search._solver(
            search.Limits(seconds=seconds, effort=effort, seed=0, workers=1)
        )
        status = solver.solve(self.cp)
        bound = max(math.ceil(solver.best_objective_bound - 1e-6), 0)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return self._unsolved(solver.status_name(status), bound)
        decided = {
            index: next(at for at, x in own.items() if solver.boolean_value(x))
            for index, own in self.landings.items()
        }
        before = self.plan or (None,) * len(decided)
        plan = tuple(decided.get(index, at) for index, at in enumerate(before))
        value = round(solver.objective_value)
        name = solver.status_name(status)
        return Result(status=name, value=value, bound=bound, plan=renumbered(plan))

    def _unsolved(self, status: str, bound: int) -> Result:
        """Keep the plan that the solver was given, if there was one."""
        if self.plan is None:
            return Result(status=status, value=None, bound=bound, plan=())
        value = sum(
            self.fleet[index].cost(self.plan[index][0]) for index in self.landings
        )
        return Result(status="FEASIBLE", value=value, bound=bound, plan=self.plan)


def _literal_count(fleet: Sequence[Aircraft], runways: int, plan: Plan) -> int:
    most = plan_value(fleet, plan)
    return runways * sum(len(list(one.minutes(most))) for one in fleet)


def _stretch_by_stretch(
    fleet: Sequence[Aircraft], runways: int, plan: Plan, until: float
) -> Plan:
    """Solve stretches of aircraft, longer ones once short ones bring nothing."""
    best = plan
    for size in STRETCHES:
        before = None
        while before != plan_value(fleet, best):
            before = plan_value(fleet, best)
            for free in _stretches(best, size):
                if perf_counter() > until or plan_value(fleet, best) == 0:
                    return best
                if any(fleet[index].cost(best[index][0]) for index in free):
                    problem = _Problem.of(fleet, runways, best, free)
                    best = problem.solve(until - perf_counter(), STRETCH_EFFORT).plan
    return best


def _stretches(plan: Plan, size: int) -> Iterator[list[int]]:
    ordered = sorted(range(len(plan)), key=lambda index: plan[index])
    for first in range(0, max(len(plan) - size // 2, 1), size // 2):
        yield ordered[first : first + size]


def _landings(
    fleet: Sequence[Aircraft],
    runways: int,
    plan: Plan | None,
    free: Sequence[int],
    index: int,
    most: int | None,
) -> Iterator[Landing]:
    """Landings open to an aircraft; equal runways are numbered by first aircraft."""
    fixed = {} if plan is None else dict(enumerate(plan))
    for one in free:
        fixed.pop(one, None)
    for minute in fleet[index].minutes(most):
        for runway in range(min(runways, index + 1)):
            if is_clear(fleet, fixed, index, (minute, runway)):
                yield minute, runway


def _separate(
    cp: cp_model.CpModel,
    fleet: Sequence[Aircraft],
    runways: int,
    landings: dict[int, dict[Landing, cp_model.IntVar]],
) -> None:
    """Write the runway rule for each runway."""
    classes = classes_of(fleet)
    members = {
        name: [i for i, own in enumerate(classes) if own == name] for name in classes
    }
    widest = max(
        one.gaps[other]
        for index, one in enumerate(fleet)
        for other in range(len(fleet))
        if other != index
    )

    def gap(leader: str, follower: str) -> int:
        first, second = members[int(leader)], members[int(follower)]
        if len(first) == 1 and leader == follower:
            return widest
        return fleet[first[0]].gaps[second[-1]]

    for runway in range(runways):
        take_offs: dict[str, dict[int, list[cp_model.IntVar]]] = {}
        for index, own in landings.items():
            by_minute = take_offs.setdefault(str(classes[index]), {})
            for (minute, at), literal in own.items():
                if at == runway:
                    by_minute.setdefault(minute, []).append(literal)
        add_separation(cp, take_offs, gap)


def main() -> None:
    """Solve one file and print what came out."""
    parser = argparse.ArgumentParser(description="Solve one landing problem.")
    parser.add_argument("file", type=Path)
    parser.add_argument("--runways", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    fleet = load(given.file)
    start, used = perf_counter(), process_time()
    found = solve(fleet, given.runways, given.seconds)
    result = {
        "status": found.status,
        "value": None if found.value is None else found.value / UNIT,
        "bound": found.bound / UNIT,
        "seconds": round(perf_counter() - start, 2),
        "processor_seconds": round(process_time() - used, 2),
        "faults": [] if found.value is None else faults(fleet, found.plan, found.value),
    }
    if given.json:
        print(json.dumps(result))
    else:
        print("\n".join(f"{name}: {value}" for name, value in result.items()))


if __name__ == "__main__":
    main()
