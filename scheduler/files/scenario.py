"""A scenario folder to a `Day`: all files, all faults in one run."""

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from scheduler.day import Day, Turnaround
from scheduler.errors import DayError, ScenarioError
from scheduler.events import FILE as EVENTS_FILE
from scheduler.events import apply_events
from scheduler.files import events_file, slots_file, turnaround_row, weather_file
from scheduler.files.day_grid import DayGrid
from scheduler.files.events_file import EventContext, Log, read_events
from scheduler.files.faults import FaultList
from scheduler.files.fleet_file import Fleet, read_fleet
from scheduler.files.slots_file import read_slots
from scheduler.files.station_file import read_station
from scheduler.files.turnarounds_file import read_turnaround_rows, turnarounds
from scheduler.files.weather_file import Weather, read_weather

AFTER_LAST_MINUTES = 240  # taxi-out, and two hours after retraction
BEFORE_FIRST_MINUTES = 60  # touchdown and taxi-in

KNOWN_COLUMNS = tuple(
    dict.fromkeys(
        (
            *turnaround_row.COLUMNS,
            *slots_file.COLUMNS,
            *weather_file.COLUMNS,
            *events_file.COLUMNS,
        )
    )
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A day as its files plan it, and the log of what happened on it."""

    planned: Day
    log: Log
    weather: Weather

    def day(self, now: int | datetime | None = None) -> Day:
        """Build the day as it is after the log; see `read_scenario`."""
        clock = self.planned.clock
        day = apply_events(self.planned, self.log.entries)
        minute = clock.minute(now) if isinstance(now, datetime) else now
        span = _span(day.turnarounds, day.station.hold_minutes)
        return replace(
            day,
            weather=self.weather.rows(*span, day.station.elevation_m),
            notes=(*day.notes, *self.log.notes),
            now_minute=minute,
        )


def read_scenario(folder: Path, *, now: int | datetime | None = None) -> Day:
    """Read and check the files of a scenario folder, what was logged among them.

    Parameters
    ----------
    folder : Path
        Holds station.toml, fleet.toml, turnarounds.csv, weather.metar or weather.csv,
        and perhaps slots.csv and events.csv.
    now : int or datetime, optional
        Minute of the day, or instant, at which a day that has begun is planned again.

    Returns
    -------
    day : Day
        Valid, in integer minutes and SI.

    Raises
    ------
    ScenarioError
        With all faults of all files, one a line; of entries of the log that
        contradict each other once the files have none.
    """
    return open_scenario(folder).day(now)


def open_scenario(folder: Path) -> Scenario:
    """Read a scenario folder, the log apart from what was planned.

    Raises
    ------
    ScenarioError
        With all faults of all files, one a line.
    """
    faults = FaultList()
    if not folder.is_dir():
        got = "a file" if folder.is_file() else "none (heatslot new makes one)"
        raise ScenarioError.of([f"{folder}: expected a scenario folder, got {got}"])
    station_file, outline = read_station(folder / "station.toml", KNOWN_COLUMNS, faults)
    fleet = read_fleet(folder / "fleet.toml", faults, outline.wake)
    rows = read_turnaround_rows(folder / turnaround_row.FILE, outline, faults)
    grid = DayGrid(day=rows.day if rows else outline.day)
    records = turnarounds(rows, grid, outline, fleet, faults) if rows else ()
    slots = read_slots(
        folder / slots_file.FILE,
        grid,
        outline,
        faults,
        needed=station_file is not None and station_file.keys.slots_only,
    )
    weather = read_weather(folder, grid, outline.headings, faults)
    context = EventContext(
        grid=grid,
        ids=tuple(str(row["id"]) for row in rows.rows) if rows else (),
        positions=_positions(records, fleet),
        stands=outline.stands,
        runways=tuple(name for name, _ in outline.runways),
    )
    log = read_events(folder / EVENTS_FILE, context, outline.headings, faults)
    faults.raise_if_any()
    if station_file is None or fleet is None or weather is None:
        raise ScenarioError.of([f"{folder}: expected readable files, got none"])
    clock = grid.clock
    station = station_file.station(clock, slots)
    span = _span(records, station.hold_minutes)
    try:
        planned = Day(
            name=folder.resolve().name,
            clock=clock,
            station=station,
            aircraft=fleet.aircraft,
            tails=fleet.tails,
            weather=weather.rows(*span, station.elevation_m),
            turnarounds=records,
            notes=(
                *station_file.notes,
                *fleet.notes(station.wake),
                *weather.notes(clock),
            ),
            wake_categories=fleet.wake_categories,
        )
    except DayError as error:
        raise ScenarioError.of([f"{folder.name}: {error}"]) from None
    return Scenario(planned=planned, log=log, weather=weather)


def _positions(
    records: tuple[Turnaround, ...], fleet: Fleet | None
) -> dict[str, tuple[str, ...]]:
    """Brake positions by turnaround, where its tail could be read."""
    tails = {
        record.id: fleet.tail(record.tail) if fleet else None for record in records
    }
    return {name: tail.positions for name, tail in tails.items() if tail is not None}


def _span(records: tuple[Turnaround, ...], hold_minutes: int) -> tuple[int, int]:
    """First and last minute that needs weather."""
    first = min(record.in_block_minute for record in records)
    last = max(
        max(record.in_block_minute + hold_minutes, record.target_off_block_minute)
        for record in records
    )
    return first - BEFORE_FIRST_MINUTES, last + AFTER_LAST_MINUTES
