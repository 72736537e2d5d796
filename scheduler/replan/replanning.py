"""Plan a day that has begun again: first what is touched, then the whole day."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from time import perf_counter

from scheduler.day import Day
from scheduler.inspection import with_inspections
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan
from scheduler.readiness import build_tables
from scheduler.replan.difference import Change, differences
from scheduler.replan.freeze import frozen_day
from scheduler.solve import SolveConfig, SolveResult, plan_day
from scheduler.solve.config import Finish, Tables, Tell

Known = Mapping[str, tuple[OptionTable, HeatSummary | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """The new plan, what it changes, and how long the first verified one took."""

    day: Day
    plan: Plan
    changes: tuple[Change, ...]
    tables: Tables
    first_seconds: float
    seconds: float


def replan_day(
    day: Day,
    published: Plan,
    config: SolveConfig,
    *,
    known: Known,
    finish: Finish | None = None,
    tell: Tell | None = None,
    show: Callable[[Plan], object] | None = None,
) -> Replan:
    """Plan again with the past as it is and as few changes as possible.

    Parameters
    ----------
    day : Day
        With what was logged; ``now_minute`` set.
    published : Plan
        The plan that people work by.
    config : SolveConfig
        Time for the whole; seed and samples are those of the published plan.
    known : mapping of str to (OptionTable, HeatSummary or None)
        What still holds, by turnaround; the rest is computed.
    finish, tell : callable, optional
        As in `plan_day`.
    show : callable, optional
        Is given the first verified plan as soon as it exists.

    Returns
    -------
    result : Replan
    """
    started = perf_counter()
    frozen = frozen_day(day, published)
    settings = replace(config, seed=published.seed, sample_count=published.sample_count)
    tables = _tables(frozen, settings, known)
    touched = frozenset(one.id for one in day.turnarounds if one.id not in known)

    def solved(how: SolveConfig) -> SolveResult:
        return plan_day(frozen, how, published, tables=tables, finish=finish, tell=tell)

    first = solved(replace(settings, touched=touched, is_local=True, apart=False))
    first_seconds = perf_counter() - started
    if show is not None:
        show(first.plan)
    left = config.seconds - first_seconds
    best = first.plan
    if first.plan.proof.bound != first.plan.proof.objective and left > 0:
        whole = solved(replace(settings, seconds=left, touched=touched)).plan
        if whole.proof.objective <= best.proof.objective:
            best = whole
    return Replan(
        day=frozen,
        plan=best,
        changes=differences(day, published, best, touched),
        tables=tables,
        first_seconds=first_seconds,
        seconds=perf_counter() - started,
    )


def _tables(day: Day, settings: SolveConfig, known: Known) -> Tables:
    """Tables that still hold, and new ones for the rest."""
    if all(one.id in known for one in day.turnarounds):
        return [known[one.id] for one in day.turnarounds]
    given = {name: (table, heat) for name, (table, heat) in known.items() if heat}
    found: Tables = with_inspections(day, build_tables(day, settings, known=given))
    return found
