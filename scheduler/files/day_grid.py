"""The minute grid of the scenario's day, for every file that holds times.

A time that lies more than two days off is a slip of the date, not a long day.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from scheduler.clock import DAY_MINUTES, Clock
from scheduler.files.cells import Cells

_NEIGHBOUR_MINUTES = 2 * DAY_MINUTES
_NO_DAY = date(2000, 1, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayGrid:
    """Minute grid; ``day`` None where no file tells the day (that is a fault)."""

    day: date | None

    @property
    def clock(self) -> Clock:
        """Clock of the day; of a stand-in where the day is not known."""
        return Clock(day=self.day or _NO_DAY)

    @property
    def expected(self) -> str:
        """What a time should be, for a fault."""
        return f"a time within two days of {self.day}"

    def is_near(self, minute: float) -> bool:
        """Whether a minute can belong to the day; true where it is not known."""
        return self.day is None or abs(minute) <= _NEIGHBOUR_MINUTES

    def minutes(self, cells: Cells, column: str, on: date | None) -> float | None:
        """Minutes since the day's start of a cell, with the seconds."""
        found = cells.instant(column, on)
        if found is None:
            return None
        minutes = (found - self.clock.start) / timedelta(minutes=1)
        if not self.is_near(minutes):
            cells.add(column, self.expected)
            return None
        return minutes
