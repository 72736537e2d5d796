"""Decisions of a day: first come, or improved stage by stage.

Enters: a day, its option tables, how to solve. Leaves: an `Outcome`.
"""

from collections.abc import Callable, Iterable, Sequence
from time import perf_counter

from scheduler.choices import Choices, choices_of
from scheduler.day import Day
from scheduler.decisions import (
    Decisions,
    Objective,
    Published,
    objective_of,
    published_rows,
)
from scheduler.greedy import around_of, first_come_of, urgent_first_of
from scheduler.options import OptionTable
from scheduler.plan import Plan, Proof
from scheduler.solve.config import Outcome, SolveConfig

Better = Callable[[Decisions, Objective], object]


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
    decisions = best_start(day, choices, rows)
    return outcome_of(day, choices, rows, decisions, None, started)


def best_start(day: Day, choices: Sequence[Choices], rows: Published) -> Decisions:
    """Best of the plans that need no solver, the published one mended among them."""
    starts = [first_come_of(day, choices), urgent_first_of(day, choices)]
    if rows:
        starts.append(around_of(day, choices, rows))
    return min(starts, key=lambda found: objective_of(found, choices, day, rows))


def improve(
    day: Day,
    tables: Iterable[OptionTable],
    config: SolveConfig,
    published: Plan | None = None,
    better: Better | None = None,
) -> Outcome:
    """Improve the first-come decisions stage by stage; tell each better ones."""
    from scheduler.model.stages import Search

    started = perf_counter()
    choices = choices_of(day, tables)
    rows = published_rows(published)
    start = best_start(day, choices, rows)
    search = Search(
        day=day,
        choices=choices,
        published=rows,
        until=started + config.seconds,
        seed=config.seed,
        workers=config.workers,
        rescue=config.rescue,
        better=better,
    )
    touched = config.touched if config.is_local else None
    found = search.improve(start) if touched is None else search.mend(start, touched)
    if found is None:
        return outcome_of(day, choices, rows, start, None, started)
    return outcome_of(day, choices, rows, found[0], found[1], started)


def outcome_of(
    day: Day,
    choices: Sequence[Choices],
    rows: Published,
    decisions: Decisions,
    bound: Objective | None,
    started: float,
) -> Outcome:
    """Decisions with value, bound and gap; without a bound they are a fallback."""
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
