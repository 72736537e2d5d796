"""The whole day, valid once constructed."""

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from scheduler.clock import Clock
from scheduler.day.facts import (
    FanTime,
    Finding,
    Pin,
    PlugCheck,
    Reading,
    RejectedTakeOff,
)
from scheduler.day.fleet import Tail
from scheduler.day.lookup import Record, check_unique, find
from scheduler.day.place import FanType, Runway, Stand
from scheduler.day.station import Station
from scheduler.day.turnaround import Turnaround
from scheduler.day.weather import WeatherRow
from scheduler.errors import DayError
from thermal import Aircraft


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """Everything that is given for one day at one station.

    ``wake_categories`` gives (aircraft type, category) where a type states one.
    ``fan_times`` and ``findings`` are as logged; ``airborne`` holds (id, minute).
    ``now_minute`` is set when a day that has begun is planned again;
    ``asked_rollouts`` are turnarounds whose longer rollout has been asked for.
    """

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
    rejected: tuple[RejectedTakeOff, ...] = ()
    pins: tuple[Pin, ...] = ()
    wake_categories: tuple[tuple[str, str], ...] = ()
    now_minute: int | None = None
    asked_rollouts: tuple[str, ...] = ()
    fan_times: tuple[FanTime, ...] = ()
    airborne: tuple[tuple[str, int], ...] = ()
    findings: tuple[Finding, ...] = ()
    _found: dict[tuple[str, str], Any] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )

    def __post_init__(self) -> None:
        """Cross-references exist, ids are unique, weather is in time order."""
        check_unique("aircraft", (record.name for record in self.aircraft))
        check_unique("tails", (record.registration for record in self.tails))
        check_unique("turnarounds", (record.id for record in self.turnarounds))
        minutes = [row.minute for row in self.weather]
        if not (minutes and all(a < b for a, b in pairwise(minutes))):
            raise DayError.of("weather", "rows in time order", minutes)
        for turnaround in self.turnarounds:
            self.stand_of(turnaround)
            self.aircraft_of(turnaround)
            self.runway_of(turnaround)
            self.departure_runway_of(turnaround)

    def tail_of(self, turnaround: Turnaround) -> Tail:
        """Tail of a turnaround."""
        return self._find("tail", self.tails, "registration", turnaround.tail)

    def aircraft_of(self, turnaround: Turnaround) -> Aircraft:
        """Aircraft record of a turnaround's tail."""
        name = self.tail_of(turnaround).aircraft
        return self._find("aircraft type", self.aircraft, "name", name)

    def stand_of(self, turnaround: Turnaround) -> Stand:
        """Stand of a turnaround."""
        return self._find("stand", self.station.stands, "name", turnaround.stand)

    def runway_of(self, turnaround: Turnaround) -> Runway:
        """Landing runway of a turnaround; the station's first where none is given."""
        name = turnaround.landing.runway
        if name is None:
            return self.station.runways[0]
        return self._find("runway", self.station.runways, "name", name)

    def departure_runway_of(self, turnaround: Turnaround) -> Runway:
        """Take-off runway: the departure's own, else the landing runway."""
        name = turnaround.departure.runway
        if name is None:
            return self.runway_of(turnaround)
        return self._find("runway", self.station.runways, "name", name)

    def _find(
        self, label: str, records: tuple[Record, ...], key: str, name: str
    ) -> Record:
        """Look a record up once; the day never changes."""
        found: Record | None = self._found.get((label, name))
        if found is None:
            found = find(label, records, key, name)
            self._found[label, name] = found
        return found

    def landing_minute(self, turnaround: Turnaround) -> int:
        """Minute of landing: in-block less taxi-in."""
        return turnaround.in_block_minute - self.taxi_in_minutes(turnaround)

    def wake_of(self, turnaround: Turnaround) -> str | None:
        """Wake category of the aircraft; None without a table or a category."""
        table = self.station.wake
        if table is None:
            return None
        aircraft = self.aircraft_of(turnaround)
        stated = dict(self.wake_categories).get(aircraft.name)
        return stated or table.category(aircraft.maximum_take_off_kg)

    def departure_gap(self, leader: Turnaround, follower: Turnaround) -> int:
        """Minutes from one take-off to the next; 0 on different runways."""
        runway = self.departure_runway_of(leader)
        if runway is not self.departure_runway_of(follower):
            return 0
        table = self.station.wake
        first, second = self.wake_of(leader), self.wake_of(follower)
        if table is None or first is None or second is None:
            return runway.spacing_minutes
        return max(runway.spacing_minutes, table.minutes(first, second))

    def move_minutes(self) -> dict[tuple[str, str], int]:
        """Minutes of a fan between zones, the same both ways unless both are given."""
        moves = self.station.zone_moves
        back = {(one.to_zone, one.from_zone): one.minutes for one in moves}
        there = {(one.from_zone, one.to_zone): one.minutes for one in moves}
        return {**back, **there}

    def fan(self, name: str) -> FanType:
        """Fan type by its name."""
        return self._find("fan", self.station.fans, "name", name)

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
