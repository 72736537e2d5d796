"""What has happened on the day, and what people want kept."""

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugCheck:
    """A logged plug and tyre check, or a wheel change, at one turnaround."""

    turnaround_id: str
    minute: int
    wheel_changed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One indicated temperature; ``position`` None where only the hottest is known."""

    turnaround_id: str
    minute: int
    indicated_k: float
    position: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RejectedTakeOff:
    """A take-off that was rejected: brakes on at a ground speed, then back to a stand.

    ``minute`` is when the brakes came on; the turnaround's in-block is then the one
    after the return. Weight and speed are None where not known.
    """

    turnaround_id: str
    minute: int
    speed_m_per_s: float | None = None
    weight_kg: float | None = None


class Pinned(StrEnum):
    """What a pin holds."""

    OFF_BLOCK = "off-block"
    NOT_BEFORE = "not before"
    FAN = "fan"
    NO_FAN = "no fan"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """Something that people want kept, or that has begun and cannot be moved.

    ``minute`` belongs to *off-block* and *not before*; fan, units, start and end to
    *fan*, where an end of None leaves the end open.
    """

    turnaround_id: str
    kind: Pinned
    minute: int | None = None
    fan: str | None = None
    units: int = 0
    start_minute: int | None = None
    end_minute: int | None = None
    reason: str = ""
