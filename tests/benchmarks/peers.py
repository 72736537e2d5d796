"""A day solved in other ways: what the model's way is to be compared with.

`solve_with(name, day, tables, seconds)` minimises the delay cost of a day among the
plans that break the fewest rules, by one of

- ``intervals``: start, length and units of each fan job as variables tied by a table,
  optional intervals under a cumulative limit, take-offs that do not overlap;
- ``milp``: the time-indexed columns of the model in sparse rows for the HiGHS solver;
- ``first come``: the plan without a solver.

All get the same choices, without dominated options, and where they take one the same
first plan. They know the common rules of a day; others are refused.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from time import perf_counter, process_time

from scheduler.choices import Choices, Cooling, choices_of
from scheduler.choices.usable import cooling_of
from scheduler.day import Day
from scheduler.decisions import Decision, objective_of
from scheduler.greedy import first_come_of
from scheduler.model.reduce import at_least_weight, without_dominated
from scheduler.options import OptionTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One way to cool: its fan, if any, and the minutes it binds."""

    fan: str | None
    units: int
    busy_from: int
    busy_to: int
    release: int

    @property
    def minutes(self) -> int:
        """Minutes for which units are taken."""
        return self.busy_to - self.busy_from


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One turnaround: ways to cool, price of each off-block minute and of holding.

    ``start_minute`` and ``start_job`` are its off-block and way to cool in the first
    plan, or one that fits in its place; None where held.
    """

    choices: Choices
    jobs: tuple[Job, ...]
    prices: dict[int, int]
    held_price: int | None
    start_minute: int | None
    start_job: int | None

    @property
    def taxi(self) -> int:
        """Minutes from off-block to take-off."""
        return self.choices.taxi_out_minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A day as prices; one broken rule costs ``rule_price``, 0 where all are kept."""

    day: Day
    trips: tuple[Trip, ...]
    rule_price: int

    def gap(self, leader: Trip, follower: Trip) -> int:
        """Minutes from one take-off to the next."""
        return self.day.departure_gap(
            leader.choices.turnaround, follower.choices.turnaround
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """Status, value of the plan found, and what no plan is below."""

    status: str
    value: int | None
    bound: float


Solver = Callable[[Question, float], Reply]


def solve_with(
    name: str, day: Day, tables: Iterable[OptionTable], seconds: float
) -> dict[str, str | float | int | None]:
    """Solve a day by one of the other ways.

    Parameters
    ----------
    name : str
        ``intervals``, ``milp`` or ``first come``.
    day : Day
        The day.
    tables : iterable of OptionTable
        One per turnaround.
    seconds : float
        Limit of the solver.

    Returns
    -------
    result : dict
        ``status``, ``objective`` and ``bound`` of the delay cost, ``seconds`` and
        ``processor_seconds``. The bound is 0 while broken rules are not proved.
    """
    start, used = perf_counter(), process_time()
    question = question_of(day, tables)
    reply = solvers()[name](question, seconds)
    cost, bound = _delay_cost(reply, question.rule_price)
    return {
        "status": reply.status,
        "objective": cost,
        "bound": bound,
        "seconds": round(perf_counter() - start, 2),
        "processor_seconds": round(process_time() - used, 2),
    }


def solvers() -> dict[str, Solver]:
    """List the other ways by name."""
    from tests.benchmarks.peer_intervals import solve_intervals
    from tests.benchmarks.peer_milp import solve_milp

    return {
        "intervals": solve_intervals,
        "milp": solve_milp,
        "first come": _first_come,
    }


def question_of(day: Day, tables: Iterable[OptionTable]) -> Question:
    """Price a day's choices; where the first plan breaks the least, it stays so."""
    choices = choices_of(day, tables)
    _refuse_what_is_not_known(day, choices)
    decisions = first_come_of(day, choices)
    weight = objective_of(decisions, choices, day, {})[0]
    is_least = weight == sum(one.least_weight for one in choices)
    reach = sum(_cost(day, one, one.slots[-1]) for one in choices if one.slots)
    price = 0 if is_least else reach + 1
    trips = []
    for one, decision in zip(choices, decisions, strict=True):
        slim = without_dominated(at_least_weight(one) if is_least else one)
        if slim.slots:
            trips.append(_trip(day, slim, price, decision))
    return Question(day=day, trips=tuple(trips), rule_price=price)


def _trip(day: Day, one: Choices, price: int, decision: Decision) -> Trip:
    minute = decision.off_block_minute
    first = _job(cooling_of(day, decision.option))
    jobs = tuple(_job(way) for way in one.coolings)
    return Trip(
        choices=one,
        jobs=jobs,
        prices={
            slot: _cost(day, one, slot) + price * one.weight(slot) for slot in one.slots
        },
        held_price=price * one.weight(None) if price else None,
        start_minute=minute,
        start_job=None
        if minute is None
        else next(
            index for index, job in enumerate(jobs) if _serves(job, first, minute)
        ),
    )


def _job(way: Cooling) -> Job:
    return Job(
        fan=way.option.fan,
        units=way.option.units,
        busy_from=way.busy_from_minute,
        busy_to=way.busy_to_minute,
        release=way.release_minute,
    )


def _serves(job: Job, first: Job, minute: int) -> bool:
    """Whether a job fits where the first plan has one, and lets go in time."""
    fits = job.units <= first.units and job.fan == first.fan
    inside = first.busy_from <= job.busy_from and job.busy_to <= first.busy_to
    return job.release <= minute and (job.fan is None or (fits and inside))


def _cost(day: Day, one: Choices, minute: int) -> int:
    return day.station.delay_cost.of(minute - one.turnaround.target_off_block_minute)


def _first_come(question: Question, seconds: float) -> Reply:
    del seconds
    value = sum(
        (trip.held_price or 0)
        if trip.start_minute is None
        else trip.prices[trip.start_minute]
        for trip in question.trips
    )
    return Reply(status="FEASIBLE", value=value, bound=0.0)


def _delay_cost(reply: Reply, rule_price: int) -> tuple[int | None, int]:
    """Take the price of broken rules out of value and bound."""
    if reply.value is None:
        return None, 0
    bound = max(math.ceil(reply.bound - 1e-6), 0)
    broken = reply.value // rule_price if rule_price else 0
    return reply.value - broken * rule_price, max(bound - broken * rule_price, 0)


def _refuse_what_is_not_known(day: Day, choices: Iterable[Choices]) -> None:
    station = day.station
    if station.slots or station.exact_moves or day.pins or day.now_minute is not None:
        raise ValueError("the other ways know no slots, exact moves, pins or clock")
    if any(one.duties or one.tow_minute is not None for one in choices):
        raise ValueError("the other ways know no duties and no tows")
