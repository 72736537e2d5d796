"""The small scenario of `scenario_folder`, and entries of its log."""

import tempfile
from functools import cache
from pathlib import Path

from scheduler.day import Day
from scheduler.events import Entry, Event, apply_events
from scheduler.files.scenario import open_scenario
from tests.scheduler.scenario_folder import write_folder


@cache
def planned() -> Day:
    """Read the day without a log, once: A1 09:05 to 09:50, A2 10:05 to 10:50."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "day"
        folder.mkdir()
        return open_scenario(write_folder(folder)).planned


def minute(text: str) -> int:
    """Minute of ``HH:MM``."""
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)


def log(*facts: tuple[str, str, str] | tuple[str, str, str, dict[str, object]]):
    """Entries from (event, turnaround, time, more fields), numbered from 2."""
    return tuple(
        Entry(
            number=number,
            line=number,
            event=Event(fact[0]),
            turnaround_id=fact[1],
            minute=minute(fact[2]) if fact[2] else None,
            **(fact[3] if len(fact) > 3 else {}),
        )
        for number, fact in enumerate(facts, start=2)
    )


def day_after(*facts) -> Day:
    """Build the day after these facts."""
    return apply_events(planned(), log(*facts))


def turnaround(day: Day, name: str = "A1"):
    """Turnaround of a day by its id."""
    (found,) = (one for one in day.turnarounds if one.id == name)
    return found
