"""One arrival and its departure."""

from dataclasses import dataclass, field
from enum import StrEnum

from scheduler.day.crews import Duty
from scheduler.errors import DayError


class Basis(StrEnum):
    """How firm a time is (A-CDM prefixes S, E or T, A)."""

    SCHEDULED = "scheduled"
    ESTIMATED = "estimated"
    ACTUAL = "actual"


class Reverse(StrEnum):
    """Reverse thrust planned or used on the rollout."""

    NONE = "none"
    IDLE = "idle"
    FULL = "full"


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """What is known of a landing; None where it is not."""

    weight_kg: float | None = None
    touchdown_speed_m_per_s: float | None = None
    touchdown_m: float | None = None
    runway: str | None = None
    exit: str | None = None
    reverse: Reverse | None = None
    deceleration_m_per_s2: float | None = None
    taxi_in_minutes: int | None = None
    taxi_stops: int | None = None
    residual_k: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """What is known of the departure; None where it is not."""

    take_off_weight_kg: float | None = None
    v1_m_per_s: float | None = None
    taxi_out_minutes: int | None = None
    ctot_minute: int | None = None
    load_close_minute: int | None = None
    removable_load_kg: float | None = None
    load_step_kg: float | None = None
    crew_limit_minute: int | None = None
    gear_down_minutes: int = 0
    table_minutes: int | None = None
    runway: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnaround:
    """One arrival and its departure.

    ``target_off_block_minute`` is the later end of ground handling (A over T over S);
    delay is counted from it and no off-block is planned before it.
    ``rotation_minutes`` lie between the off-block of the same tail's turnaround before
    this one and this in-block. ``duties`` is work that must be done before off-block.
    A ``cancelled`` departure keeps its stand and takes nothing else.
    """

    id: str
    tail: str
    stand: str
    in_block_minute: int
    in_block_basis: Basis
    target_off_block_minute: int
    off_block_basis: Basis
    landing: Landing = field(default_factory=Landing)
    departure: Departure = field(default_factory=Departure)
    rotation_minutes: int | None = None
    duties: tuple[Duty, ...] = ()
    cancelled: bool = False

    def __post_init__(self) -> None:
        """Off-block comes after in-block."""
        if not self.target_off_block_minute > self.in_block_minute:
            raise DayError.of(
                f"turnaround {self.id}: off-block",
                "after in-block",
                f"{self.target_off_block_minute} against {self.in_block_minute}",
            )
