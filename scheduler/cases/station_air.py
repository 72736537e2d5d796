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
# Nearer to nose or tail than this, no side is upwind (directions are reported in tens
# of degrees and swing): engineering estimate.
ABEAM_FROM_DEG = 20.0


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
        rows = _weather_between(day, begin, begin + 60)
        warmest[hour] = max(row.temperature_k for row in rows)
        spread[hour] = max(row.spread_k for row in rows)
    return warmest, spread


def _weather_between(day: Day, begin: int, end: int) -> list[WeatherRow]:
    """Rows that hold at some minute from the begin to before the end."""
    inside = [row for row in day.weather if begin < row.minute < end]
    return [weather_at(day, begin), *inside]


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
    """Wind at each brake: none by default, else reduced, sheltered and capped.

    Brakes in the lee of the aircraft get a part of it; shape (sample, brake).
    """
    open_fraction = 1.0 - day.stand_of(turnaround).shelter_fraction
    credit = HEIGHT_FRACTION * open_fraction if day.station.wind_credit else 0.0
    wind = credit * row.wind_m_per_s * inputs.drawn("wind_factor")
    upwind = upwind_brakes(day, turnaround)
    part = np.where(upwind, 1.0, inputs.drawn("lee_wind_fraction"))
    return np.minimum(wind, WIND_CAP_M_PER_S) * part


def upwind_brakes(day: Day, turnaround: Turnaround) -> np.ndarray:
    """Whether each brake stands on the side that the wind comes from, shape (brake,).

    The first half of the tail's positions is the left side, the second half the right.
    A side is upwind if it is so by every report from in-block to the target; all
    brakes are in the lee where the stand's heading or the direction is not known.
    """
    place = np.arange(len(day.tail_of(turnaround).positions))
    heading_deg = day.stand_of(turnaround).heading_deg
    end = turnaround.target_off_block_minute + 1
    rows = _weather_between(day, turnaround.in_block_minute, end)
    sides = {_side(row, heading_deg) for row in rows}
    half = place.size // 2
    if sides == {-1}:
        return place < half
    return (place >= place.size - half) & (sides == {1})


def _side(row: WeatherRow, heading_deg: float | None) -> int:
    """Side the wind comes from: -1 left, 1 right, 0 neither or not known."""
    if heading_deg is None or row.wind_direction_deg is None:
        return 0
    across = np.sin(np.radians(row.wind_direction_deg - heading_deg))
    abeam = abs(across) > np.sin(np.radians(ABEAM_FROM_DEG)) and row.wind_m_per_s > 0.0
    return int(np.sign(across)) if abeam else 0
