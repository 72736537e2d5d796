"""One line of the log: what happened, to what, when.

Minutes are those of the day's clock, temperatures kelvin, speeds m/s. What an entry
holds depends on its event; `NEEDS` lists the columns that may not be empty.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from scheduler.day import Found, Pinned

FILE = "events.csv"
COLUMNS = (
    "entry",
    "time_utc",
    "turnaround",
    "event",
    "position",
    "indicated_c",
    "stand",
    "fan",
    "units",
    "until_utc",
    "runway",
    "speed_kt",
    "weight_kg",
    "finding",
    "wear_pin_mm",
    "pin",
    "undoes",
    "logged_utc",
    "by",
)


class Event(StrEnum):
    """What can be logged."""

    LANDED = "landed"
    IN_BLOCK = "in-block"
    OFF_BLOCK = "off-block"
    AIRBORNE = "airborne"
    TARGET = "tobt"
    SLOT = "ctot"
    STAND = "stand"
    CANCEL = "cancel"
    READING = "reading"
    FAN_ON = "fan-on"
    FAN_OFF = "fan-off"
    PLUG_CHECK = "plug-check"
    WHEEL_CHANGE = "wheel-change"
    FINDING = "finding"
    REJECTED = "rto"
    PIN = "pin"
    UNPIN = "unpin"
    FAN_OUT = "fan-out"
    FAN_BACK = "fan-back"
    RUNWAY_CLOSED = "runway-closed"
    RUNWAY_OPEN = "runway-open"
    UNDO = "undo"

    @property
    def is_of_turnaround(self) -> bool:
        """Whether it happens to one turnaround."""
        return self not in _OF_THE_STATION

    @property
    def has_time(self) -> bool:
        """Whether the entry says nothing without a time."""
        return self not in _WITHOUT_TIME

    @property
    def is_plan(self) -> bool:
        """Whether its time lies ahead, so that *now* is no good guess for it."""
        return self in {Event.TARGET, Event.SLOT, Event.PIN}


_OF_THE_STATION = {
    Event.FAN_OUT,
    Event.FAN_BACK,
    Event.RUNWAY_CLOSED,
    Event.RUNWAY_OPEN,
    Event.UNDO,
}
_WITHOUT_TIME = {Event.STAND, Event.CANCEL, Event.PIN, Event.UNPIN, Event.UNDO}

NEEDS: Mapping[Event, tuple[str, ...]] = {
    Event.READING: ("indicated_c",),
    Event.STAND: ("stand",),
    Event.FAN_ON: ("fan",),
    Event.FINDING: ("position", "finding"),
    Event.FAN_OUT: ("fan",),
    Event.FAN_BACK: ("fan",),
    Event.RUNWAY_CLOSED: ("runway",),
    Event.RUNWAY_OPEN: ("runway",),
    Event.PIN: ("pin",),
    Event.UNDO: ("undoes",),
}


def spelled(kind: Pinned) -> str:
    """How the log writes what a pin holds."""
    return kind.value.replace(" ", "-")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One fact. ``number`` names it, ``line`` is where it stands in the file.

    ``minute`` is when it happened or, of a target, a slot and a pin, the minute that
    is meant; None where the event has no time. ``until_minute`` ends what begins then;
    of a rejected take-off it is in-block after the return.
    """

    number: int
    line: int
    event: Event
    turnaround_id: str = ""
    minute: int | None = None
    until_minute: int | None = None
    position: str | None = None
    indicated_k: float | None = None
    stand: str | None = None
    fan: str | None = None
    units: int | None = None
    runway: str | None = None
    speed_m_per_s: float | None = None
    weight_kg: float | None = None
    found: Found | None = None
    wear_pin_mm: float | None = None
    pinned: Pinned | None = None
    undoes: int | None = None

    @property
    def at_minute(self) -> int:
        """Minute of an event that has one."""
        if self.minute is None:
            raise ValueError(f"{self.event}: expected a minute, got none")
        return self.minute
