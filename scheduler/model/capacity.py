"""Rules of what turnarounds share: fan units, crews, runways, slots.

Enters: variables. Leaves: rows in the model. Jobs and work take their units from … to;
one row per crowded minute keeps the sum within what is there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from scheduler.day import Crew, Day, FanType, SlotInterval
from scheduler.model.runway import add_separation
from scheduler.model.variables import Literal, Variables


@dataclass(frozen=True, slots=True)
class FanCapacity:
    """Units in use never exceed what is there.

    A row is needed only at the last start before some job ends: the jobs of every
    other minute are among those of such a start. Sets of several units also get the
    row of how many such sets fit, which the units alone do not tell the relaxation.
    """

    fans: tuple[FanType, ...]

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add the rows of each fan type."""
        for fan in self.fans:
            uses = [
                Use(way.busy_from_minute, way.busy_to_minute, way.option.units, x)
                for way, x in variables.jobs_of(fan.name)
            ]
            for size in sorted({1, *(use.units for use in uses)}):
                sets = [
                    Use(use.start, use.end, use.units // size, use.literal)
                    for use in uses
                    if use.units >= size
                ]
                if size == 1 or fan.units % size:
                    _add_capacity(model, sets, fan, size)


@dataclass(frozen=True, slots=True)
class CrewCapacity:
    """Crews at work never exceed their number."""

    crews: tuple[Crew, ...]

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per crew kind and crowded minute."""
        for crew in self.crews:
            uses = [
                Use(start, end + crew.move_minutes, 1, literal)
                for start, end, literal in variables.work_of(crew.name)
            ]
            for minute in crowded_minutes(uses):
                _add_at_most(model, _active(uses, minute), crew.count)


@dataclass(frozen=True, slots=True)
class RunwaySpacing:
    """Any two take-offs on a runway are as far apart as base spacing and wake ask."""

    day: Day

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add the rows of each runway."""
        table = self.day.station.wake
        for runway in self.day.station.runways:
            take_offs = variables.take_offs().get(runway.name)
            if not take_offs:
                continue
            base = runway.spacing_minutes

            def gap(leader: str, follower: str, base: int = base) -> int:
                wake = 0 if table is None else table.minutes(leader, follower)
                return max(base, wake)

            add_separation(model, take_offs, gap)


@dataclass(frozen=True, slots=True)
class SlotCapacity:
    """Take-offs in an interval never exceed what it takes; those gone count."""

    slots: tuple[SlotInterval, ...]
    gone: dict[str, list[int]]

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per interval."""
        for slot in self.slots:
            inside = range(slot.from_minute, slot.to_minute)
            row = [
                (literal, 1)
                for runway, by_wake in variables.take_offs().items()
                if slot.runway in (None, runway)
                for by_minute in by_wake.values()
                for minute, literals in by_minute.items()
                if minute in inside
                for literal in literals
            ]
            past = sum(
                minute in inside
                for runway, minutes in self.gone.items()
                if slot.runway in (None, runway)
                for minute in minutes
            )
            _add_at_most(model, row, max(slot.take_offs - past, 0))


@dataclass(frozen=True, slots=True)
class Use:
    """Units taken from … to (end excluded) if the variable is true."""

    start: int
    end: int
    units: int
    literal: Literal


def crowded_minutes(uses: Sequence[Use]) -> list[int]:
    """Find the starts that have an end before the next start."""
    starts = sorted({use.start for use in uses})
    ends = {use.end for use in uses}
    return [
        start
        for start, following in pairwise([*starts, max(ends, default=0)])
        if any(end in ends for end in range(start + 1, following + 1))
    ]


def _active(uses: Sequence[Use], minute: int) -> list[tuple[Literal, int]]:
    return [(use.literal, use.units) for use in uses if use.start <= minute < use.end]


def _add_capacity(
    model: cp_model.CpModel, uses: Sequence[Use], fan: FanType, size: int
) -> None:
    """Add the rows of sets of one size; outages change what is there."""
    before_return = {outage.to_minute - 1 for outage in fan.outages}
    minutes = {*crowded_minutes(uses), *fan.changes_at, *before_return}
    for minute in sorted(minutes):
        _add_at_most(model, _active(uses, minute), fan.units_at(minute) // size)


def _add_at_most(
    model: cp_model.CpModel, row: list[tuple[Literal, int]], most: int
) -> None:
    if sum(units for _, units in row) <= most:
        return
    literals = [literal for literal, _ in row]
    units = [count for _, count in row]
    model.add(cp_model.LinearExpr.weighted_sum(literals, units) <= most)
