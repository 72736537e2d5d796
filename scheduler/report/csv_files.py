"""Plan → CSV files for spreadsheets: turnarounds, fan jobs, duties, actions.

CSV after RFC 4180 in UTF-8; times are ISO 8601 in UTC. A text cell that a spreadsheet
would take for a formula gets a leading apostrophe.
"""

import csv
import io
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TypeAlias, TypeVar

from scheduler.clock import Clock
from scheduler.files.atomic import write_text
from scheduler.plan import Action, FanJob, Plan, PlannedDuty, PlannedTurnaround
from scheduler.report.words import clock_of

Cell: TypeAlias = str | int | float | None
Item = TypeVar("Item")
Columns: TypeAlias = Mapping[str, Callable[[Item, Clock], Cell]]
RowAndJob: TypeAlias = tuple[PlannedTurnaround, FanJob]
RowAndDuty: TypeAlias = tuple[PlannedTurnaround, PlannedDuty]
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def _utc(clock: Clock, minute: int | None) -> str | None:
    return None if minute is None else clock.text(minute)


_TURNAROUNDS: Columns[PlannedTurnaround] = {
    "id": lambda row, clock: row.id,
    "tail": lambda row, clock: row.tail,
    "stand": lambda row, clock: row.stand,
    "in_block_utc": lambda row, clock: _utc(clock, row.in_block_minute),
    "target_off_block_utc": lambda row, clock: _utc(clock, row.target_off_block_minute),
    "brake_ready_utc": lambda row, clock: _utc(clock, row.brake_ready_minute),
    "brake_ready_still_air_utc": lambda row, clock: _utc(
        clock, row.brake_ready_still_air_minute
    ),
    "binding_limit": lambda row, clock: row.binding_limit,
    "off_block_utc": lambda row, clock: _utc(clock, row.off_block_minute),
    "take_off_utc": lambda row, clock: _utc(clock, row.take_off_minute),
    "delay_minutes": lambda row, clock: row.delay_minutes,
    "waits_for": lambda row, clock: row.waits_for,
    "rules_broken": lambda row, clock: " ".join(row.relaxed),
    "approach_utc": lambda row, clock: _utc(clock, row.approach_minute),
    "plug_risk": lambda row, clock: row.heat.risk if row.heat else None,
    "release_probability": lambda row, clock: (
        row.heat.release_probability if row.heat else None
    ),
    "plug_peak_c": lambda row, clock: row.heat.plug_peak_c if row.heat else None,
    "stack_peak_c": lambda row, clock: row.heat.stack_peak_c if row.heat else None,
    "progress": lambda row, clock: row.progress,
    "rollout": lambda row, clock: row.rollout,
    "rollout_deadline_utc": lambda row, clock: _utc(clock, row.rollout_deadline_minute),
    "towed": lambda row, clock: "yes" if row.towed else "no",
}
_FAN_JOBS: Columns[RowAndJob] = {
    "turnaround_id": lambda pair, clock: pair[0].id,
    "tail": lambda pair, clock: pair[0].tail,
    "stand": lambda pair, clock: pair[0].stand,
    "fan_type": lambda pair, clock: pair[1].fan_type,
    "units": lambda pair, clock: pair[1].units,
    "start_utc": lambda pair, clock: _utc(clock, pair[1].start_minute),
    "end_utc": lambda pair, clock: _utc(clock, pair[1].end_minute),
}
_DUTIES: Columns[RowAndDuty] = {
    "turnaround_id": lambda pair, clock: pair[0].id,
    "tail": lambda pair, clock: pair[0].tail,
    "stand": lambda pair, clock: pair[0].stand,
    "task": lambda pair, clock: pair[1].task,
    "crew": lambda pair, clock: pair[1].crew,
    "start_utc": lambda pair, clock: _utc(clock, pair[1].start_minute),
    "end_utc": lambda pair, clock: _utc(clock, pair[1].end_minute),
    "reason": lambda pair, clock: pair[1].reason,
}
_ACTIONS: Columns[Action] = {
    "time_utc": lambda action, clock: _utc(clock, action.minute),
    "do_by_utc": lambda action, clock: _utc(clock, action.do_by_minute),
    "who": lambda action, clock: action.who,
    "stand": lambda action, clock: action.stand,
    "turnaround_id": lambda action, clock: action.turnaround_id,
    "what": lambda action, clock: action.what,
    "missing_it": lambda action, clock: action.missing_it,
}


def write_csv_files(plan: Plan, folder: Path) -> tuple[Path, ...]:
    """Write the files into an existing folder, each whole or not at all.

    Returns
    -------
    paths : tuple of Path
        The files written.

    Raises
    ------
    OSError
        When the folder cannot be written to.
    """
    texts = csv_texts(plan)
    for name, text in texts.items():
        write_text(folder / name, text)
    return tuple(folder / name for name in texts)


def csv_texts(plan: Plan) -> dict[str, str]:
    """Text of each file by its name."""
    clock = clock_of(plan)
    jobs = [(row, job) for row in plan.turnarounds for job in row.fan_jobs]
    duties = [(row, duty) for row in plan.turnarounds for duty in row.duties]
    return {
        "turnarounds.csv": _text(plan.turnarounds, _TURNAROUNDS, clock),
        "fan_jobs.csv": _text(jobs, _FAN_JOBS, clock),
        "duties.csv": _text(duties, _DUTIES, clock),
        "actions.csv": _text(plan.actions, _ACTIONS, clock),
    }


def plain_cell(value: Cell) -> Cell:
    """Keep a spreadsheet from reading a text as a formula."""
    if isinstance(value, str) and value.startswith(_FORMULA_STARTS):
        return f"'{value}"
    return value


def _text(items: Iterable[Item], columns: Columns[Item], clock: Clock) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(columns)
    for item in items:
        writer.writerow(plain_cell(cell(item, clock)) for cell in columns.values())
    return stream.getvalue()
