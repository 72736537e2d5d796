"""The day: turnarounds, stands, fans, runway, curfews, rules. Valid once constructed.

Every record is an *instance* (what is given): minutes since 00:00 UTC, SI, kelvin.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise
from typing import TypeVar

from scheduler.clock import Clock
from scheduler.errors import DayError
from thermal import Aircraft, RunwayCondition

Record = TypeVar("Record")


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


class CurfewEvent(StrEnum):
    """Which event a curfew forbids."""

    OFF_BLOCK = "off_block"
    TAKE_OFF = "take_off"


@dataclass(frozen=True, slots=True, kw_only=True)
class Exit:
    """A runway exit: distance from the landing threshold and speed it takes."""

    name: str
    distance_m: float
    speed_m_per_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Runway:
    """A runway in one direction. Slope is positive uphill in that direction."""

    name: str
    heading_deg: float
    landing_distance_m: float
    slope_fraction: float = 0.0
    spacing_minutes: int = 2
    condition: RunwayCondition = RunwayCondition.DRY
    exits: tuple[Exit, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A stand: taxi times, shelter (0 open, 1 calm), where a parked nose points."""

    name: str
    taxi_in_minutes: int
    taxi_out_minutes: int
    shelter_fraction: float = 1.0
    heading_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FanType:
    """Identical cooling fans: how many, how long to move and set up, when manned."""

    name: str
    units: int
    air_speed_m_per_s: float
    setup_minutes: int
    removal_minutes: int
    move_minutes: int
    from_minute: int
    to_minute: int
    remote: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ApproachRule:
    """The operator's threshold for sending a person to a wheel.

    The figures must lie at or below these values (bound of the samples) and the given
    minutes after in-block must have passed. ``at_raised`` lets people approach at
    raised plug risk; nothing lets them at high.
    """

    max_plug_k: float
    max_stack_k: float
    minutes_after_in_block: int = 0
    at_raised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Curfew:
    """Minutes ``from … to`` (end excluded) in which the event is not allowed."""

    from_minute: int
    to_minute: int
    event: CurfewEvent = CurfewEvent.TAKE_OFF

    def forbids(self, off_block_minute: int, take_off_minute: int) -> bool:
        """Whether a departure at these minutes falls into the curfew."""
        at_off_block = self.event is CurfewEvent.OFF_BLOCK
        minute = off_block_minute if at_off_block else take_off_minute
        return self.from_minute <= minute < self.to_minute


