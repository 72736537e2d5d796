"""The day: turnarounds, stands, fans, runway, crews, rules. Valid once constructed.

Every record is an *instance* (what is given): minutes since 00:00 UTC, SI, kelvin.
"""

from scheduler.day.crews import Crew, Duty, Task
from scheduler.day.facts import (
    FanTime,
    Finding,
    Found,
    Pin,
    Pinned,
    PlugCheck,
    Reading,
    RejectedTakeOff,
)
from scheduler.day.fleet import Tail
from scheduler.day.place import (
    Exit,
    FanType,
    Outage,
    Runway,
    Stand,
    ZoneMove,
)
from scheduler.day.rules import (
    ApproachRule,
    Curfew,
    CurfewEvent,
    DelayCost,
    SlotInterval,
    WakeTable,
)
from scheduler.day.station import Station
from scheduler.day.turnaround import Basis, Departure, Landing, Reverse, Turnaround
from scheduler.day.weather import WeatherRow
from scheduler.day.whole import Day

__all__ = [
    "ApproachRule",
    "Basis",
    "Crew",
    "Curfew",
    "CurfewEvent",
    "Day",
    "DelayCost",
    "Departure",
    "Duty",
    "Exit",
    "FanTime",
    "FanType",
    "Finding",
    "Found",
    "Landing",
    "Outage",
    "Pin",
    "Pinned",
    "PlugCheck",
    "Reading",
    "RejectedTakeOff",
    "Reverse",
    "Runway",
    "SlotInterval",
    "Stand",
    "Station",
    "Tail",
    "Task",
    "Turnaround",
    "WakeTable",
    "WeatherRow",
    "ZoneMove",
]
