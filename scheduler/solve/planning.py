"""The day's best plan, proved as far as time allows and checked before it leaves.

Enters: a day and how to solve it. Leaves: a verified plan. First come, first served
gives the start and the fallback; the model then improves, in this order, the weight
of broken rules, the delay cost, the changes and the effort.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from scheduler.assemble import assemble
from scheduler.day import Day
from scheduler.errors import UnverifiedPlanError
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan
from scheduler.solve.apart import improve_apart
from scheduler.solve.config import (
    Finish,
    Outcome,
    SolveConfig,
    SolveResult,
    Tables,
    Tell,
)
from scheduler.solve.improve import first_come, improve

if TYPE_CHECKING:
    from scheduler.verify import Violation

Search: TypeAlias = Callable[
    [Day, Iterable[OptionTable], SolveConfig, Plan | None], Outcome
]
HEAT_ROUNDS = 4
LATER_MINUTES = 3

_LATER = "Brake-ready of {} is {} min later: the second integration asked for it."
_FAILED = "The solver gave no answer: this is the first-come plan."
SEARCHING = "Looking for the plan that loses least"
_STOPPED = "The search was stopped by hand: this is the best plan until then."
_REJECTED = "The solver's plan was rejected by the check: this is the first-come plan."


def plan_day(
    day: Day,
    config: SolveConfig,
    published: Plan | None = None,
    *,
    tables: Tables | None = None,
    finish: Finish | None = None,
    tell: Tell | None = None,
    show: Callable[[Plan], object] | None = None,
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
    show : callable, optional
        Is given the first-come plan, checked by every rule but the second integration
        of the heat, before the search begins.

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
    desk = Desk(
        day=day,
        config=config,
        published=published,
        summaries={table.turnaround_id: one for table, one in heat if one is not None},
        finish=finish,
        say=say,
        with_heat=tables is None or any(one is not None for _, one in heat),
    )
    option_tables = [table for table, _ in heat]
    if show is not None:
        desk.show_first(option_tables, show)
    search = improve_apart if config.apart else improve
    plan, rejected = desk.verified(option_tables, search)
    if plan is not None:
        return SolveResult(plan=plan, tables=heat)
    plan, left = desk.verified(option_tables, _first_come, (_REJECTED,))
    if plan is None:
        raise UnverifiedPlanError("\n".join(str(one) for one in left))
    return SolveResult(plan=plan, rejected=rejected, tables=heat)


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What it takes to make a checked plan out of option tables."""

    day: Day
    config: SolveConfig
    published: Plan | None
    summaries: Mapping[str, HeatSummary]
    finish: Finish | None
    say: Tell
    with_heat: bool

    def verified(
        self, tables: list[OptionTable], search: Search, notes: tuple[str, ...] = ()
    ) -> tuple[Plan | None, tuple["Violation", ...]]:
        """Plan that passes the check, or none and what is wrong with the last one.

        Where only the second integration objects, brake-ready of the turnarounds
        concerned is moved later and the day is planned again.
        """
        rejected: tuple[Violation, ...] = ()
        for _ in range(HEAT_ROUNDS):
            self.say(SEARCHING)
            found = search(self.day, tables, self.config, self.published)
            plan = self.told(tables, found, notes)
            self.say("Checking the plan with a second integration")
            rejected = self.checked(plan)
            if not rejected:
                return plan, ()
            hot = _too_hot(rejected)
            if not hot:
                break
            tables = [
                later(table, LATER_MINUTES) if table.turnaround_id in hot else table
                for table in tables
            ]
            notes = (*notes, _LATER.format(", ".join(sorted(hot)), LATER_MINUTES))
        return None, rejected

    def show_first(
        self, tables: list[OptionTable], show: Callable[[Plan], object]
    ) -> None:
        """Show the first-come plan if it passes every rule."""
        from scheduler.verify import check_decisions

        plan = self.told(tables, first_come(self.day, tables, self.published), ())
        if not check_decisions(self.day, plan, self.published, with_heat=False):
            show(plan)

    def told(
        self, tables: list[OptionTable], found: Outcome, notes: tuple[str, ...]
    ) -> Plan:
        """Tell an outcome as a plan."""
        plan = assemble(
            self.day,
            tables,
            self.summaries,
            found.decisions,
            found.proof,
            seed=self.config.seed,
            sample_count=self.config.sample_count,
            fallback=found.is_fallback,
        )
        more = [*notes]
        if found.is_fallback and _REJECTED not in notes:
            more.append(_failed_text(self.config.rescue))
        if found.is_interrupted:
            more.append(_STOPPED)
        plan = replace(plan, notes=(*plan.notes, *more))
        return plan if self.finish is None else self.finish(plan)

    def checked(self, plan: Plan) -> tuple["Violation", ...]:
        """Check the plan; actions and cautions only where they are in it."""
        from scheduler.verify import check, check_decisions

        rules = check_decisions if self.finish is None else check
        return rules(
            self.day,
            plan,
            self.published,
            with_heat=self.with_heat,
            heat_of=self._changed(plan),
        )

    def _changed(self, plan: Plan) -> frozenset[str] | None:
        """Turnarounds to integrate again: all, or those that are not as published."""
        touched = self.config.touched
        if touched is None or self.published is None:
            return None
        before = {row.id: row for row in self.published.turnarounds}
        return touched | {
            row.id
            for row in plan.turnarounds
            if row.id not in before
            or row.off_block_minute != before[row.id].off_block_minute
            or row.fan_jobs != before[row.id].fan_jobs
            or row.rollout != before[row.id].rollout
        }


def _first_come(
    day: Day,
    tables: Iterable[OptionTable],
    _config: SolveConfig,
    published: Plan | None,
) -> Outcome:
    return first_come(day, tables, published)


def _failed_text(rescue: Path | None) -> str:
    if rescue is None or not rescue.exists():
        return _FAILED
    return f"{_FAILED} What the solver was given is kept in {rescue}."


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


def _tables_of(day: Day, config: SolveConfig) -> Tables:
    from scheduler.inspection import with_inspections
    from scheduler.readiness import build_tables

    tables: Tables = with_inspections(day, build_tables(day, config))
    return tables
