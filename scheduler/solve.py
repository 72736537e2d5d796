"""The day's best plan, proved as far as time allows and checked before it leaves.

Enters: a day and how to solve it. Leaves: a verified plan. First come, first served
gives the start and the fallback; the model then improves, in this order, the weight
of broken rules, the delay cost, the changes and the fan effort.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from time import perf_counter
from typing import TYPE_CHECKING, TypeAlias

from scheduler.assemble import assemble
from scheduler.choices import Choices, choices_of
from scheduler.day import Day
from scheduler.decisions import (
    Decisions,
    Objective,
    Published,
    objective_of,
    published_rows,
)
from scheduler.errors import DayError, UnverifiedPlanError
from scheduler.greedy import first_come_of, urgent_first_of
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan, Proof

if TYPE_CHECKING:
    from scheduler.verify import Violation

__all__ = ["SolveConfig", "SolveResult", "assemble", "decide", "plan_day"]

Tables: TypeAlias = Sequence[tuple[OptionTable, HeatSummary | None]]
Finish: TypeAlias = Callable[[Plan], Plan]
Tell: TypeAlias = Callable[[str], object]

HEAT_ROUNDS = 4
LATER_MINUTES = 3

_LATER = "Brake-ready of {} is {} min later: the second integration asked for it."
_FAILED = "The solver gave no answer: this is the first-come plan."
_REJECTED = "The solver's plan was rejected by the check: this is the first-come plan."


@dataclass(frozen=True, slots=True, kw_only=True)
class SolveConfig:
    """How to solve. One worker and a proof give the same plan again."""

    seconds: float = 20.0
    seed: int = 1
    workers: int = 1
    sample_count: int = 512

    def __post_init__(self) -> None:
        """Refuse times and counts that cannot be."""
        if not (self.seconds >= 0 and math.isfinite(self.seconds)):
            raise DayError.of("seconds", "0 or more", self.seconds)
        if not self.workers > 0:
            raise DayError.of("workers", "1 or more", self.workers)
        if not self.sample_count > 0:
            raise DayError.of("sample count", "1 or more", self.sample_count)


@dataclass(frozen=True, slots=True, kw_only=True)
class SolveResult:
    """A verified plan; ``rejected`` tells what was wrong with the solver's own."""

    plan: Plan
    rejected: tuple["Violation", ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Decisions with a bound per stage; ``is_fallback`` if the solver gave none."""

    decisions: Decisions
    proof: Proof
    is_fallback: bool


def plan_day(
    day: Day,
    config: SolveConfig,
    published: Plan | None = None,
    *,
    tables: Tables | None = None,
    finish: Finish | None = None,
    tell: Tell | None = None,
) -> SolveResult:
    """Plan a day: heat, decisions, plan, check.

    Parameters
    ----------
    day : Day
        The day.
    config : SolveConfig
        Time, seed, workers, samples.
    published : Plan, optional
        The plan whose rows are kept where that costs nothing.
    tables : sequence of (OptionTable, HeatSummary), optional
        What the heat allows; computed from the day if not given. Where no summary
        comes with them there is no heat to integrate again in the check.
    finish : callable, optional
        Adds actions and cautions; the finished plan is then checked with them.
    tell : callable, optional
        Is told in words what is being computed, for whoever waits.

    Returns
    -------
    result : SolveResult
        The solver's plan, or the first-come plan where that failed the check.

    Raises
    ------
    UnverifiedPlanError
        If the first-come plan fails the check too: the day and its tables contradict
        each other, or there is a fault in this program.
    """
    say = tell or str
    if tables is None:
        say(_heat_text(day))
    heat = _tables_of(day, config) if tables is None else tables
    option_tables = [table for table, _ in heat]
    summaries = {table.turnaround_id: one for table, one in heat if one is not None}

    def told(outcome: Outcome, notes: tuple[str, ...] = ()) -> Plan:
        plan = assemble(
            day,
            option_tables,
            summaries,
            outcome.decisions,
            outcome.proof,
            seed=config.seed,
            sample_count=config.sample_count,
            fallback=outcome.is_fallback,
        )
        plan = replace(plan, notes=(*plan.notes, *notes))
        return plan if finish is None else finish(plan)

    def checked(plan: Plan) -> tuple["Violation", ...]:
        from scheduler.verify import check, check_decisions

        rules = check_decisions if finish is None else check
        with_heat = tables is None or bool(summaries)
        return rules(day, plan, published, with_heat=with_heat)

    moved: tuple[str, ...] = ()
    rejected: tuple[Violation, ...] = ()
    for _ in range(HEAT_ROUNDS):
        say("Looking for the plan that loses least")
        best = improve(day, option_tables, config, published)
        plan = told(best, (*moved, *((_FAILED,) if best.is_fallback else ())))
        say("Checking the plan with a second integration")
        rejected = checked(plan)
        if not rejected:
            return SolveResult(plan=plan)
        hot = _too_hot(rejected)
        if not hot:
            break
        option_tables = [
            later(table, LATER_MINUTES) if table.turnaround_id in hot else table
            for table in option_tables
        ]
        moved = (*moved, _LATER.format(", ".join(sorted(hot)), LATER_MINUTES))
    first = first_come(day, option_tables, published)
    plan = told(first, (*moved, _REJECTED))
    left = checked(plan)
    if left:
        raise UnverifiedPlanError("\n".join(str(one) for one in left))
    return SolveResult(plan=plan, rejected=rejected)


def _heat_text(day: Day) -> str:
    brakes = {day.aircraft_of(one).brake for one in day.turnarounds}
    return f"Heat of {len(day.turnarounds)} landings, {len(brakes)} brake types"


def _too_hot(rejected: Sequence["Violation"]) -> set[str]:
    """Turnarounds that fail the second integration, if nothing else is wrong."""
    from scheduler.verify import Code

    if any(one.code is not Code.HEAT for one in rejected):
        return set()
    return {one.turnaround_id for one in rejected if one.turnaround_id is not None}


def later(table: OptionTable, minutes: int) -> OptionTable:
    """Return the same options, each with brake-ready so many minutes later."""
    return replace(
        table,
        options=tuple(
            one
            if one.ready_minute is None
            else replace(one, ready_minute=one.ready_minute + minutes)
            for one in table.options
        ),
    )


def decide(
    day: Day,
    tables: Iterable[OptionTable],
    config: SolveConfig,
    published: Plan | None = None,
) -> tuple[Decisions, Proof]:
    """Find the best decisions in the time given, with what is proved of them."""
    outcome = improve(day, tables, config, published)
    return outcome.decisions, outcome.proof


def first_come(
    day: Day, tables: Iterable[OptionTable], published: Plan | None = None
) -> Outcome:
    """Decide first come, first served, with the bounds known without a solver."""
    started = perf_counter()
    choices = choices_of(day, tables)
    rows = published_rows(published)
    decisions = first_come_of(day, choices)
    return _outcome(day, choices, rows, decisions, None, started)


def improve(
    day: Day,
    tables: Iterable[OptionTable],
    config: SolveConfig,
    published: Plan | None = None,
) -> Outcome:
    """Improve the first-come decisions stage by stage."""
    from scheduler.model.stages import Search

    started = perf_counter()
    choices = choices_of(day, tables)
    rows = published_rows(published)
    start = min(
        (first_come_of(day, choices), urgent_first_of(day, choices)),
        key=lambda found: objective_of(found, choices, day, rows),
    )
    search = Search(
        day=day,
        choices=choices,
        published=rows,
        until=started + config.seconds,
        seed=config.seed,
        workers=config.workers,
    )
    better = search.improve(start)
    if better is None:
        decisions = first_come_of(day, choices)
        return _outcome(day, choices, rows, decisions, None, started)
    return _outcome(day, choices, rows, better[0], better[1], started)


def _outcome(
    day: Day,
    choices: Sequence[Choices],
    rows: Published,
    decisions: Decisions,
    bound: Objective | None,
    started: float,
) -> Outcome:
    objective = objective_of(decisions, choices, day, rows)
    known = bound or (sum(one.least_weight for one in choices), 0, 0, 0)
    proof = Proof(
        objective=objective,
        bound=known,
        gap=_gap(objective, known),
        seconds=perf_counter() - started,
        solver="first come" if bound is None else _solver_name(),
    )
    return Outcome(decisions=decisions, proof=proof, is_fallback=bound is None)


def _gap(objective: Objective, bound: Objective) -> float:
    """Relative gap of the first stage that is not proved; 0 if all are."""
    for value, low in zip(objective, bound, strict=True):
        if value != low:
            return (value - low) / value
    return 0.0


def _solver_name() -> str:
    from importlib.metadata import version

    return f"CP-SAT {version('ortools')}"


def _tables_of(day: Day, config: SolveConfig) -> Tables:
    from scheduler.readiness import build_tables

    tables: Tables = build_tables(day, config)
    return tables
