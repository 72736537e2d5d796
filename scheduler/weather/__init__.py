"""Weather messages to the weather rows of a day.

METAR, SPECI and TAF text enters; `WeatherRow` records leave, in SI and kelvin.
"""

from scheduler.weather.forecast import Forecast, is_forecast, read_forecast
from scheduler.weather.groups import Wind
from scheduler.weather.report import Report, read_report
from scheduler.weather.rows import (
    Observation,
    Outlook,
    minute_of,
    observation,
    outlook,
    weather_rows,
)
from scheduler.weather.tokens import GroupFault, messages

__all__ = [
    "Forecast",
    "GroupFault",
    "Observation",
    "Outlook",
    "Report",
    "Wind",
    "is_forecast",
    "messages",
    "minute_of",
    "observation",
    "outlook",
    "read_forecast",
    "read_report",
    "weather_rows",
]
