"""Fan units that are free, by a pooled move time or unit by unit with exact moves."""

from collections import Counter
from dataclasses import dataclass, field

from scheduler.choices import Cooling
from scheduler.day import Day, FanType


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One unit at work in a zone, from … to."""

    zone: str
    start: int
    end: int


@dataclass(slots=True, kw_only=True)
class Units:
    """Units taken so far, by fan type."""

    fans: dict[str, FanType]
    moves: dict[tuple[str, str], int] | None
    busy: dict[str, Counter[int]] = field(default_factory=dict)
    stays: dict[str, list[list[Stay]]] = field(default_factory=dict)

    @classmethod
    def of(cls, day: Day) -> "Units":
        """All units free, where the day begins."""
        station = day.station
        return cls(
            fans={fan.name: fan for fan in station.fans},
            moves=day.move_minutes() if station.exact_moves else None,
            busy={fan.name: Counter() for fan in station.fans},
            stays={
                fan.name: [
                    [Stay(zone=zone, start=-1, end=-1)]
                    for zone, units in fan.home
                    for _ in range(units)
                ]
                for fan in station.fans
            },
        )

    def has(self, way: Cooling, zone: str | None) -> bool:
        """Whether the units of a way to cool are free."""
        if way.option.fan is None:
            return True
        fan, busy = self.fans[way.option.fan], self.busy[way.option.fan]
        minutes = range(way.busy_from_minute, way.busy_to_minute)
        if any(busy[at] + way.option.units > fan.units_at(at) for at in minutes):
            return False
        if self.moves is None:
            return True
        return len(self._free(way, fan.name, zone or "")) >= way.option.units

    def take(self, way: Cooling, zone: str | None) -> None:
        """Take the units of a way to cool."""
        name = way.option.fan
        if name is None:
            return
        for at in range(way.busy_from_minute, way.busy_to_minute):
            self.busy[name][at] += way.option.units
        if self.moves is not None:
            stay = Stay(
                zone=zone or "", start=way.busy_from_minute, end=way.busy_to_minute
            )
            for unit in self._free(way, name, stay.zone)[: way.option.units]:
                self.stays[name][unit].append(stay)
                self.stays[name][unit].sort(key=lambda one: one.start)

    def _free(self, way: Cooling, name: str, zone: str) -> list[int]:
        """Units that can come from their stay before and go on to the one after."""
        return [
            number
            for number, stays in enumerate(self.stays[name])
            if self._fits(stays, way, zone, self.fans[name].move_minutes)
        ]

    def _fits(self, stays: list[Stay], way: Cooling, zone: str, pooled: int) -> bool:
        before = [one for one in stays if one.start < way.busy_from_minute]
        after = [one for one in stays if one.start >= way.busy_from_minute]
        last, moves = before[-1], self.moves or {}
        come = last.end + moves.get((last.zone, zone), pooled)
        if last.start < 0:
            come = moves.get((last.zone, zone), pooled)
        if come > way.busy_from_minute:
            return False
        if not after:
            return True
        following = after[0]
        return way.busy_to_minute + moves.get((zone, following.zone), pooled) <= (
            following.start
        )
