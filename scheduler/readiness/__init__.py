"""Curves → brake-ready tables in integer minutes, rounded to the later minute.

Enters: the day. Leaves: per turnaround an `OptionTable` and a `HeatSummary`. All
turnarounds of one brake type go through each integration together.
"""

import math
from typing import Protocol

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.clock import later_minute
from scheduler.day import Basis, Day
from scheduler.options import Limit, Option, OptionTable, PlugRisk
from scheduler.plan import HeatSummary
from scheduler.readiness.fan_options import candidate_jobs, fan_options
from scheduler.readiness.limits import (
    COLUMNS,
    LIMIT_OF,
    SampleMinutes,
    rank_of,
    stand_minutes,
)
from scheduler.readiness.plugs import RAISED, PlugState, plug_state
from scheduler.readiness.spread import processor_count, spread
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.readiness.summary import most_valuable, summary
from scheduler.readiness.witness import witness

__all__ = ["build_tables"]

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


def build_tables(day: Day, settings: Settings) -> list[tuple[OptionTable, HeatSummary]]:
    """Brake-ready tables and summaries, in the day's order of turnarounds.

    Days of some size are spread over the machine's processors; the tables are the
    same either way, since every turnaround draws from its own stream.
    """
    groups = _groups(day)
    processes = min(processor_count(), len(groups))
    if len(day.turnarounds) < SPREAD_FROM:
        processes = 1
    parts = spread(tables_of, [(day, group, settings) for group in groups], processes)
    found: dict[str, tuple[OptionTable, HeatSummary]] = {}
    for part in parts:
        found.update(part)
    return [found[turnaround.id] for turnaround in day.turnarounds]


def _groups(day: Day) -> list[list[int]]:
    """Turnarounds of one brake type, at most so many together; the most work first."""
    by_brake: dict[str, list[int]] = {}
    for number, turnaround in enumerate(day.turnarounds):
        by_brake.setdefault(day.aircraft_of(turnaround).brake, []).append(number)
    groups = [
        members[low : low + GROUP_SIZE]
        for members in by_brake.values()
        for low in range(0, len(members), GROUP_SIZE)
    ]
    return sorted(groups, key=len, reverse=True)


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
    still = stand_minutes(heat)
    plugs = [
        plug_state(heat, place, station.approach, rank, count)
        for place in range(len(group))
    ]
    checks = [
        _check_minute(day, case, plugs[place]) for place, case in enumerate(heat.cases)
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
        table = _table(
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


def _check_minute(day: Day, case: Case, plugs: PlugState) -> float | None:
    """Minute after in-block by which a plug check can be done; None if none is due.

    It is due where a plug may have come too warm on the stand and no check is logged,
    and it begins once the plugs have peaked. At raised risk or worse only a logged
    check lets the aircraft go: the minute is infinite.
    """
    logged = any(
        check.turnaround_id == case.turnaround.id
        and check.minute >= case.turnaround.in_block_minute + plugs.peak_minute
        for check in day.checks
    )
    if plugs.exceeded_probability < RAISED or logged:
        return None
    if plugs.risk is not PlugRisk.LOW:
        return math.inf
    begin = max(plugs.approach_minute, plugs.peak_minute)
    return begin + day.station.plug_check_minutes


def _table(
    day: Day,
    heat: StandHeat,
    place: int,
    still: SampleMinutes,
    plugs: PlugState,
    jobs: list[Option],
    rank: int,
) -> OptionTable:
    """Option table of one turnaround, in absolute minutes."""
    case = heat.cases[place]
    in_block, count = case.turnaround.in_block_minute, case.shape[0]
    minutes = {
        limit: still.bound(rank, count, limit)[0]
        for k, limit in enumerate(COLUMNS)
        if (still.limit == k).any()
    }
    table = case.turnaround.departure.table_minutes
    if table is not None:
        minutes[Limit.TABLE] = float(table)
    check = _check_minute(day, case, plugs)
    if check is not None:
        minutes[Limit.PLUG_CHECK] = check
    ready, at = still.bound(rank, count)
    binding = COLUMNS[int(still.limit[at])]
    for limit in (Limit.TABLE, Limit.PLUG_CHECK):
        if minutes.get(limit, 0.0) > ready:
            ready, binding = minutes[limit], limit
    return OptionTable(
        turnaround_id=case.turnaround.id,
        approach_minute=_absolute(in_block, plugs.approach_minute),
        options=(
            Option(
                ready_minute=_absolute(in_block, ready),
                binding=binding,
                witness=witness(heat, place, int(still.row[at])),
            ),
            *jobs,
        ),
        limit_minutes=tuple(
            (limit, _absolute(in_block, minute)) for limit, minute in minutes.items()
        ),
    )


def _absolute(in_block: int, minute: float) -> int | None:
    return in_block + later_minute(minute) if np.isfinite(minute) else None
