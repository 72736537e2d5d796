"""Optional events.csv: readings, plug checks and wheel changes of the day."""

from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from scheduler.clock import earlier_minute, later_minute
from scheduler.day import PlugCheck, Reading, Turnaround
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Headings, Row, read_rows
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import FaultList
from scheduler.files.fleet_file import Fleet
from thermal.units import ZERO_CELSIUS_K

FILE = "events.csv"
COLUMNS = ("time_utc", "date", "turnaround", "event", "position", "indicated_c")


class Event(StrEnum):
    """What can be logged."""

    READING = "reading"
    PLUG_CHECK = "plug-check"
    WHEEL_CHANGE = "wheel-change"


@dataclass(slots=True, kw_only=True)
class Events:
    """Logged events in file order."""

    readings: list[Reading] = field(default_factory=list)
    checks: list[PlugCheck] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class EventContext:
    """What events refer to."""

    grid: DayGrid
    ids: tuple[str, ...]
    turnarounds: tuple[Turnaround, ...]
    fleet: Fleet | None


def read_events(
    path: Path, context: EventContext, headings: Headings, faults: FaultList
) -> Events:
    """Read the events; no file is no fault."""
    events = Events()
    if not path.exists():
        return events
    for row in read_rows(path, COLUMNS, headings, faults) or ():
        _read(row, Cells(path.name, row, faults), context, events)
    return events


def _read(row: Row, cells: Cells, context: EventContext, events: Events) -> None:
    minute = _minute(cells, context.grid)
    identifier = _identifier(cells, context.ids)
    kind = cells.choice("event", Event) if cells.required("event") else None
    position = _position(cells, identifier, context)
    indicated_c = cells.number("indicated_c", -60.0, 1500.0, "°C")
    if kind is Event.READING and not cells.has("indicated_c"):
        cells.add("indicated_c", "a temperature beside a reading")
    if minute is None or not identifier or kind is None:
        return
    if kind is not Event.READING:
        check = PlugCheck(
            turnaround_id=identifier,
            minute=earlier_minute(minute),
            wheel_changed=kind is Event.WHEEL_CHANGE,
        )
        events.checks.append(check)
    elif indicated_c is not None:
        reading = Reading(
            turnaround_id=identifier,
            minute=later_minute(minute),
            indicated_k=indicated_c + ZERO_CELSIUS_K,
            position=position,
        )
        events.readings.append(reading)


def _identifier(cells: Cells, ids: tuple[str, ...]) -> str | None:
    """Turnaround of the row; none, and no fault, where no turnaround could be read."""
    if not cells.required("turnaround") or not ids:
        return None
    return cells.name("turnaround", ids)


def _minute(cells: Cells, grid: DayGrid) -> float | None:
    if not cells.required("time_utc"):
        return None
    return grid.minutes(cells, "time_utc", cells.date("date") or grid.day)


def _position(
    cells: Cells, identifier: str | None, context: EventContext
) -> str | None:
    """Position name, checked where the turnaround's tail is known."""
    for turnaround in context.turnarounds:
        tail = context.fleet.tail(turnaround.tail) if context.fleet else None
        if turnaround.id == identifier and tail is not None:
            return cells.name("position", tail.positions)
    return None
