"""Air and wind that a turnaround sees: at an instant, hour by hour, at the wheel.

Enters: the day's weather rows. Leaves: K, kg/m3 and m/s, always on the warm and calm
side where the day leaves a choice.
"""

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.day import Day, Runway, Turnaround, WeatherRow
from thermal.air import density_kg_per_m3
from thermal.arrays import FloatArray

HEIGHT_FRACTION = 0.5
WIND_CAP_M_PER_S = 5.0


def weather_at(day: Day, minute: int) -> WeatherRow:
    """Weather row that holds at a minute; the first one before any report."""
    rows = [row for row in day.weather if row.minute <= minute]
    return rows[-1] if rows else day.weather[0]


def hourly_weather(day: Day, turnaround: Turnaround) -> tuple[FloatArray, FloatArray]:
    """Warmest air and its spread in each hour from in-block on, shape (hour,)."""
    hours = day.station.hold_minutes // 60 + 4
    warmest, spread = np.empty(hours), np.empty(hours)
    for hour in range(hours):
        begin = turnaround.in_block_minute + 60 * hour
        inside = [row for row in day.weather if begin < row.minute < begin + 60]
        rows = [weather_at(day, begin), *inside]
        warmest[hour] = max(row.temperature_k for row in rows)
        spread[hour] = max(row.spread_k for row in rows)
    return warmest, spread


def headwind_m_per_s(row: WeatherRow, runway: Runway) -> float:
    """Wind along the runway; none where the direction is not known."""
    if row.wind_direction_deg is None:
        return 0.0
    angle = np.radians(row.wind_direction_deg - runway.heading_deg)
    return float(np.clip(row.wind_m_per_s * np.cos(angle), -15.0, 40.0))


def station_density_kg_per_m3(row: WeatherRow) -> float:
    """Density of the air on the airfield."""
    return float(density_kg_per_m3(row.temperature_k, row.pressure_pa))


def wheel_wind_m_per_s(
    day: Day, turnaround: Turnaround, row: WeatherRow, inputs: Inputs
) -> FloatArray:
    """Wind at the wheel: none by default, else reduced, sheltered and capped."""
    open_fraction = 1.0 - day.stand_of(turnaround).shelter_fraction
    credit = HEIGHT_FRACTION * open_fraction if day.station.wind_credit else 0.0
    wind = credit * row.wind_m_per_s * inputs.drawn("wind_factor")
    return np.minimum(wind, WIND_CAP_M_PER_S)
