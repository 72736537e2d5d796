"""The place: runways, stands, cooling fans."""

from dataclasses import dataclass

from scheduler.errors import DayError
from thermal import RunwayCondition


@dataclass(frozen=True, slots=True, kw_only=True)
class Exit:
    """A runway exit: distance from the landing threshold and speed it takes."""

    name: str
    distance_m: float
    speed_m_per_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Runway:
    """A runway in one direction. Slope is positive uphill in that direction.

    Take-offs are ``spacing_minutes`` or more apart, and ``arrival_gap_minutes`` from
    every landing of the day on the same runway (0: landings do not matter).
    ``closures`` are minutes from … to (end excluded) without take-offs.
    """

    name: str
    heading_deg: float
    landing_distance_m: float
    slope_fraction: float = 0.0
    spacing_minutes: int = 2
    condition: RunwayCondition = RunwayCondition.DRY
    exits: tuple[Exit, ...] = ()
    closures: tuple[tuple[int, int], ...] = ()
    arrival_gap_minutes: int = 0

    def is_closed(self, minute: int) -> bool:
        """Whether no take-off may begin at this minute."""
        return any(start <= minute < end for start, end in self.closures)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A stand: taxi times, shelter (0 open, 1 calm), where a parked nose points.

    ``zone`` is where its fans come from and go to, for exact moves. Where
    ``tow_off_minutes`` is given, an aircraft that has to stay can be towed away in so
    many minutes, so that the next arrival gets the stand.
    """

    name: str
    taxi_in_minutes: int
    taxi_out_minutes: int
    shelter_fraction: float = 1.0
    heading_deg: float | None = None
    zone: str | None = None
    tow_off_minutes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outage:
    """Fan units that are not there from … to (end excluded)."""

    units: int
    from_minute: int
    to_minute: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneMove:
    """Minutes to bring a fan from one zone to another, or within one."""

    from_zone: str
    to_zone: str
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FanType:
    """Identical cooling fans: how many, how long to move and set up, when manned.

    One unit cools ``brakes_per_unit`` brakes, all of them where that is None. ``sets``
    are the numbers of units that one aircraft may get, every number up to the full set
    where it is empty; `sets_for` lists them. ``outages`` take units away for a time.
    ``home`` gives the units per zone at the start of the day, for exact moves;
    ``move_minutes`` is the pooled mean.
    """

    name: str
    units: int
    air_speed_m_per_s: float
    setup_minutes: int
    removal_minutes: int
    move_minutes: int
    from_minute: int
    to_minute: int
    remote: bool = False
    brakes_per_unit: int | None = None
    sets: tuple[int, ...] = ()
    outages: tuple[Outage, ...] = ()
    home: tuple[tuple[str, int], ...] = ()

    def __post_init__(self) -> None:
        """Refuse empty sets, and homes that do not hold all units."""
        if self.sets and min(self.sets) <= 0:
            raise DayError.of(f"fan {self.name}: sets", "numbers above 0", self.sets)
        if self.home and sum(units for _, units in self.home) != self.units:
            raise DayError.of(
                f"fan {self.name}: home", f"{self.units} units in all", self.home
            )

    def sets_for(self, brake_count: int) -> tuple[int, ...]:
        """Numbers of units that an aircraft with so many brakes may get, rising."""
        full = (
            1
            if self.brakes_per_unit is None
            else -(-brake_count // self.brakes_per_unit)
        )
        wanted = self.sets or range(1, full + 1)
        return tuple(sorted({n for n in wanted if n <= min(full, self.units)}))

    def units_at(self, minute: int) -> int:
        """Units that are there at a minute."""
        away = sum(
            one.units
            for one in self.outages
            if one.from_minute <= minute < one.to_minute
        )
        return max(self.units - away, 0)

    @property
    def changes_at(self) -> tuple[int, ...]:
        """Minutes at which an outage begins or ends, rising."""
        ends = {one.to_minute for one in self.outages}
        return tuple(sorted({one.from_minute for one in self.outages} | ends))
