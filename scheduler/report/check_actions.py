"""Actions of maintenance and of everyone at the stand while plugs are a risk.

Nobody is sent to a wheel before the figures meet the operator's approach threshold;
where they never do, people are told to get ready away from the aircraft. When an
approach is allowed is for the operator's procedure to say, never for these lines.
"""

from collections.abc import Iterator

from scheduler.clock import Clock
from scheduler.day import Day, Task
from scheduler.options import Limit, PlugRisk
from scheduler.plan import Action, PlannedTurnaround, WaitsFor
from scheduler.report.words import is_quiet, percent_text

MAINTENANCE = "maintenance"
GROUND_STAFF = "ground staff"


def keep_clear_actions(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    """Keep people away where the plug risk is not low, or no approach time is known."""
    if is_quiet(row) and row.approach_minute is not None:
        return
    yield Action(
        minute=row.in_block_minute,
        do_by_minute=row.in_block_minute,
        what=f"Keep everyone clear of the wheels. {_threshold(day.clock, row)}",
        who=GROUND_STAFF,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_beside_a_plug(row),
    )


def check_actions(day: Day, row: PlannedTurnaround) -> Iterator[Action]:
    """Plug and tyre check, or a wheel change to get ready, where one is still due.

    One that is planned as work is listed with the other work.
    """
    if not _is_due(day, row):
        return
    first, minutes = _first_minute(row), day.station.plug_check_minutes
    leaves = row.off_block_minute
    end = row.target_off_block_minute if leaves is None else leaves
    yield Action(
        minute=first,
        do_by_minute=max(first, end - minutes),
        what=_task(row, minutes),
        who=MAINTENANCE,
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=_without_check(day.clock, row),
    )


def _first_minute(row: PlannedTurnaround) -> int:
    """Earliest start: after the plugs have peaked, where people may go to a wheel."""
    if row.approach_minute is None or _is_high(row):
        return row.in_block_minute
    peak = row.approach_minute if row.heat is None else row.heat.plug_peak_minute
    return max(row.approach_minute, peak)


def _without_check(clock: Clock, row: PlannedTurnaround) -> str:
    if row.off_block_minute is None:
        return "it stays held: no off-block is planned before a check is logged"
    leaves = clock.short(row.off_block_minute)
    return f"it leaves at {leaves} only if the check is logged by then"


def _is_due(day: Day, row: PlannedTurnaround) -> bool:
    waits = row.waits_for is WaitsFor.CHECK and not row.duties
    asked = row.binding_limit is Limit.PLUG_CHECK or waits
    planned = any(duty.task is Task.PLUG_CHECK for duty in row.duties)
    logged = any(check.turnaround_id == row.id for check in day.checks)
    return asked and not planned and not logged


def _is_high(row: PlannedTurnaround) -> bool:
    return row.heat is not None and row.heat.risk in (PlugRisk.HIGH, PlugRisk.RELEASED)


def _task(row: PlannedTurnaround, minutes: int) -> str:
    if _is_high(row):
        return (
            "Get wheel, jack and crew ready for a wheel change, away from the aircraft"
        )
    if row.approach_minute is None:
        return "Get ready for a plug and tyre check, away from the aircraft"
    again = " and plan again" if row.off_block_minute is None else ""
    return (
        f"Check fuse plugs and tyres ({minutes} min) when the operator's procedure "
        f"allows an approach; log the finding{again}"
    )


def _threshold(clock: Clock, row: PlannedTurnaround) -> str:
    peak = ""
    if row.heat is not None:
        peak = f"Hottest plug due at {clock.short(row.heat.plug_peak_minute)}. "
    if row.approach_minute is None:
        return f"{peak}The figures give no time for an approach"
    start = clock.short(row.approach_minute)
    return f"{peak}The figures miss the operator's approach threshold until {start}"


def _beside_a_plug(row: PlannedTurnaround) -> str:
    chance = ""
    if row.heat is not None:
        chance = f" ({row.heat.risk}, {percent_text(row.heat.release_probability)})"
    return f"people stand beside a plug that may release{chance}"
