"""A turnaround and its draws → rows for the heat: landing, stand, take-off.

Enters: the day and one turnaround. Leaves: a `Case` with one row per sample and brake.
"""

from scheduler.cases.case import Case, build_case, network_of
from scheduler.cases.stand import stand_settings
from scheduler.cases.station_air import hourly_weather, weather_at

__all__ = [
    "Case",
    "build_case",
    "hourly_weather",
    "network_of",
    "stand_settings",
    "weather_at",
]
