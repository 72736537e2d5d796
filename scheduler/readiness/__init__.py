"""Curves → brake-ready tables in integer minutes, rounded to the later minute.

Enters: the day. Leaves: per turnaround an `OptionTable` and a `HeatSummary`. All
turnarounds of one brake type go through each integration together.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from scheduler.cases import Case, build_case
from scheduler.day import Day
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary
from scheduler.readiness.limits import rank_of
from scheduler.readiness.rollouts import with_rollouts
from scheduler.readiness.spread import processor_count, spread
from scheduler.readiness.stand import stand_heat
from scheduler.readiness.unread import with_unread
from scheduler.readiness.ways import Ways

__all__ = ["build_tables"]

Known: TypeAlias = Mapping[str, tuple[OptionTable, HeatSummary]]

SPREAD_FROM = 8
GROUP_SIZE = 10


class Settings(Protocol):
    """What is needed of the solver's configuration."""

    @property
    def seed(self) -> int:
        """Seed of the draws."""

    @property
    def sample_count(self) -> int:
        """Samples per turnaround, a power of two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatSettings:
    """The same as a record of this package, for processes of their own."""

    seed: int
    sample_count: int


def build_tables(
    day: Day, settings: Settings, known: Known | None = None
) -> list[tuple[OptionTable, HeatSummary]]:
    """Brake-ready tables and summaries, in the day's order of turnarounds.

    Days of some size are spread over the machine's processors; the tables are the
    same either way, since every turnaround draws from its own stream.

    Parameters
    ----------
    day : Day
    settings : Settings
        Seed and number of samples.
    known : mapping of str to (OptionTable, HeatSummary), optional
        By turnaround, what was computed before and still holds: after an event only
        the others are computed. Leave out the turnarounds whose inputs changed, and
        the later ones of their tails.
    """
    found = {} if known is None else dict(known)
    todo = [k for k, one in enumerate(day.turnarounds) if one.id not in found]
    groups = _groups(day, todo)
    processes = max(min(processor_count(), len(groups)), 1)
    if len(todo) < SPREAD_FROM:
        processes = 1
    plain = HeatSettings(seed=settings.seed, sample_count=settings.sample_count)
    parts = spread(
        tables_of,
        [(day, group, plain) for group in groups],
        [_weight(day, group) for group in groups],
        processes,
    )
    for part in parts:
        found.update(part)
    return [found[turnaround.id] for turnaround in day.turnarounds]


def _groups(day: Day, todo: list[int]) -> list[list[int]]:
    """Turnarounds of one brake type, at most so many together."""
    by_brake: dict[str, list[int]] = {}
    for number in todo:
        brake = day.aircraft_of(day.turnarounds[number]).brake
        by_brake.setdefault(brake, []).append(number)
    return [
        members[low : low + GROUP_SIZE]
        for members in by_brake.values()
        for low in range(0, len(members), GROUP_SIZE)
    ]


def _weight(day: Day, group: list[int]) -> float:
    """Roughly the work of a group: more brakes leave more that can bind."""
    brakes = day.aircraft_of(day.turnarounds[group[0]]).brake_count
    return len(group) * (1.0 + 0.15 * min(brakes, 8))


def _cases(
    day: Day, group: list[int], count: int, seed: int, *, central: bool = False
) -> tuple[Case, ...]:
    return tuple(
        build_case(
            day,
            day.turnarounds[number],
            sample_count=count,
            seed=seed,
            case=place,
            central=central,
        )
        for place, number in enumerate(group)
    )


def tables_of(
    day: Day, group: list[int], settings: Settings
) -> dict[str, tuple[OptionTable, HeatSummary]]:
    """Tables of the turnarounds of one brake type, with what readings changed."""
    found = _tables_of(day, group, settings)
    return with_unread(
        day, group, found, lambda unread, some: _tables_of(unread, some, settings)
    )


def _tables_of(
    day: Day, group: list[int], settings: Settings
) -> dict[str, tuple[OptionTable, HeatSummary]]:
    station, count = day.station, settings.sample_count
    rank = rank_of(count, station.limit_confidence, station.bound_confidence)
    cases = _cases(day, group, count, settings.seed)
    planned = Ways.of(day, cases, (rank, count)).with_fans(day)
    central = stand_heat(
        _cases(day, group, 1, settings.seed, central=True),
        station.hold_minutes,
        every_brake=True,
    )
    answers = [
        (planned.table(day, place), planned.summary(central, place))
        for place in range(len(group))
    ]
    answers = with_rollouts(day, planned, answers, settings.seed)
    return {table.turnaround_id: (table, text) for table, text in answers}
