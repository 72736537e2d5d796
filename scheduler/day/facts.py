"""What has happened on the day, and what people want kept."""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.errors import DayError


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
    after the return. Weight and speed are None where not known, and so are in-block
    and off-block of the stay at the stand before it.
    """

    turnaround_id: str
    minute: int
    speed_m_per_s: float | None = None
    weight_kg: float | None = None
    in_block_minute: int | None = None
    off_block_minute: int | None = None


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
    *fan*, where an end of None leaves the end open. A pin that ``yields`` gives way
    without a word where brakes or ground handling come after its minute.
    """

    turnaround_id: str
    kind: Pinned
    minute: int | None = None
    fan: str | None = None
    units: int = 0
    start_minute: int | None = None
    end_minute: int | None = None
    reason: str = ""
    yields: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FanTime:
    """Fan units that blew at one turnaround; an end of None: they are still on."""

    turnaround_id: str
    fan: str
    units: int
    start_minute: int
    end_minute: int | None = None

    def __post_init__(self) -> None:
        """Air comes from a unit and takes time."""
        label = f"fan {self.fan} at {self.turnaround_id}"
        if not self.units > 0:
            raise DayError.of(f"{label}: units", "more than 0", self.units)
        if self.end_minute is not None and not self.end_minute > self.start_minute:
            expected = f"after the start {self.start_minute}"
            raise DayError.of(f"{label}: end", expected, self.end_minute)


class Found(StrEnum):
    """What people found at one wheel, or did there."""

    NO_FINDING = "no-finding"
    CHECKED = "plug-and-tyre-checked"
    WHEEL_CHANGED = "wheel-changed"
    BRAKE_REPLACED = "brake-replaced"
    WEAR_PIN = "wear-pin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A finding at one brake position; ``wear_pin_mm`` is what the pin still shows."""

    turnaround_id: str
    minute: int
    position: str
    found: Found
    wear_pin_mm: float | None = None
