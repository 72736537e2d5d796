"""Variables of the model and the questions that rules ask of them.

Enters: choices of each turnaround. Leaves: one Boolean per off-block minute, per
option and per start of work, and one each for being held, towed, keeping the pins and
keeping the published row, with named queries.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from ortools.sat.python import cp_model

from scheduler.choices import Choices, Cooling, DutyWays
from scheduler.decisions import Decision, Published, is_near, starts_of
from scheduler.plan import PlannedTurnaround, Relaxation

Literal: TypeAlias = cp_model.IntVar
Start: TypeAlias = tuple[str | None, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyVariables:
    """Booleans of the starts of one piece of work."""

    ways: DutyWays
    starts: dict[Start, Literal]

    def ending_from(self, minute: int) -> list[Literal]:
        """List starts that end at ``minute`` or later."""
        return [x for (_, at), x in self.starts.items() if self.ways.end(at) >= minute]

    def ends(self) -> list[int]:
        """Distinct minutes at which the work can end, rising."""
        return sorted({self.ways.end(at) for _, at in self.starts})


@dataclass(frozen=True, slots=True, kw_only=True)
class DepartureVariables:
    """Booleans of one turnaround that has something to decide.

    ``held`` is None where holding is not allowed, ``towed`` where no tow helps,
    ``pinned`` where there is no pin, ``kept`` where the published row cannot be kept
    or there is none.
    """

    choices: Choices
    slots: dict[int, Literal]
    coolings: tuple[tuple[Cooling, Literal], ...]
    duties: tuple[DutyVariables, ...]
    held: Literal | None
    towed: Literal | None
    pinned: Literal | None
    published: PlannedTurnaround | None
    kept: Literal | None

    @property
    def holding(self) -> list[Literal]:
        """The variable of being held, if holding is allowed."""
        return [] if self.held is None else [self.held]

    def off_before(self, minute: int) -> list[Literal]:
        """Off-block variables before ``minute``."""
        return [literal for slot, literal in self.slots.items() if slot < minute]

    def released_from(self, minute: int) -> list[Literal]:
        """Options that release the aircraft at ``minute`` or later."""
        return [
            literal for way, literal in self.coolings if way.release_minute >= minute
        ]

    def release_minutes(self) -> list[int]:
        """Distinct release minutes after the first off-block minute, rising."""
        first = min(self.slots)
        found = {way.release_minute for way, _ in self.coolings}
        return sorted(minute for minute in found if minute > first)

    def overstaying(self) -> list[Literal]:
        """Off-block variables after the stand is needed, and being held."""
        late = [x for slot, x in self.slots.items() if self.choices.overstays(slot)]
        return [*late, *self.holding] if self.choices.overstays(None) else late

    def without_check(self) -> list[Literal]:
        """Options that need no plug check, and being held."""
        ways = [x for way, x in self.coolings if not way.option.needs_check]
        return [*ways, *self.holding]

    def decided(
        self, decision: Decision, tolerance_minutes: int
    ) -> Iterator[tuple[Literal, bool]]:
        """Every variable with its value under a decision."""
        minute = decision.off_block_minute
        for slot, literal in self.slots.items():
            yield literal, slot == minute
        for way, literal in self.coolings:
            yield literal, minute is not None and way.option is decision.option
        for work in self.duties:
            planned = [work.ways.planned(*start) for start in work.starts]
            for literal, plan in zip(work.starts.values(), planned, strict=True):
                yield literal, plan in decision.duties
        if self.held is not None:
            yield self.held, minute is None
        if self.towed is not None:
            yield self.towed, decision.towed
        if self.pinned is not None:
            yield self.pinned, Relaxation.PIN not in decision.relaxed
        if self.kept is not None and self.kept is not self.held and self.published:
            yield self.kept, not decision.changes(self.published, tolerance_minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variables:
    """Variables of the day, in the order of the choices."""

    departures: tuple[DepartureVariables, ...]

    @property
    def may_mend(self) -> bool:
        """Whether a tow or a kept pin can lower the weight of a minute."""
        return any(
            one.towed is not None or one.pinned is not None for one in self.departures
        )

    def take_offs(self) -> dict[str, dict[str, dict[int, list[Literal]]]]:
        """Take-off variables by runway and wake category, then by minute."""
        found: dict[str, dict[str, dict[int, list[Literal]]]] = {}
        for one in self.departures:
            runway = found.setdefault(one.choices.runway, {})
            by_minute = runway.setdefault(one.choices.wake or "", defaultdict(list))
            for slot, literal in one.slots.items():
                by_minute[slot + one.choices.taxi_out_minutes].append(literal)
        return found

    def jobs_of(self, fan: str) -> list[tuple[Cooling, Literal]]:
        """Options that take units of one fan type."""
        return [
            (way, literal)
            for one in self.departures
            for way, literal in one.coolings
            if way.option.fan == fan
        ]

    def work_of(self, crew: str) -> list[tuple[int, int, Literal]]:
        """Work that a crew can do: from, to, variable."""
        return [
            (start, work.ways.end(start), literal)
            for one in self.departures
            for work in one.duties
            for (name, start), literal in work.starts.items()
            if name == crew
        ]


def add_variables(
    model: cp_model.CpModel,
    choices: Sequence[Choices],
    published: Published,
    *,
    may_hold: bool,
    tolerance_minutes: int = 0,
) -> Variables:
    """Create the Booleans of every turnaround that has something to decide.

    Where aircraft need not be held, one that breaks no more by being held still may.
    """
    return Variables(
        departures=tuple(
            _departure(
                model,
                one,
                published.get(one.turnaround.id),
                tolerance_minutes,
                may_hold=may_hold,
            )
            for one in choices
            if one.slots
        )
    )


def _departure(
    model: cp_model.CpModel,
    one: Choices,
    row: PlannedTurnaround | None,
    tolerance_minutes: int,
    *,
    may_hold: bool,
) -> DepartureVariables:
    can_hold = may_hold or one.weight(None) == one.least_weight
    held = model.new_bool_var("") if can_hold else None
    late = can_hold or one.overstays(one.slots[-1])
    can_tow = one.tow_minute is not None and late
    kept = held if row is not None and row.off_block_minute is None else None
    if row is not None and _can_keep(one, row, tolerance_minutes):
        kept = model.new_bool_var("")
    return DepartureVariables(
        choices=one,
        slots={slot: model.new_bool_var("") for slot in one.slots},
        coolings=tuple((way, model.new_bool_var("")) for way in one.coolings),
        duties=tuple(
            DutyVariables(
                ways=ways,
                starts={start: model.new_bool_var("") for start in ways.starts},
            )
            for ways in one.duties
        ),
        held=held,
        towed=model.new_bool_var("") if can_tow else None,
        pinned=model.new_bool_var("") if one.pins else None,
        published=row,
        kept=kept,
    )


def _can_keep(one: Choices, row: PlannedTurnaround, tolerance_minutes: int) -> bool:
    """Whether minute, fan job, rollout and work of a published row can be chosen."""
    return (
        row.off_block_minute is not None
        and any(
            is_near(slot, row.off_block_minute, tolerance_minutes) for slot in one.slots
        )
        and any(is_published(way, row) for way in one.coolings)
        and {duty.task for duty in row.duties} <= {way.duty.task for way in one.duties}
    )


def is_published(way: Cooling, row: PlannedTurnaround) -> bool:
    """Whether a way to cool is the published one."""
    return way.jobs == row.fan_jobs and way.option.rollout == row.rollout


def published_starts(row: PlannedTurnaround, ways: DutyWays) -> set[int]:
    """Find the published starts of work of this task."""
    return {
        start for task, start in starts_of(row.duties) if task == ways.duty.task.value
    }
