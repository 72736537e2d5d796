"""turnarounds.csv to turnaround records."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from scheduler.day import Turnaround
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Row, read_rows
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import FaultList
from scheduler.files.fleet_file import Fleet
from scheduler.files.station_file import Outline
from scheduler.files.turnaround_row import (
    COLUMNS,
    FILE,
    IN_BLOCK,
    OFF_BLOCK,
    TurnaroundRow,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnaroundRows:
    """Rows of the file, before the day they belong to is known."""

    rows: tuple[Row, ...]
    day: date | None


def read_turnaround_rows(
    path: Path, outline: Outline, faults: FaultList
) -> TurnaroundRows | None:
    """Read the rows and find the day: the earliest in-block date, if not given."""
    before = faults.count
    rows = read_rows(path, COLUMNS, outline.headings, faults)
    if rows is None:
        return None
    _check_columns(path.name, rows, faults)
    if not rows and faults.count == before:
        faults.add(path.name, 2, "", "at least one turnaround", "nothing")
    day = outline.day or _first_day(rows)
    return TurnaroundRows(rows=tuple(rows), day=day)


def turnarounds(
    rows: TurnaroundRows,
    grid: DayGrid,
    outline: Outline,
    fleet: Fleet | None,
    faults: FaultList,
) -> tuple[Turnaround, ...]:
    """Turn rows into records; rows with faults are left out and noted."""
    readers = [TurnaroundRow(row, grid, outline, fleet, faults) for row in rows.rows]
    _check_ids(readers)
    records = [reader.turnaround() for reader in readers]
    return tuple(record for record in records if record is not None)


def _check_columns(file: str, rows: Iterable[Row], faults: FaultList) -> None:
    """Note required columns that are not in the header."""
    present = {column for row in rows for column in row.cells}
    if not present:
        return
    for column in ("id", "tail", "stand"):
        if column not in present:
            faults.add(file, 1, column, "this column", "nothing")
    for group in (IN_BLOCK, OFF_BLOCK):
        names = [name for name, _ in reversed(group)]
        if not present & set(names):
            faults.add(file, 1, " or ".join(names), "one of these columns", "nothing")


def _first_day(rows: Iterable[Row]) -> date | None:
    """Earliest in-block date that can be read; without one, of an off-block."""
    for group in (IN_BLOCK, OFF_BLOCK):
        found: list[datetime] = []
        for row in rows:
            cells = Cells(FILE, row, FaultList())
            on = cells.date("date")
            times = [cells.instant(column, on) for column, _ in group]
            found += [time for time in times if time is not None][:1]
        if found:
            return min(found).date()
    return None


def _check_ids(readers: Iterable[TurnaroundRow]) -> None:
    seen: dict[str, int] = {}
    for reader in readers:
        name = str(reader.row["id"])
        if name in seen:
            expected = f"an id used once (line {seen[name]} has it)"
            reader.cells.add("id", expected)
        elif name:
            seen[name] = reader.row.line
