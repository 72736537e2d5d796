"""What a plan in the making has taken: fan units, crews, runway minutes, slots."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from scheduler.choices import Choices, Cooling, DutyWays
from scheduler.day import Day
from scheduler.greedy.units import Units
from scheduler.plan import PlannedDuty
from scheduler.windows import gone_take_offs


@dataclass(slots=True, kw_only=True)
class Taken:
    """Resources taken so far; `take` is the only thing that changes them."""

    day: Day
    units: Units
    work: dict[str, Counter[int]] = field(default_factory=dict)
    take_offs: dict[str, list[tuple[int, str]]] = field(default_factory=dict)

    @classmethod
    def of(cls, day: Day) -> "Taken":
        """Nothing taken yet."""
        return cls(day=day, units=Units.of(day))

    def has_units(self, way: Cooling, one: Choices) -> bool:
        """Whether the fan units of a way to cool are free."""
        return self.units.has(way, self.day.stand_of(one.turnaround).zone)

    def earliest_work(
        self, one: Choices, way: Cooling
    ) -> tuple[PlannedDuty, ...] | None:
        """Earliest free starts of the work that goes with a way to cool."""
        planned: list[PlannedDuty] = []
        for ways in one.duties:
            if ways.by_option and not way.option.needs_check:
                continue
            start = self._earliest(ways, planned)
            if start is None:
                return None
            planned.append(ways.planned(*start))
        return tuple(planned)

    def _earliest(
        self, ways: DutyWays, planned: Sequence[PlannedDuty]
    ) -> tuple[str | None, int] | None:
        return next(
            (
                (crew, start)
                for crew, start in ways.starts
                if crew is None or self._has_crew(crew, start, ways, planned)
            ),
            None,
        )

    def _has_crew(
        self, name: str, start: int, ways: DutyWays, planned: Sequence[PlannedDuty]
    ) -> bool:
        crew = next(one for one in self.day.station.crews if one.name == name)
        own: Counter[int] = Counter()
        for duty in planned:
            if duty.crew == name:
                own.update(
                    range(duty.start_minute, duty.end_minute + crew.move_minutes)
                )
        busy = self.work.get(name, Counter())
        minutes = range(start, ways.end(start) + crew.move_minutes)
        return all(busy[at] + own[at] < crew.count for at in minutes)

    def is_free(self, one: Choices, take_off: int) -> bool:
        """Whether runway and slots take one more take-off at a minute."""
        others = self.take_offs.get(one.runway, ())
        gap = self._gap(one)
        return all(
            take_off >= other + gap(wake, one.wake or "")
            or take_off <= other - gap(one.wake or "", wake)
            for other, wake in others
        ) and self._has_slot(one.runway, take_off)

    def _gap(self, one: Choices) -> Callable[[str, str], int]:
        base = self.day.departure_runway_of(one.turnaround).spacing_minutes
        table = self.day.station.wake
        return lambda leader, follower: max(
            base, 1, 0 if table is None else table.minutes(leader, follower)
        )

    def _has_slot(self, runway: str, take_off: int) -> bool:
        gone = gone_take_offs(self.day)
        for slot in self.day.station.slots:
            inside = range(slot.from_minute, slot.to_minute)
            if take_off not in inside or slot.runway not in (None, runway):
                continue
            used = sum(
                minute in inside
                for name, taken in self.take_offs.items()
                if slot.runway in (None, name)
                for minute, _ in taken
            ) + sum(
                minute in inside
                for name, minutes in gone.items()
                if slot.runway in (None, name)
                for minute in minutes
            )
            if used >= slot.take_offs:
                return False
        return True

    def take(
        self,
        one: Choices,
        way: Cooling,
        duties: Sequence[PlannedDuty],
        off_block_minute: int,
    ) -> None:
        """Take everything that goes with a departure."""
        self.units.take(way, self.day.stand_of(one.turnaround).zone)
        for duty in duties:
            if duty.crew is not None:
                crews = self.day.station.crews
                crew = next(it for it in crews if it.name == duty.crew)
                minutes = range(duty.start_minute, duty.end_minute + crew.move_minutes)
                self.work.setdefault(duty.crew, Counter()).update(minutes)
        take_off = off_block_minute + one.taxi_out_minutes
        self.take_offs.setdefault(one.runway, []).append((take_off, one.wake or ""))
