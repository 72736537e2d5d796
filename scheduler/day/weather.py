"""Weather of the day, row by row."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherRow:
    """Weather from ``minute`` on. ``spread_k`` is one standard deviation.

    ``gust_m_per_s`` is what gusts are above the mean wind.
    """

    minute: int
    temperature_k: float
    wind_m_per_s: float
    wind_direction_deg: float | None
    pressure_pa: float
    source: str
    spread_k: float = 0.5
    gust_m_per_s: float = 0.0
