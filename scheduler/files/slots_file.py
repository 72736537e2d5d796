"""Optional slots.csv: how many take-offs fit into which minutes.

Rows leave as `SlotInterval`, end excluded. Intervals may overlap; each counts.
"""

from pathlib import Path

from scheduler.clock import DAY_MINUTES
from scheduler.day import SlotInterval
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Row, read_rows
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import FaultList
from scheduler.files.station_file import Outline

FILE = "slots.csv"
COLUMNS = ("from_utc", "to_utc", "minutes", "date", "take_offs", "runway")
_MOST = 1000


def read_slots(
    path: Path,
    grid: DayGrid,
    outline: Outline,
    faults: FaultList,
    *,
    needed: bool = False,
) -> tuple[SlotInterval, ...]:
    """Read the intervals; no file is a fault only where it is ``needed``."""
    if not path.exists():
        if needed:
            expected = "this file, because slots_only is true"
            faults.add(path.name, None, "", expected, "none")
        return ()
    before = faults.count
    rows = read_rows(path, COLUMNS, outline.headings, faults)
    if needed and not rows and faults.count == before:
        expected = "at least one interval, because slots_only is true"
        faults.add(path.name, 2, "", expected, "nothing")
    if not rows or not _has_columns(rows[0], faults):
        return ()
    intervals = [_interval(row, grid, outline, faults) for row in rows]
    return tuple(item for item in intervals if item is not None)


def _has_columns(row: Row, faults: FaultList) -> bool:
    """Note the columns that are not in the header, each once."""
    missing = [name for name in ("from_utc", "take_offs") if name not in row.cells]
    for name in missing:
        faults.add(FILE, 1, name, "this column", "nothing")
    if not {"to_utc", "minutes"} & set(row.cells):
        missing.append("to_utc")
        faults.add(FILE, 1, "to_utc or minutes", "one of these columns", "nothing")
    return not missing


def _interval(
    row: Row, grid: DayGrid, outline: Outline, faults: FaultList
) -> SlotInterval | None:
    cells = Cells(FILE, row, faults)
    start = _minute(cells, "from_utc", grid) if cells.required("from_utc") else None
    end = _end(cells, start, grid)
    take_offs = None
    if cells.required("take_offs"):
        take_offs = cells.integer("take_offs", 0, _MOST, "take-offs")
    before = faults.count
    runways = [name for name, _ in outline.runways]
    runway = cells.name("runway", runways) if runways else None
    if start is None or end is None or take_offs is None or faults.count > before:
        return None
    if not start < end <= start + DAY_MINUTES:
        first = grid.clock.text(start)
        cells.add("to_utc", f"after {first}, by a day at most")
        return None
    return SlotInterval(
        from_minute=start, to_minute=end, take_offs=take_offs, runway=runway
    )


def _end(cells: Cells, start: int | None, grid: DayGrid) -> int | None:
    """End of the interval, from its own time or from its length."""
    has_time, has_length = cells.has("to_utc"), cells.has("minutes")
    if has_time == has_length:
        expected = "a value here or in minutes, not in both"
        cells.add("to_utc", expected, "both" if has_time else "neither")
        return None
    if has_time:
        return _minute(cells, "to_utc", grid)
    length = cells.integer("minutes", 1, DAY_MINUTES, "minutes")
    return None if length is None or start is None else start + length


def _minute(cells: Cells, column: str, grid: DayGrid) -> int | None:
    """Whole minute of a cell: an interval that begins within one is unclear."""
    minutes = grid.minutes(cells, column, cells.date("date") or grid.day)
    if minutes is None:
        return None
    if not minutes.is_integer():
        cells.add(column, "a whole minute")
        return None
    return int(minutes)
