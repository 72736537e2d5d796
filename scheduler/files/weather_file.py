"""weather.metar or weather.csv to the weather rows of the day."""

import math
from dataclasses import dataclass, field
from pathlib import Path

from scheduler import weather
from scheduler.clock import Clock
from scheduler.day import WeatherRow
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Headings, Row, read_rows
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import FaultList
from scheduler.files.text_file import read_text
from thermal.units import KNOT_M_PER_S

MESSAGES, TABLE = "weather.metar", "weather.csv"
COLUMNS = (
    "time_utc",
    "date",
    "temperature_c",
    "wind_direction_deg",
    "wind_kt",
    "qnh_hpa",
)
REQUIRED = ("time_utc", "temperature_c")


@dataclass(slots=True, kw_only=True)
class Weather:
    """What the file says, on the minute grid."""

    observations: list[weather.Observation] = field(default_factory=list)
    outlooks: list[weather.Outlook] = field(default_factory=list)

    def notes(self, clock: Clock) -> tuple[str, ...]:
        """Say what is assumed beyond the reports."""
        last = max(item.minute for item in self.observations)
        notes = [_ahead_note(f"{clock.short(last)} UTC", self.outlooks)]
        if all(item.qnh_pa is None for item in self.observations):
            notes.append("weather: no QNH given; 1013.25 hPa is assumed")
        if all(item.wind is None for item in self.observations):
            notes.append("weather: no wind given; calm is assumed")
        return tuple(notes)

    def rows(
        self, first_minute: int, last_minute: int, elevation_m: float
    ) -> tuple[WeatherRow, ...]:
        """Rows that cover the minutes given."""
        return weather.weather_rows(
            self.observations, self.outlooks, first_minute, last_minute, elevation_m
        )


def _ahead_note(last: str, outlooks: list[weather.Outlook]) -> str:
    taf = "the TAF where it says something, else " if outlooks else ""
    return (
        f"weather: the last report is of {last}; after it, {taf}"
        "its values are kept with a spread that grows to 5 K"
    )


def read_weather(
    folder: Path, grid: DayGrid, headings: Headings, faults: FaultList
) -> Weather | None:
    """Read the one weather file of a scenario; None where it has faults."""
    found = [name for name in (MESSAGES, TABLE) if (folder / name).exists()]
    if len(found) != 1:
        got = "both" if found else "neither"
        faults.add(MESSAGES, None, "", f"this file or {TABLE}", got)
        return None
    before = faults.count
    result = Weather()
    if found[0] == MESSAGES:
        _read_messages(folder / MESSAGES, grid, result, faults)
    else:
        _read_table(folder / TABLE, grid, result, headings, faults)
    has_temperature = any(o.temperature_c is not None for o in result.observations)
    if faults.count == before and not has_temperature:
        faults.add(found[0], None, "", "a report with a temperature", "none")
    return result if faults.count == before else None


def _read_messages(
    path: Path, grid: DayGrid, result: Weather, faults: FaultList
) -> None:
    locations: set[str] = set()
    for message in weather.messages(read_text(path, faults) or ""):
        is_forecast = weather.is_forecast(message)
        read = weather.read_forecast if is_forecast else weather.read_report
        found = read(message)
        if isinstance(found, tuple):
            for fault in found:
                _add(path.name, fault, faults)
        elif isinstance(found, weather.Forecast):
            locations.add(found.location)
            result.outlooks.append(weather.outlook(found, grid.clock))
        else:
            locations.add(found.location)
            _add_report(path.name, found, grid, result, faults)
    if len(locations) > 1:
        got = ", ".join(sorted(locations))
        faults.add(path.name, None, "", "messages of one location", got)


def _add_report(
    file: str, report: weather.Report, grid: DayGrid, result: Weather, faults: FaultList
) -> None:
    observed = weather.observation(report, grid.clock)
    if not grid.is_near(observed.minute):
        fault = weather.GroupFault(
            group=report.time_group,
            label="time",
            expected=grid.expected,
        )
        _add(file, fault, faults)
    result.observations.append(observed)


def _add(file: str, fault: weather.GroupFault, faults: FaultList) -> None:
    group = fault.group
    place = f"column {group.column} ({fault.label})"
    faults.add(file, group.line, place, fault.expected, group.text)


def _read_table(
    path: Path, grid: DayGrid, result: Weather, headings: Headings, faults: FaultList
) -> None:
    rows = read_rows(path, COLUMNS, headings, faults) or []
    missing = [name for name in REQUIRED if rows and name not in rows[0].cells]
    for name in missing:
        faults.add(path.name, 1, name, "this column", "nothing")
    for row in rows:
        observed = _observation(row, grid, faults)
        if observed is not None:
            result.observations.append(observed)


def _observation(
    row: Row, grid: DayGrid, faults: FaultList
) -> weather.Observation | None:
    cells = Cells(TABLE, row, faults)
    minute = grid.minutes(cells, "time_utc", cells.date("date") or grid.day)
    for column in REQUIRED:
        if column in row.cells:
            cells.required(column)
    temperature_c = cells.number("temperature_c", -60.0, 60.0, "°C")
    wind_kt = cells.number("wind_kt", 0.0, 100.0, "kt")
    direction_deg = cells.number("wind_direction_deg", 0.0, 360.0, "degrees")
    qnh_hpa = cells.number("qnh_hpa", 850.0, 1090.0, "hPa")
    if minute is None or temperature_c is None:
        return None
    wind = None
    if wind_kt is not None:
        speed = wind_kt * KNOT_M_PER_S
        wind = weather.Wind(speed_m_per_s=speed, direction_deg=direction_deg)
    return weather.Observation(
        minute=math.floor(minute),
        temperature_c=temperature_c,
        wind=wind,
        qnh_pa=None if qnh_hpa is None else qnh_hpa * 100.0,
    )
