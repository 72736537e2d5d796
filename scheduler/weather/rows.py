"""Reports and forecasts to the weather rows of a day.

Each report holds until the next one. Where the next is more than an hour away, and
after the last, rows follow every hour: from the TAF where it says something, else the
last values again with a spread that grows. The growth is an engineering estimate:
0.5 K for the rounding of a report and 0.5 K more per hour without one, at most 5 K
(2 K where a temperature is forecast).
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from scheduler.clock import Clock
from scheduler.day import WeatherRow
from scheduler.weather.forecast import Forecast
from scheduler.weather.groups import DayTime, Wind
from scheduler.weather.report import Report
from thermal.air import station_pressure_pa
from thermal.units import ZERO_CELSIUS_K

STEP_MINUTES = 60
REPORT_SPREAD_K = 0.5
SPREAD_GROWTH_K_PER_HOUR = 0.5
PERSISTENCE_SPREAD_K = 5.0
FORECAST_SPREAD_K = 2.0
STANDARD_QNH_PA = 101_325.0
_CALM = Wind(speed_m_per_s=0.0, direction_deg=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """Weather at a minute; None for what is not known there."""

    minute: int
    temperature_c: float | None
    wind: Wind | None
    qnh_pa: float | None
    source: str = "report"
    spread_k: float = REPORT_SPREAD_K


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """One TAF on the minute grid, points and winds in time order."""

    from_minute: int
    to_minute: int
    winds: tuple[tuple[int, Wind], ...]
    temperatures: tuple[tuple[int, float], ...]


def minute_of(time: DayTime, clock: Clock) -> int:
    """Minute of a day-of-month time: the date nearest to the operating day."""
    months = {clock.start + timedelta(days=shift) for shift in (-28, 0, 28)}
    starts = {(month.year, month.month) for month in months}
    candidates = [
        minute
        for year, month in starts
        if (minute := _minute_in(year, month, time, clock)) is not None
    ]
    return min(candidates, key=abs, default=0)


def _minute_in(year: int, month: int, time: DayTime, clock: Clock) -> int | None:
    try:
        midnight = datetime(year, month, time.day, tzinfo=UTC)
    except ValueError:
        return None
    return clock.minute(midnight + timedelta(hours=time.hour, minutes=time.minute))


def observation(report: Report, clock: Clock) -> Observation:
    """Put a report on the minute grid."""
    return Observation(
        minute=minute_of(report.time, clock),
        temperature_c=report.temperature_c,
        wind=report.wind,
        qnh_pa=report.qnh_pa,
    )


def outlook(forecast: Forecast, clock: Clock) -> Outlook:
    """Put a TAF on the minute grid."""
    winds = [(minute_of(item.time, clock), item.wind) for item in forecast.winds]
    points = [
        (minute_of(item.time, clock), item.temperature_c)
        for item in forecast.temperatures
    ]
    return Outlook(
        from_minute=minute_of(forecast.start, clock),
        to_minute=minute_of(forecast.end, clock),
        winds=tuple(sorted(winds, key=lambda item: item[0])),
        temperatures=tuple(sorted(points)),
    )


def weather_rows(
    observations: Iterable[Observation],
    outlooks: Iterable[Outlook],
    first_minute: int,
    last_minute: int,
    elevation_m: float,
) -> tuple[WeatherRow, ...]:
    """Build the rows from the first to the last minute that the day needs.

    Parameters
    ----------
    observations : iterable of Observation
        At least one with a temperature; of two at one minute the later one counts.
    outlooks : iterable of Outlook
        The last of them that covers a minute counts.
    first_minute, last_minute : int
        Minutes that the rows must cover.
    elevation_m : float
        Station elevation, for the pressure. [m]

    Returns
    -------
    rows : tuple of WeatherRow
        In time order, at least one.
    """
    known = _carried({item.minute: item for item in observations}.values())
    forecasts = tuple(outlooks)
    rows = _before(known[0], first_minute)
    ends = [
        *(item.minute for item in known[1:]),
        max(last_minute, known[-1].minute) + 1,
    ]
    for item, end in zip(known, ends, strict=True):
        rows += [item, *_until(item, end, forecasts)]
    return tuple(_row(item, elevation_m) for item in rows)


def _carried(observations: Iterable[Observation]) -> list[Observation]:
    """Fill what a report leaves out from the report before it (or after the first)."""
    ordered = sorted(observations, key=lambda item: item.minute)
    for index, (before, item) in enumerate(pairwise(ordered), start=1):
        ordered[index] = _filled(item, before)
    for index in range(len(ordered) - 1, 0, -1):
        ordered[index - 1] = _filled(ordered[index - 1], ordered[index])
    return [item for item in ordered if item.temperature_c is not None]


def _filled(item: Observation, other: Observation) -> Observation:
    return replace(
        item,
        temperature_c=_first(item.temperature_c, other.temperature_c),
        wind=item.wind or other.wind,
        qnh_pa=_first(item.qnh_pa, other.qnh_pa),
    )


def _first(value: float | None, other: float | None) -> float | None:
    return other if value is None else value


def _before(item: Observation, first_minute: int) -> list[Observation]:
    """One row for the time before the first report, where the day begins earlier."""
    if item.minute <= first_minute:
        return []
    spread_k = _spread_k(item, item.minute - first_minute, PERSISTENCE_SPREAD_K)
    earlier = replace(
        item, minute=first_minute, source="persistence", spread_k=spread_k
    )
    return [earlier]


def _until(
    item: Observation, end_minute: int, forecasts: tuple[Outlook, ...]
) -> list[Observation]:
    """Hourly rows after a report, up to the next one."""
    return [
        _ahead(item, minute, forecasts)
        for minute in range(item.minute + STEP_MINUTES, end_minute, STEP_MINUTES)
    ]


def _ahead(
    item: Observation, minute: int, forecasts: tuple[Outlook, ...]
) -> Observation:
    covering = [f for f in forecasts if f.from_minute <= minute < f.to_minute]
    forecast = covering[-1] if covering else None
    curve = _curve(item, forecast)
    wind = _forecast_wind(forecast, minute) or item.wind
    end_minute, _ = curve[-1]
    if minute <= end_minute:
        source, since_minute, cap_k = "forecast", item.minute, FORECAST_SPREAD_K
        temperature_c = _interpolated(curve, minute)
    else:
        source, since_minute, cap_k = "persistence", end_minute, PERSISTENCE_SPREAD_K
        temperature_c = max(curve[0][1], curve[-1][1])
    return replace(
        item,
        minute=minute,
        temperature_c=temperature_c,
        wind=wind,
        source=source,
        spread_k=_spread_k(item, minute - since_minute, cap_k),
    )


def _curve(item: Observation, forecast: Outlook | None) -> list[tuple[int, float]]:
    """Temperature points from the report on; the report alone without a forecast."""
    start = (item.minute, item.temperature_c or 0.0)
    points = forecast.temperatures if forecast else ()
    return [start, *(point for point in points if point[0] > item.minute)]


def _interpolated(curve: list[tuple[int, float]], minute: int) -> float:
    for (start, low), (end, high) in pairwise(curve):
        if start <= minute <= end:
            return low + (high - low) * (minute - start) / (end - start)
    return curve[-1][1]


def _forecast_wind(forecast: Outlook | None, minute: int) -> Wind | None:
    if forecast is None:
        return None
    index = bisect_right([start for start, _ in forecast.winds], minute)
    return forecast.winds[index - 1][1] if index else None


def _spread_k(item: Observation, minutes: int, cap_k: float) -> float:
    grown = item.spread_k + SPREAD_GROWTH_K_PER_HOUR * minutes / 60.0
    return max(item.spread_k, min(grown, cap_k))


def _row(item: Observation, elevation_m: float) -> WeatherRow:
    wind = item.wind or _CALM
    qnh_pa = STANDARD_QNH_PA if item.qnh_pa is None else item.qnh_pa
    return WeatherRow(
        minute=item.minute,
        temperature_k=(item.temperature_c or 0.0) + ZERO_CELSIUS_K,
        wind_m_per_s=wind.speed_m_per_s,
        wind_direction_deg=wind.direction_deg,
        gust_m_per_s=wind.gust_m_per_s,
        pressure_pa=float(station_pressure_pa(qnh_pa, elevation_m)),
        source=item.source,
        spread_k=item.spread_k,
    )
