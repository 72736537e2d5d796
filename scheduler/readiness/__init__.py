"""Curves → brake-ready tables in integer minutes, rounded to the later minute.

Enters: the day. Leaves: per turnaround an `OptionTable` and a `HeatSummary`. All
turnarounds of one brake type go through each integration together.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from scheduler.cases import Case, build_case
from scheduler.day import Basis, Day
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary
from scheduler.readiness.fan_options import candidate_jobs, fan_options
from scheduler.readiness.limits import LIMIT_OF, rank_of, stand_minutes
from scheduler.readiness.plugs import plug_state
from scheduler.readiness.spread import processor_count, spread
from scheduler.readiness.stand import stand_heat
from scheduler.readiness.summary import most_valuable, summary
from scheduler.readiness.table import check_minute, option_table

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
    """Tables of the turnarounds of one brake type."""
    station, count = day.station, settings.sample_count
    rank = rank_of(count, station.limit_confidence, station.bound_confidence)
    heat = stand_heat(
        _cases(day, group, count, settings.seed),
        station.hold_minutes,
        rule=station.approach,
    )
    central = stand_heat(
        _cases(day, group, 1, settings.seed, central=True),
        station.hold_minutes,
        every_brake=True,
    )
    still = stand_minutes(heat, spare=count - rank)
    plugs = [
        plug_state(heat, place, station.approach, rank, count)
        for place in range(len(group))
    ]
    checks = [
        check_minute(day, case, plugs[place]) for place, case in enumerate(heat.cases)
    ]
    jobs = [
        job
        for place, case in enumerate(heat.cases)
        if case.turnaround.off_block_basis is not Basis.ACTUAL
        and checks[place] != math.inf
        for job in candidate_jobs(
            day,
            case.turnaround,
            place,
            plugs[place].approach_minute,
            max(still[place].bound(rank, count)[0], checks[place] or 0.0),
        )
    ]
    options = fan_options(heat, still, jobs, rank, count, checks)
    found = {}
    for place, case in enumerate(heat.cases):
        table = option_table(
            day, heat, place, still[place], plugs[place], options[place], rank
        )
        _, at = still[place].bound(rank, count)
        row = int(still[place].row[at])
        column = int(still[place].limit[at])
        text = summary(
            central,
            place,
            case,
            plugs[place],
            (int(heat.rows.sample[row]), int(heat.rows.brake[row])),
            most_valuable(heat, place, column if column < len(LIMIT_OF) else None),
        )
        found[case.turnaround.id] = (table, text)
    return found
