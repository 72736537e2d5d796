"""events.csv to entries of the log.

Rows below the log's own header and rows of a hand-written file are read alike; a line
that was cut short is left out, and a note says so. What an entry means for the day,
and whether it can be after those before it, is for `scheduler.events` to say.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from scheduler.clock import earlier_minute, later_minute
from scheduler.day import Day, Found, Pinned
from scheduler.events import COLUMNS as LOG_COLUMNS
from scheduler.events import FILE, NEEDS, Entry, Event, spelled, take_apart
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Headings, Row, rows_of
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import Cell, FaultList, one_of
from scheduler.files.text_file import as_text, read_data
from thermal.units import KNOT_M_PER_S, ZERO_CELSIUS_K

COLUMNS = (*LOG_COLUMNS, "date")
_EARLIER = {Event.PLUG_CHECK, Event.WHEEL_CHANGE, Event.FINDING, Event.SLOT}
_PINS = {spelled(kind): kind for kind in Pinned}
_HIGHEST_ENTRY = 10_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class EventContext:
    """What events refer to; names that could not be read are not checked."""

    grid: DayGrid
    ids: tuple[str, ...] = ()
    positions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    stands: tuple[str, ...] = ()
    runways: tuple[str, ...] = ()

    @classmethod
    def of(cls, day: Day) -> "EventContext":
        """Everything that a day knows."""
        return cls(
            grid=DayGrid(day=day.clock.day),
            ids=tuple(one.id for one in day.turnarounds),
            positions={one.id: day.tail_of(one).positions for one in day.turnarounds},
            stands=tuple(stand.name for stand in day.station.stands),
            runways=tuple(runway.name for runway in day.station.runways),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """Entries in the order of the file, and what people should know of it."""

    entries: tuple[Entry, ...] = ()
    notes: tuple[str, ...] = ()


def read_events(
    path: Path, context: EventContext, headings: Headings, faults: FaultList
) -> Log:
    """Read the entries; no file is no fault."""
    data = read_data(path, faults) if path.exists() else None
    if data is None:
        return Log()
    lines = take_apart(data)
    if not lines.sections and not lines.cut:
        faults.add(path.name, 1, "", "a header line", "nothing")
    entries: list[Entry] = []
    for section in lines.sections:
        first = section.first_line
        text = as_text(path.name, section.data, faults, first_line=first)
        names = Headings() if section.is_logged else headings
        if text is not None:
            rows = rows_of(path.name, text, COLUMNS, names, faults, first_line=first)
            entries += _entries(rows or [], context, faults)
    return Log(entries=tuple(entries), notes=tuple(map(_cut_note, lines.cut)))


def read_entry(cells: Mapping[str, str], number: int, context: EventContext) -> Entry:
    """Check the cells of a line before it is written.

    Raises
    ------
    ScenarioError
        With a line for each fault.
    """
    faults = FaultList()
    row = Row(line=number, cells={key: Cell(text) for key, text in cells.items()})
    (entry,) = _entries([row], context, faults) or (None,)
    faults.raise_if_any()
    if entry is None:
        raise ValueError(f"{FILE}:{number}: expected an entry, got none")
    return entry


def _entries(rows: list[Row], context: EventContext, faults: FaultList) -> list[Entry]:
    found = [_entry(row, Cells(FILE, row, faults), context) for row in rows]
    return [entry for entry in found if entry is not None]


def _entry(row: Row, cells: Cells, context: EventContext) -> Entry | None:
    """Read one row to its end; None where it lacks what makes an entry."""
    event = _event(row, cells)
    minute, until = _minutes(cells, event, context.grid)
    identifier = _identifier(cells, event, context.ids)
    indicated_c = cells.number("indicated_c", -60.0, 1500.0, "°C")
    speed_kt = cells.number("speed_kt", 1.0, 250.0, "kt")
    number = cells.integer("entry", 1, _HIGHEST_ENTRY, "entries")
    if event is None:
        return None
    for column in NEEDS.get(event, ()):
        if not cells.has(column):
            cells.add(column, f"{_MISSING.get(column, 'a value')} beside a {event}")
    entry = Entry(
        number=row.line if number is None else number,
        line=row.line,
        event=event,
        turnaround_id=identifier or "",
        minute=minute,
        until_minute=until,
        position=_position(cells, identifier, context),
        indicated_k=None if indicated_c is None else indicated_c + ZERO_CELSIUS_K,
        stand=_name(cells, "stand", context.stands),
        fan=str(row["fan"]) or None,
        units=cells.integer("units", 1, 1000, "units"),
        runway=_name(cells, "runway", context.runways),
        speed_m_per_s=None if speed_kt is None else speed_kt * KNOT_M_PER_S,
        weight_kg=cells.number("weight_kg", 1.0, 1e6, "kg"),
        found=cells.choice("finding", Found),
        wear_pin_mm=cells.number("wear_pin_mm", 0.0, 200.0, "mm"),
        pinned=_pinned(row, cells),
        undoes=cells.integer("undoes", 1, _HIGHEST_ENTRY, "entries"),
    )
    lacks_id = event.is_of_turnaround and not identifier
    lacks_time = event.has_time and minute is None
    return None if lacks_id or lacks_time else entry


_MISSING = {
    "indicated_c": "a temperature",
    "stand": "a stand",
    "fan": "a fan",
    "position": "a position",
    "finding": "a finding",
    "runway": "a runway",
    "pin": "what is pinned",
    "undoes": "the number of an entry",
}


def _event(row: Row, cells: Cells) -> Event | None:
    text = cells.required("event") and str(row["event"]).casefold()
    if not text:
        return None
    if text not in set(Event):
        cells.add("event", one_of((event.value for event in Event), text))
        return None
    return Event(text)


def _minutes(
    cells: Cells, event: Event | None, grid: DayGrid
) -> tuple[int | None, int | None]:
    """Minute and end: checks and slots rounded down, everything else up."""
    on = cells.date("date") or grid.day
    if event is None or event.has_time:
        cells.required("time_utc")
    rounded = earlier_minute if event in _EARLIER else later_minute
    minutes = _near(cells, "time_utc", on, grid)
    until = _near(cells, "until_utc", on, grid)
    return (
        None if minutes is None else rounded(minutes),
        None if until is None else later_minute(until),
    )


def _near(cells: Cells, column: str, on: date | None, grid: DayGrid) -> float | None:
    return grid.minutes(cells, column, on) if cells.has(column) else None


def _identifier(cells: Cells, event: Event | None, ids: tuple[str, ...]) -> str | None:
    """Turnaround of the row; none, and no fault, where no turnaround could be read."""
    if event is not None and not event.is_of_turnaround:
        return None
    if not cells.required("turnaround") or not ids:
        return None
    return cells.name("turnaround", ids)


def _position(
    cells: Cells, identifier: str | None, context: EventContext
) -> str | None:
    """Position name, checked where the turnaround's tail is known."""
    return _name(cells, "position", context.positions.get(identifier or "", ()))


def _name(cells: Cells, column: str, known: tuple[str, ...]) -> str | None:
    return cells.name(column, known) if known else None


def _pinned(row: Row, cells: Cells) -> Pinned | None:
    text = str(row["pin"]).casefold().replace(" ", "-")
    if text and text not in _PINS:
        cells.add("pin", one_of(_PINS, text))
    return _PINS.get(text)


def _cut_note(line: int) -> str:
    return (
        f"{FILE}:{line}: this line was cut short while it was written and does not "
        "count; log it again if it is not there"
    )
