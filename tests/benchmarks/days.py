"""Solve one hard day and say how hard it was, and what others make of it.

`python -m tests.benchmarks.days --turnarounds 120 --fans 5 --seed 7 --seconds 60
--peers none --json`. The day is invented, see `hard_days`.
"""

import argparse
import json
from dataclasses import replace
from time import perf_counter, process_time

from scheduler.choices import choices_of
from scheduler.day import Day
from scheduler.model.stages import Search
from scheduler.options import OptionTable
from scheduler.solve import SolveConfig, assemble, first_come, improve
from scheduler.verify import check_decisions
from tests.benchmarks.hard_days import Shape, hardness, make_hard_day
from tests.benchmarks.peers import solve_with

PEERS = ("first come", "intervals", "milp")


def main() -> None:
    """Solve one day and print what came out."""
    given = _arguments()
    shape = Shape(
        turnarounds=given.turnarounds,
        fans=given.fans,
        seed=given.seed,
        exact_moves=given.exact,
        fan_grid=given.fan_grid,
    )
    day, tables = make_hard_day(shape)
    result = _solve(day, tables, given.seconds, given.workers)
    if given.peers != "none":
        result["peers"] = _peers(day, tables, given)
    if given.json:
        print(json.dumps(result))
    else:
        print("\n".join(f"{name}: {value}" for name, value in result.items()))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Solve one hard day.")
    parser.add_argument("--turnarounds", type=int, default=120)
    parser.add_argument("--fans", type=int, default=5)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--exact", action="store_true", help="moves between zones")
    parser.add_argument("--fan-grid", type=int, default=5, help="minutes")
    parser.add_argument("--peers", default="none", help="none, all or names")
    parser.add_argument("--json", action="store_true")
    return parser.parse_args()


def _solve(
    day: Day, tables: list[OptionTable], seconds: float, workers: int
) -> dict[str, object]:
    started = perf_counter()
    greedy = first_come(day, tables)
    first = assemble(
        day, tables, {}, greedy.decisions, greedy.proof, seed=1, sample_count=1
    )
    is_good = not check_decisions(day, first, with_heat=False)
    first_seconds = perf_counter() - started
    seen: list[float] = []
    used = process_time()
    found = improve(
        day,
        tables,
        SolveConfig(seconds=seconds, workers=workers),
        better=lambda *_: seen.append(perf_counter() - started),
    )
    proof = found.proof
    plan = assemble(day, tables, {}, found.decisions, proof, seed=1, sample_count=1)
    faults = check_decisions(day, plan, with_heat=False)
    return {
        "status": str(plan.status),
        "objective": proof.objective,
        "bound": proof.bound,
        "gap": proof.gap,
        "seconds": round(proof.seconds, 2),
        "processor_seconds": round(process_time() - used, 2),
        "delay_stage_seconds": round(proof.seconds, 2)
        if proof.objective[:2] == proof.bound[:2]
        else None,
        "command_seconds": round(perf_counter() - started, 2),
        "first_verified_seconds": round(first_seconds, 2) if is_good else None,
        "greedy_objective": greedy.proof.objective,
        "faults": [str(fault) for fault in faults],
        "root_bound": _root_bound(day, tables, plan.proof.objective[0]),
        **hardness(day, tables, plan, greedy.proof.objective[1]),
    }


def _root_bound(day: Day, tables: list[OptionTable], weight: int) -> float | None:
    """Bound of the linear relaxation of the delay stage."""
    from scheduler.model.relax import relax

    choices = choices_of(day, tables)
    search = Search(
        day=day,
        choices=choices,
        published={},
        until=perf_counter() + 60,
        seed=1,
        workers=1,
    )
    least = sum(one.least_weight for one in choices)
    model = search._model(is_least=weight == least, most_weight=weight)
    found = relax(model, model.stages[1], seconds=60)
    return None if found is None else round(found.exact_bound, 2)


def _peers(
    day: Day, tables: list[OptionTable], given: argparse.Namespace
) -> dict[str, object]:
    """Rows of other ways to solve the part of the day that all of them know.

    The part leaves out work, tows and later arrivals; ours is solved on it too.
    """
    plain = plain_part(day)
    names = PEERS if given.peers == "all" else given.peers.split(",")
    rows: dict[str, object] = {
        name: solve_with(name, plain, tables, given.seconds) for name in names
    }
    ours = _solve(plain, tables, given.seconds, given.workers)
    kept = ("status", "objective", "bound", "seconds", "processor_seconds")
    rows["ours"] = {name: ours[name] for name in kept}
    return rows


def plain_part(day: Day) -> Day:
    """Day without work, tows and later arrivals on the same stand."""
    stands = tuple(
        replace(day.stand_of(one), name=one.id, tow_off_minutes=None)
        for one in day.turnarounds
    )
    return replace(
        day,
        station=replace(day.station, stands=stands, crews=()),
        turnarounds=tuple(
            replace(one, stand=one.id, duties=()) for one in day.turnarounds
        ),
    )


if __name__ == "__main__":
    main()
