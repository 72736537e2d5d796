"""Minutes of one turnaround's limits → its option table, in minutes of the day.

Enters: `StandHeat`, minutes in still air, plugs, fan jobs. Leaves: `OptionTable`. The
operator's cooling table and a plug check that is due can only make a minute later.
"""

import math

import numpy as np

from scheduler.cases import Case
from scheduler.clock import later_minute
from scheduler.day import Day, Duty, Task
from scheduler.options import Limit, Option, OptionTable, PlugRisk
from scheduler.readiness.limits import COLUMNS, SampleMinutes
from scheduler.readiness.plugs import RAISED, PlugState
from scheduler.readiness.stand import StandHeat
from scheduler.readiness.witness import witness


def check_minute(day: Day, case: Case, plugs: PlugState) -> float | None:
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


def duties_of(day: Day, case: Case, plugs: PlugState) -> tuple[Duty, ...]:
    """Work that the heat asks for before off-block, from when the figures let it begin.

    The plug check belongs to the options that need it; an inspection follows every
    rejected take-off until a check is logged.
    """
    station, in_block = day.station, case.turnaround.in_block_minute
    duties = []
    check = check_minute(day, case, plugs)
    if check is not None and np.isfinite(check):
        begin = absolute_minute(in_block, check - station.plug_check_minutes)
        duties.append(
            Duty(
                task=Task.PLUG_CHECK,
                minutes=station.plug_check_minutes,
                earliest_minute=begin or in_block,
                reason="plugs came near release",
            )
        )
    begin = absolute_minute(in_block, plugs.approach_minute)
    if is_inspection_due(day, case) and begin is not None:
        duties.append(
            Duty(
                task=Task.INSPECTION,
                minutes=station.inspection_minutes,
                earliest_minute=begin,
                reason="rejected take-off",
            )
        )
    return tuple(duties)


def is_inspection_due(day: Day, case: Case) -> bool:
    """Whether a rejected take-off has not been followed by a logged check."""
    return case.rejected is not None and not any(
        check.turnaround_id == case.turnaround.id
        and check.minute >= case.turnaround.in_block_minute
        for check in day.checks
    )


def option_table(
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
    check = check_minute(day, case, plugs)
    if check is not None:
        minutes[Limit.PLUG_CHECK] = check
    if is_inspection_due(day, case) and not np.isfinite(plugs.approach_minute):
        # Nobody can be sent to inspect it within the time looked at.
        minutes[Limit.PLUG_CHECK] = math.inf
    ready, at = still.bound(rank, count)
    binding = COLUMNS[int(still.limit[at])]
    for limit in (Limit.TABLE, Limit.PLUG_CHECK):
        if minutes.get(limit, 0.0) > ready:
            ready, binding = minutes[limit], limit
    return OptionTable(
        turnaround_id=case.turnaround.id,
        approach_minute=absolute_minute(in_block, plugs.approach_minute),
        options=(
            Option(
                ready_minute=absolute_minute(in_block, ready),
                binding=binding,
                witness=witness(heat, place, int(still.row[at])),
                needs_check=check is not None,
            ),
            *jobs,
        ),
        limit_minutes=tuple(
            (limit, absolute_minute(in_block, minute))
            for limit, minute in minutes.items()
        ),
        duties=duties_of(day, case, plugs),
    )


def absolute_minute(in_block: int, minute: float) -> int | None:
    """Minute of the day, rounded late; None where it does not come."""
    return in_block + later_minute(minute) if np.isfinite(minute) else None
