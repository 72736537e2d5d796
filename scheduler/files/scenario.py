"""A scenario folder to a `Day`: all files, all faults in one run."""

from pathlib import Path

from scheduler.day import Day, Turnaround
from scheduler.errors import DayError, ScenarioError
from scheduler.files import events_file, slots_file, turnaround_row, weather_file
from scheduler.files.day_grid import DayGrid
from scheduler.files.events_file import EventContext, read_events
from scheduler.files.faults import FaultList
from scheduler.files.fleet_file import read_fleet
from scheduler.files.slots_file import read_slots
from scheduler.files.station_file import read_station
from scheduler.files.turnarounds_file import read_turnaround_rows, turnarounds
from scheduler.files.weather_file import read_weather

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


def read_scenario(folder: Path) -> Day:
    """Read and check the files of a scenario folder.

    Parameters
    ----------
    folder : Path
        Holds station.toml, fleet.toml, turnarounds.csv, weather.metar or weather.csv,
        and perhaps slots.csv and events.csv.

    Returns
    -------
    day : Day
        Valid, in integer minutes and SI.

    Raises
    ------
    ScenarioError
        With all faults of all files, one a line.
    """
    faults = FaultList()
    if not folder.is_dir():
        raise ScenarioError.of([f"{folder}: expected a scenario folder, got none"])
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
        turnarounds=records,
        fleet=fleet,
    )
    events = read_events(folder / events_file.FILE, context, outline.headings, faults)
    faults.raise_if_any()
    if station_file is None or fleet is None or weather is None:
        raise ScenarioError.of([f"{folder}: expected readable files, got none"])
    clock = grid.clock
    station = station_file.station(clock, slots)
    first_minute, last_minute = _span(records, station.hold_minutes)
    weather_rows = weather.rows(first_minute, last_minute, station.elevation_m)
    try:
        return Day(
            name=folder.resolve().name,
            clock=clock,
            station=station,
            aircraft=fleet.aircraft,
            tails=fleet.tails,
            weather=weather_rows,
            turnarounds=records,
            checks=tuple(events.checks),
            readings=tuple(events.readings),
            notes=(
                *station_file.notes,
                *fleet.notes(station.wake),
                *weather.notes(clock),
            ),
            wake_categories=fleet.wake_categories,
        )
    except DayError as error:
        raise ScenarioError.of([f"{folder.name}: {error}"]) from None


def _span(records: tuple[Turnaround, ...], hold_minutes: int) -> tuple[int, int]:
    """First and last minute that needs weather."""
    first = min(record.in_block_minute for record in records)
    last = max(
        max(record.in_block_minute + hold_minutes, record.target_off_block_minute)
        for record in records
    )
    return first - BEFORE_FIRST_MINUTES, last + AFTER_LAST_MINUTES
