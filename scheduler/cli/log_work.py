"""One fact on its way into the log: checked against all before it, written, told."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING, Any

from scheduler.cli.log_times import Times, times_of
from scheduler.cli.log_words import Said
from scheduler.cli.registry import CommandError
from scheduler.errors import ScenarioError

if TYPE_CHECKING:
    from scheduler.clock import Clock
    from scheduler.day import Day
    from scheduler.events import Entry, Event
    from scheduler.events.log_file import LogFile
    from scheduler.events.state import State
    from scheduler.files.scenario import Scenario

_LABELS = {
    "time_utc": "time",
    "until_utc": "end",
    "indicated_c": "temperature",
    "speed_kt": "speed",
    "weight_kg": "weight",
    "wear_pin_mm": "wear pin",
    "undoes": "entry",
}


class FactWork:
    """One fact on its way into the log of a scenario."""

    def __init__(self, *, scenario: Scenario, log: LogFile, now: datetime) -> None:
        from scheduler.events import replay

        self._day: Day = scenario.planned
        self._entries = scenario.log.entries
        self._notes = scenario.log.notes
        self._log = log
        self._now = now
        self._before: State = replay(self._day, self._entries)

    @property
    def _clock(self) -> Clock:
        return self._day.clock

    def write(self, said: Said, by: str, folder: str) -> dict[str, Any]:
        """Check the fact against all before it, and log it."""
        from scheduler.events import replay

        times, cells = self._cells(said, by)
        entry = self._entry(cells)
        after = replay(self._day, (*self._entries, entry))
        self._refuse(entry, after)
        number = self._log.append(cells)
        text = self._text(entry, after, times)
        undo = f"heatslot log {folder} undo {number}" if entry.undoes is None else ""
        return {
            "entry": number,
            **{key: value for key, value in cells.items() if value},
            "text": text,
            "undo": undo,
            "notes": [*self._notes, *self._warnings(entry, times, after)],
        }

    def _cells(self, said: Said, by: str) -> tuple[Times, dict[str, str]]:
        from scheduler.events import Event

        event = Event(said.cells["event"])
        near = self._near(said.cells.get("turnaround", ""))
        times = times_of(event, said.times, near, self._clock, self._now)
        cells = {
            **said.cells,
            "time_utc": self._utc(times.minute),
            "until_utc": self._utc(times.until_minute),
            "logged_utc": f"{self._now:%Y-%m-%dT%H:%M:%SZ}",
            "by": by,
        }
        return times, _without_spare_fan(event, cells)

    def _near(self, turnaround: str) -> tuple[int, int]:
        """Minutes in which a fact is likely to be."""
        stay = self._before.stays.get(turnaround)
        if stay is None:
            return 0, 1439
        return stay.landing_minute, stay.target_minute

    def _utc(self, minute: int | None) -> str:
        return "" if minute is None else self._clock.text(minute)

    def _entry(self, cells: dict[str, str]) -> Entry:
        from scheduler.files.events_file import EventContext, read_entry

        number, context = self._log.next_number, EventContext.of(self._day)
        try:
            return read_entry(cells, number, context)
        except ScenarioError as error:
            faults = re.sub(r"(?m)^events\.csv:\d+: ", "", str(error))
            raise CommandError("; ".join(map(_plain, faults.splitlines()))) from None

    def _refuse(self, entry: Entry, after: State) -> None:
        """Refuse what cannot be, and an undo that leaves what rests on it."""
        from scheduler.events import title

        for fault in after.faults:
            if fault in self._before.faults:
                continue
            if fault.entry is entry:
                text = f"{fault.column}: expected {fault.expected}, got {fault.got}"
                raise CommandError(_plain(text))
            rests = f"entry {fault.entry.number} ({title(fault.entry, after)})"
            raise CommandError(
                f"entry: expected one that nothing rests on, got {entry.undoes}: "
                f"{rests} does, undo that first"
            )

    def _text(self, entry: Entry, after: State, times: Times) -> str:
        from scheduler.events import said, title

        if entry.undoes is not None:
            undone = next(one for one in self._entries if one.number == entry.undoes)
            return f"{title(undone, after)} no longer counts (entry {undone.number})."
        text = said(entry, self._before, after)
        if not times.is_now:
            return text
        return f"{text} Its time is now, {after.at(entry.at_minute)} UTC."

    def _warnings(self, entry: Entry, times: Times, after: State) -> list[str]:
        """Say what is logged all the same, and should be looked at."""
        found: list[str] = []
        ahead = (times.minute or 0) - self._clock.minute(self._now)
        if times.minute is not None and not entry.event.is_plan and 0 < ahead <= 720:
            found.append(f"that is {ahead} min from now")
        if after.faults:
            found.append("the log contradicts itself elsewhere; see heatslot check")
        return found


def _without_spare_fan(event: Event, cells: dict[str, str]) -> dict[str, str]:
    """Leave out the station's only fan where the fact has none."""
    with_fan = {"fan-on", "fan-off", "fan-out", "fan-back"}
    if event.value in with_fan or cells.get("pin") == "fan":
        return cells
    return {name: text for name, text in cells.items() if name != "fan"}


def _plain(fault: str) -> str:
    """Name a column as people do."""
    column, _, rest = fault.partition(": ")
    return f"{_LABELS.get(column, column)}: {rest}"
