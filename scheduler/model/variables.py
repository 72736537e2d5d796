"""Variables of the model and the questions that rules ask of them.

Enters: choices of each turnaround. Leaves: one Boolean per off-block minute, one per
option, one for being held and one for keeping the published row, with named queries.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from ortools.sat.python import cp_model

from scheduler.choices import Choices, Cooling
from scheduler.decisions import Decision, Published
from scheduler.plan import PlannedTurnaround

Literal: TypeAlias = cp_model.IntVar


@dataclass(frozen=True, slots=True, kw_only=True)
class DepartureVariables:
    """Booleans of one turnaround that has something to decide.

    ``held`` is None where holding is not allowed, ``kept`` where the published row
    cannot be kept or there is none.
    """

    choices: Choices
    slots: dict[int, Literal]
    coolings: tuple[tuple[Cooling, Literal], ...]
    held: Literal | None
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

    def cooling_of(self, row: PlannedTurnaround) -> Literal | None:
        """Option variable with the fan jobs of a published row."""
        return next(
            (literal for way, literal in self.coolings if way.jobs == row.fan_jobs),
            None,
        )

    def decided(self, decision: Decision) -> Iterator[tuple[Literal, bool]]:
        """Every variable with its value under a decision."""
        minute = decision.off_block_minute
        for slot, literal in self.slots.items():
            yield literal, slot == minute
        for way, literal in self.coolings:
            yield literal, minute is not None and way.option is decision.option
        if self.held is not None:
            yield self.held, minute is None
        if self.kept is not None and self.kept is not self.held and self.published:
            yield self.kept, not decision.changes(self.published)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variables:
    """Variables of the day, in the order of the choices."""

    departures: tuple[DepartureVariables, ...]

    def take_offs(self) -> dict[tuple[str, int], dict[int, list[Literal]]]:
        """Take-off variables by runway and its spacing, then by minute."""
        found: dict[tuple[str, int], dict[int, list[Literal]]] = {}
        for one in self.departures:
            key = one.choices.runway, one.choices.spacing_minutes
            by_minute = found.setdefault(key, defaultdict(list))
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


def add_variables(
    model: cp_model.CpModel,
    choices: Sequence[Choices],
    published: Published,
    *,
    may_hold: bool,
) -> Variables:
    """Create the Booleans of every turnaround that has something to decide."""
    return Variables(
        departures=tuple(
            _departure(model, one, published.get(one.turnaround.id), may_hold=may_hold)
            for one in choices
            if one.slots
        )
    )


def _departure(
    model: cp_model.CpModel,
    one: Choices,
    row: PlannedTurnaround | None,
    *,
    may_hold: bool,
) -> DepartureVariables:
    held = model.new_bool_var("") if may_hold else None
    slots = {slot: model.new_bool_var("") for slot in one.slots}
    coolings = tuple((way, model.new_bool_var("")) for way in one.coolings)
    kept = None
    if row is not None and row.off_block_minute is None:
        kept = held
    elif row is not None and row.off_block_minute in slots:
        same = any(way.jobs == row.fan_jobs for way, _ in coolings)
        kept = model.new_bool_var("") if same else None
    return DepartureVariables(
        choices=one,
        slots=slots,
        coolings=coolings,
        held=held,
        published=row,
        kept=kept,
    )
