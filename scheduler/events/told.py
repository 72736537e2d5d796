"""An entry with the day before and after it, and how its parts read."""

from dataclasses import dataclass

from scheduler.events.entry import Entry
from scheduler.events.state import State
from scheduler.events.stay import Stay


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """An entry with the states before and after it."""

    entry: Entry
    before: State
    after: State

    @property
    def was(self) -> Stay:
        """Turnaround before."""
        return self.before.stays[self.entry.turnaround_id]

    @property
    def now(self) -> Stay:
        """Turnaround after."""
        return self.after.stays[self.entry.turnaround_id]

    @property
    def at(self) -> str:
        """Time of the entry."""
        return f"{self.after.at(self.entry.at_minute)} UTC"

    def short(self, minute: int) -> str:
        """Time of day of another minute."""
        return self.after.at(minute)


def against(minute: int, planned: int) -> str:
    """Say how far from what was planned."""
    if minute == planned:
        return "as planned"
    return f"{abs(minute - planned)} min {'later' if minute > planned else 'earlier'}"


def units_of(count: int, fan: str | None) -> str:
    """Count units of a fan type."""
    return f"{count} unit{'s' if count != 1 else ''} of {fan}"


def span(told: Told) -> str:
    """Say from when to when."""
    end = told.entry.until_minute
    until = "until further notice" if end is None else f"to {told.short(end)}"
    start = told.short(told.entry.at_minute)
    return f"from {start} {until}, UTC"
