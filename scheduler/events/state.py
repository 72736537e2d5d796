"""The day while the log is gone through, and what contradicts it."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from scheduler.clock import Clock
from scheduler.day import (
    Day,
    FanType,
    Finding,
    Outage,
    PlugCheck,
    Reading,
    Turnaround,
)
from scheduler.events.entry import FILE, Entry
from scheduler.events.stay import Stay

LAST_MINUTE = 4320  # end of what has no end yet: three days on


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """An entry that cannot be, after those before it."""

    entry: Entry
    column: str
    expected: str
    got: str

    @property
    def text(self) -> str:
        """The fault as all faults of files read."""
        place = f"{FILE}:{self.entry.line}: {self.column}"
        return f"{place}: expected {self.expected}, got {self.got}"


@dataclass(slots=True, kw_only=True)
class State:
    """Everything that entries change; `Day` records are built from it at the end."""

    day: Day
    stays: dict[str, Stay]
    outages: dict[str, list[Outage]]
    closures: dict[str, list[tuple[int, int]]]
    readings: list[Reading]
    checks: list[PlugCheck]
    findings: list[Finding]
    replaced: set[tuple[str, str]] = field(default_factory=set)
    faults: list[Contradiction] = field(default_factory=list)

    @property
    def clock(self) -> Clock:
        """Clock of the day."""
        return self.day.clock

    def at(self, minute: int) -> str:
        """Time of day for a message."""
        return self.clock.short(minute)

    def refuse(self, entry: Entry, column: str, expected: str, got: object) -> None:
        """Note that an entry cannot be."""
        found = str(got) if got not in (None, "") else "nothing"
        self.faults.append(
            Contradiction(entry=entry, column=column, expected=expected, got=found)
        )

    def refuse_time(self, entry: Entry, expected: str) -> None:
        """Note that the time of an entry cannot be."""
        self.refuse(entry, "time_utc", expected, self.at(entry.at_minute))

    def stay(self, entry: Entry) -> Stay:
        """Turnaround of an entry that is known to have one."""
        return self.stays[entry.turnaround_id]

    def fan_of(self, entry: Entry) -> FanType | None:
        """Fan type of an entry; None, and a fault, where there is none such."""
        fans = {fan.name: fan for fan in self.day.station.fans}
        fan = fans.get(entry.fan or "")
        if fan is None:
            self.refuse(entry, "fan", _one_of(fans), entry.fan)
        return fan

    def units_out(self, fan: str, minute: int) -> int:
        """Units of a type that are out of service at a minute."""
        return sum(
            one.units
            for one in self.outages[fan]
            if one.from_minute <= minute < one.to_minute
        )

    def units_on(self, fan: str, minute: int) -> int:
        """Units of a type that blow somewhere at a minute."""
        return sum(
            run.units
            for stay in self.stays.values()
            for run in stay.fans
            if run.fan == fan and run.is_on(minute)
        )


def begin(day: Day) -> State:
    """State of a day to which nothing was logged."""
    fans, runways = day.station.fans, day.station.runways
    return State(
        day=day,
        stays={one.id: _stay(day, one) for one in day.turnarounds},
        outages={fan.name: list(fan.outages) for fan in fans},
        closures={runway.name: list(runway.closures) for runway in runways},
        readings=list(day.readings),
        checks=list(day.checks),
        findings=list(day.findings),
    )


def _stay(day: Day, given: Turnaround) -> Stay:
    return Stay(
        given=given,
        stand=given.stand,
        in_block_minute=given.in_block_minute,
        in_block_basis=given.in_block_basis,
        target_minute=given.target_off_block_minute,
        off_block_basis=given.off_block_basis,
        taxi_in_minutes=day.taxi_in_minutes(given),
        handling_minutes=given.target_off_block_minute - given.in_block_minute,
        ctot_minute=given.departure.ctot_minute,
        is_cancelled=given.cancelled,
        pins={pin.kind: pin for pin in day.pins if pin.turnaround_id == given.id},
    )


def _one_of(names: Iterable[str]) -> str:
    known = ", ".join(names)
    return f"one of {known}" if known else "a fan (the station has none)"
