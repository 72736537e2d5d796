"""A day in the columns of the model and sparse rows, for the HiGHS solver.

What is in use, and what is ready but not gone, are running totals: each minute's total
is the last one's with what starts and ends in between, so that a column is in a few
rows only. Runway rows are those of the model.
"""

from collections import defaultdict
from collections.abc import Iterable

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix

from scheduler.model.runway import separation_rows
from tests.benchmarks.peers import Question, Reply, Trip


class _Program:
    """Columns and rows as they come."""

    def __init__(self) -> None:
        self.prices: list[float] = []
        self.most: list[float] = []
        self.is_whole: list[bool] = []
        self.entries: list[tuple[int, int, float]] = []
        self.rows: list[tuple[float, float]] = []

    def column(self, price: float = 0.0, most: float = 1.0, whole: bool = True) -> int:
        """Add a variable from 0 on."""
        self.prices.append(price)
        self.most.append(most)
        self.is_whole.append(whole)
        return len(self.prices) - 1

    def row(
        self, entries: Iterable[tuple[int, float]], least: float, most: float
    ) -> None:
        """Add a sum within limits."""
        index = len(self.rows)
        self.entries += [(index, column, factor) for column, factor in entries]
        self.rows.append((least, most))

    def total(self, changes: dict[int, list[tuple[int, float]]], most: float) -> None:
        """Keep the running total of changes by minute between 0 and ``most``."""
        before: list[tuple[int, float]] = []
        for minute in sorted(changes):
            now = self.column(most=most, whole=False)
            self.row([(now, -1.0), *before, *changes[minute]], 0.0, 0.0)
            before = [(now, 1.0)]


def solve_milp(question: Question, seconds: float) -> Reply:
    """Minimise the price of a day."""
    program = _Program()
    take_offs: dict[str, dict[str, dict[int, list[int]]]] = {}
    busy: dict[str, dict[int, list[tuple[int, float]]]] = {}
    examples: dict[str, Trip] = {}
    for trip in question.trips:
        slots = _add_trip(program, trip, busy)
        name = str(trip.choices.wake)
        examples[trip.choices.runway + name] = trip
        runway = take_offs.setdefault(trip.choices.runway, {})
        by_minute = runway.setdefault(name, defaultdict(list))
        for slot, column in slots.items():
            by_minute[slot + trip.taxi].append(column)
    for fan in question.day.station.fans:
        program.total(busy.get(fan.name, {}), fan.units)
    for runway_name, by_class in take_offs.items():
        rows = separation_rows(
            by_class,
            lambda one, two, at=runway_name: question.gap(  # type: ignore[misc]
                examples[at + one], examples[at + two]
            ),
        )
        for row in rows:
            columns = [x for name, minute in row for x in by_class[name][minute]]
            program.row([(column, 1.0) for column in columns], 0.0, 1.0)
    return _run(program, seconds)


def _add_trip(
    program: _Program, trip: Trip, busy: dict[str, dict[int, list[tuple[int, float]]]]
) -> dict[int, int]:
    """Add one turnaround; give its columns by off-block minute."""
    slots = {slot: program.column(price) for slot, price in trip.prices.items()}
    jobs = [program.column() for _ in trip.jobs]
    held = [] if trip.held_price is None else [program.column(trip.held_price)]
    program.row([(column, 1.0) for column in (*slots.values(), *held)], 1.0, 1.0)
    program.row([(column, 1.0) for column in (*jobs, *held)], 1.0, 1.0)
    waiting: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for job, column in zip(trip.jobs, jobs, strict=True):
        waiting[job.release].append((column, 1.0))
        if job.fan is not None:
            changes = busy.setdefault(job.fan, defaultdict(list))
            changes[job.busy_from].append((column, float(job.units)))
            changes[job.busy_to].append((column, -float(job.units)))
    for slot, column in slots.items():
        waiting[slot].append((column, -1.0))
    program.total(waiting, 1.0)
    return slots


def _run(program: _Program, seconds: float) -> Reply:
    if not program.rows:
        return Reply(status="OPTIMAL", value=0, bound=0.0)
    row, column, factor = zip(*program.entries, strict=True)
    shape = len(program.rows), len(program.prices)
    least, most = np.array(program.rows).T
    found = milp(
        np.array(program.prices),
        integrality=np.array(program.is_whole, dtype=int),
        bounds=Bounds(0.0, np.array(program.most)),
        constraints=LinearConstraint(
            csr_matrix((factor, (row, column)), shape=shape), least, most
        ),
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    status = {0: "OPTIMAL", 2: "INFEASIBLE"}.get(
        found.status, "UNKNOWN" if found.x is None else "FEASIBLE"
    )
    return Reply(
        status=status,
        value=None if found.x is None else round(found.fun),
        bound=found.mip_dual_bound or 0.0,
    )