@dataclass(frozen=True, slots=True, kw_only=True)
class DelayCost:
    """Cost of a delay, from breakpoints (delay minute from which, cost per minute).

    Breakpoints start at minute zero and rise; costs per minute do not fall, so the
    cost is convex. Jumps (delay minute, amount) come on top from that minute on.
    """

    rates: tuple[tuple[int, int], ...] = ((0, 1),)
    jumps: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        """Refuse rates that do not start at zero, do not rise, or are negative."""
        starts = [start for start, _ in self.rates]
        rates = [rate for _, rate in self.rates]
        if not (starts and starts[0] == 0 and all(a < b for a, b in pairwise(starts))):
            raise DayError.of("delay cost", "rising breakpoints from 0", starts)
        if not (rates[0] >= 0 and all(a <= b for a, b in pairwise(rates))):
            raise DayError.of("delay cost", "rates that never fall", rates)
        if not all(minute > 0 and amount >= 0 for minute, amount in self.jumps):
            raise DayError.of("delay cost", "jumps after 0, not negative", self.jumps)

    def of(self, delay_minutes: int) -> int:
        """Cost of a delay of so many minutes; early or on time costs nothing."""
        ends = [start for start, _ in self.rates[1:]] + [max(delay_minutes, 0)]
        total = sum(
            rate * max(0, min(end, delay_minutes) - start)
            for (start, rate), end in zip(self.rates, ends, strict=True)
        )
        return total + sum(add for minute, add in self.jumps if delay_minutes >= minute)


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherRow:
    """Weather from ``minute`` on. ``spread_k`` is one standard deviation."""

    minute: int
    temperature_k: float
    wind_m_per_s: float
    wind_direction_deg: float | None
    pressure_pa: float
    source: str
    spread_k: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Tail:
    """One aircraft: type, brake positions by the operator's names, wear, defects.

    The first half of ``positions`` is the left side, the second half the right.
    ``wear`` is 0 (new) … 1 (fully worn) per position, None where unknown.
    ``inoperative`` names positions whose brake is locked out.
    """

    registration: str
    aircraft: str
    positions: tuple[str, ...]
    wear: tuple[float | None, ...]
    inoperative: tuple[str, ...] = ()
    reverser_inoperative: bool = False
    onboard_fan_inoperative: bool = False
    anti_skid_inoperative: bool = False
    automatic_braking_inoperative: bool = False

    def __post_init__(self) -> None:
        """One wear entry per position; defects name positions that exist."""
        if len(self.wear) != len(self.positions):
            raise DayError.of(
                f"tail {self.registration}: wear",
                f"{len(self.positions)} entries",
                len(self.wear),
            )
        unknown = set(self.inoperative) - set(self.positions)
        if unknown:
            raise DayError.of(
                f"tail {self.registration}: inoperative",
                "positions of this tail",
                sorted(unknown),
            )


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnaround:
    """One arrival and its departure.

    ``target_off_block_minute`` is the later end of ground handling (A over T over S);
    delay is counted from it and no off-block is planned before it.
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

    def __post_init__(self) -> None:
        """Off-block comes after in-block."""
        if not self.target_off_block_minute > self.in_block_minute:
            raise DayError.of(
                f"turnaround {self.id}: off-block",
                "after in-block",
                f"{self.target_off_block_minute} against {self.in_block_minute}",
            )


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
class Station:
    """The place and its rules.

    ``parking_brake_set`` at the stand is None if not given. Onboard fans run for
    ``onboard_fan_minutes`` from in-block on; ``stop_factor`` is for `stop_margin`.
    """

    name: str
    elevation_m: float
    time_zone: str
    runways: tuple[Runway, ...]
    stands: tuple[Stand, ...]
    fans: tuple[FanType, ...]
    approach: ApproachRule
    curfews: tuple[Curfew, ...] = ()
    delay_cost: DelayCost = field(default_factory=DelayCost)
    stand_buffer_minutes: int = 5
    plug_check_minutes: int = 20
    wind_credit: bool = False
    parking_brake_set: bool | None = None
    onboard_fan_minutes: int = 30
    limit_confidence: float = 0.99
    bound_confidence: float = 0.95
    hold_minutes: int = 360
    stop_factor: float = 1.15

    def __post_init__(self) -> None:
        """Names are unique; there is a runway and a stand."""
        for label, records in (
            ("runways", self.runways),
            ("stands", self.stands),
            ("fans", self.fans),
        ):
            _check_unique(label, (record.name for record in records))
        if not (self.runways and self.stands):
            raise DayError.of("station", "at least one runway and one stand", "none")


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """Everything that is given for one day at one station."""

    name: str
    clock: Clock
    station: Station
    aircraft: tuple[Aircraft, ...]
    tails: tuple[Tail, ...]
    weather: tuple[WeatherRow, ...]
    turnarounds: tuple[Turnaround, ...]
    checks: tuple[PlugCheck, ...] = ()
    readings: tuple[Reading, ...] = ()
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Cross-references exist, ids are unique, weather is in time order."""
        _check_unique("aircraft", (record.name for record in self.aircraft))
        _check_unique("tails", (record.registration for record in self.tails))
        _check_unique("turnarounds", (record.id for record in self.turnarounds))
        minutes = [row.minute for row in self.weather]
        if not (minutes and all(a < b for a, b in pairwise(minutes))):
            raise DayError.of("weather", "rows in time order", minutes)
        for turnaround in self.turnarounds:
            self.stand_of(turnaround)
            self.aircraft_of(turnaround)
            self.runway_of(turnaround)

    def tail_of(self, turnaround: Turnaround) -> Tail:
        """Tail of a turnaround."""
        return _find("tail", self.tails, "registration", turnaround.tail)

    def aircraft_of(self, turnaround: Turnaround) -> Aircraft:
        """Aircraft record of a turnaround's tail."""
        name = self.tail_of(turnaround).aircraft
        return _find("aircraft type", self.aircraft, "name", name)

    def stand_of(self, turnaround: Turnaround) -> Stand:
        """Stand of a turnaround."""
        return _find("stand", self.station.stands, "name", turnaround.stand)

    def runway_of(self, turnaround: Turnaround) -> Runway:
        """Landing runway of a turnaround; the station's first where none is given."""
        name = turnaround.landing.runway
        if name is None:
            return self.station.runways[0]
        return _find("runway", self.station.runways, "name", name)

    def fan(self, name: str) -> FanType:
        """Fan type by its name."""
        return _find("fan", self.station.fans, "name", name)

    def taxi_out_minutes(self, turnaround: Turnaround) -> int:
        """Taxi-out time: the turnaround's own, else its stand's."""
        given = turnaround.departure.taxi_out_minutes
        return self.stand_of(turnaround).taxi_out_minutes if given is None else given

    def taxi_in_minutes(self, turnaround: Turnaround) -> int:
        """Taxi-in time: the turnaround's own, else its stand's."""
        given = turnaround.landing.taxi_in_minutes
        return self.stand_of(turnaround).taxi_in_minutes if given is None else given

    def last_minute(self, turnaround: Turnaround) -> int:
        """Last off-block minute the plan looks at for this turnaround."""
        return turnaround.in_block_minute + self.station.hold_minutes


def _check_unique(label: str, names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise DayError.of(label, "unique names", name)
        seen.add(name)


def _find(label: str, records: tuple[Record, ...], key: str, name: str) -> Record:
    for record in records:
        if getattr(record, key) == name:
            return record
    known = ", ".join(str(getattr(record, key)) for record in records)
    raise DayError.of(label, f"one of {known}", name)
