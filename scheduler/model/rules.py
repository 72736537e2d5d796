"""Rules that tie decisions together, one class each.

Enters: variables. Leaves: rows in the model. Rules of one turnaround alone need no
row where what they forbid is not among its choices.
"""

from dataclasses import dataclass
from typing import Protocol

from ortools.sat.python import cp_model

from scheduler.choices import gives_way, pin_keeps
from scheduler.day import Pin
from scheduler.decisions import is_near
from scheduler.model.variables import (
    DepartureVariables,
    Literal,
    Variables,
    is_published,
    published_starts,
)


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
class DutiesDone:
    """Work has one start and is over at off-block; a plug check only where needed.

    The rows against off-block have the same form as those of brake-ready.
    """

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add one row per piece of work and per minute at which it can end."""
        for one in variables.departures:
            for work in one.duties:
                without = one.without_check() if work.ways.by_option else one.holding
                model.add_exactly_one([*work.starts.values(), *without])
                for minute in work.ends():
                    if early := one.off_before(minute):
                        model.add_at_most_one([*early, *work.ending_from(minute)])


@dataclass(frozen=True, slots=True)
class TowOff:
    """A towed aircraft would overstay, and nobody works at it when the tow begins."""

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add rows of the tow against off-block, options and work."""
        for one in variables.departures:
            if one.towed is None:
                continue
            stand, tow = one.choices.stand_minute or 0, one.choices.tow_minute or 0
            model.add_at_most_one([one.towed, *one.off_before(stand + 1)])
            late = [x for way, x in one.coolings if way.away_minute > tow]
            model.add_at_most_one([one.towed, *late])
            for work in one.duties:
                model.add_at_most_one([one.towed, *work.ending_from(tow + 1)])


@dataclass(frozen=True, slots=True)
class PinsKept:
    """Pins count as kept only with an off-block and a fan job that keep them.

    A pin that yields is kept, too, by an option that is ready after its minute.
    """

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add rows per pinned turnaround."""
        for one in variables.departures:
            if one.pinned is None:
                continue
            own = one.choices
            ways = [x for way, x in one.coolings if not own.keeps_option(way.option)]
            model.add_at_most_one([one.pinned, *ways])
            if not (own.keeps_minute(None) and own.keeps_option(None)):
                model.add_at_most_one([one.pinned, *one.holding])
            for pin in own.pins:
                _pin_minute(model, one, one.pinned, pin)


def _pin_minute(
    model: cp_model.CpModel, one: DepartureVariables, pinned: Literal, pin: Pin
) -> None:
    """Tie off-blocks that do not keep a pin to the options that excuse them."""
    bad = [x for slot, x in one.slots.items() if not pin_keeps(pin, slot)]
    if not bad:
        return
    if not pin.yields:
        model.add_at_most_one([pinned, *bad])
        return
    early = [x for way, x in one.coolings if not gives_way(pin, way.option)]
    model.add(cp_model.LinearExpr.sum([pinned, *bad, *early]) <= 2)


@dataclass(frozen=True, slots=True)
class PublishedKept:
    """A published row counts as kept only with all that it says, within tolerance."""

    tolerance_minutes: int

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add rows per published row that can be kept."""
        for one in variables.departures:
            row = one.published
            if row is None or one.kept is None or one.kept is one.held:
                continue
            off_block, near = row.off_block_minute, self.tolerance_minutes
            away = [
                x for slot, x in one.slots.items() if not is_near(slot, off_block, near)
            ]
            model.add_at_most_one([one.kept, *away, *one.holding])
            others = [x for way, x in one.coolings if not is_published(way, row)]
            model.add_at_most_one([one.kept, *others])
            _keep_work(model, one, one.kept)


def _keep_work(model: cp_model.CpModel, one: DepartureVariables, kept: Literal) -> None:
    """Tie the published starts of work to the kept row."""
    for work in one.duties:
        if one.published is None:
            return
        starts = published_starts(one.published, work.ways)
        others = [x for (_, at), x in work.starts.items() if at not in starts]
        model.add_at_most_one([kept, *others])
        if work.ways.by_option and starts:
            model.add_at_most_one([kept, *one.without_check()])
