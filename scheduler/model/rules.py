"""Rules that tie decisions together, one class each.

Enters: variables. Leaves: rows in the model. Rules of one turnaround alone need no
row: what they forbid is not among its choices.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from ortools.sat.python import cp_model

from scheduler.choices import Cooling
from scheduler.day import FanType
from scheduler.model.variables import Literal, Variables


class Rule(Protocol):
    """Something that adds rows to a model."""

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add the rows."""


@dataclass(frozen=True, slots=True)
class OneDeparture:
    """Each aircraft goes off block once or is held."""

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per turnaround."""
        for one in variables.departures:
            model.add_exactly_one([*one.slots.values(), *one.holding])


@dataclass(frozen=True, slots=True)
class OneCooling:
    """Each aircraft that goes cools in one way; a held one takes no fan."""

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per turnaround."""
        for one in variables.departures:
            ways = [literal for _, literal in one.coolings]
            model.add_exactly_one([*ways, *one.holding])


@dataclass(frozen=True, slots=True)
class BrakeReady:
    """No off-block before the chosen option releases the aircraft.

    For each release minute: off-block before it and an option that releases at it or
    later exclude each other, summed over both, which is much tighter for the linear
    relaxation than option by option.
    """

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per turnaround and release minute."""
        for one in variables.departures:
            for minute in one.release_minutes():
                early, late = one.off_before(minute), one.released_from(minute)
                model.add_at_most_one([*early, *late])


@dataclass(frozen=True, slots=True)
class FanCapacity:
    """Units in use never exceed what the station has.

    A row is needed only at the last start before some job ends: the jobs of every
    other minute are among those of such a start.
    """

    fans: tuple[FanType, ...]

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per fan type and such a start."""
        for fan in self.fans:
            jobs = variables.jobs_of(fan.name)
            for minute in crowded_minutes([way for way, _ in jobs]):
                row = [
                    (literal, way.option.units)
                    for way, literal in jobs
                    if way.busy_from_minute <= minute < way.busy_to_minute
                ]
                _add_at_most(model, row, fan.units)


@dataclass(frozen=True, slots=True)
class RunwaySpacing:
    """Any two take-offs on a runway are its spacing or more apart.

    All take-offs within one spacing form a clique, so this holds for all pairs and not
    only for neighbours.
    """

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per runway and minute."""
        for (_, spacing), by_minute in variables.take_offs().items():
            for minute in sorted(by_minute):
                window = range(minute, minute + spacing)
                row = [x for at in window for x in by_minute.get(at, ())]
                if len(row) > 1:
                    model.add_at_most_one(row)


@dataclass(frozen=True, slots=True)
class PublishedKept:
    """A published row counts as kept only with its off-block and its fan jobs."""

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add two implications per published row that can be kept."""
        for one in variables.departures:
            row = one.published
            if row is None or one.kept is None or row.off_block_minute is None:
                continue
            cooling = one.cooling_of(row)
            if cooling is not None:
                model.add_implication(one.kept, cooling)
            model.add_implication(one.kept, one.slots[row.off_block_minute])


def crowded_minutes(ways: Sequence[Cooling]) -> list[int]:
    """Find the starts of jobs that have an end before the next start."""
    starts = sorted({way.busy_from_minute for way in ways})
    ends = {way.busy_to_minute for way in ways}
    return [
        start
        for start, following in pairwise([*starts, max(ends, default=0)])
        if any(end in ends for end in range(start + 1, following + 1))
    ]


def _add_at_most(
    model: cp_model.CpModel, row: list[tuple[Literal, int]], most: int
) -> None:
    if sum(units for _, units in row) <= most:
        return
    literals = [literal for literal, _ in row]
    units = [count for _, count in row]
    model.add(cp_model.LinearExpr.weighted_sum(literals, units) <= most)
