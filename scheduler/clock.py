"""Integer minutes since the day's start (00:00 UTC) and how they meet UTC.

Rounding to a minute is always to the safe side: a release later, a limit lower.
"""

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

DAY_MINUTES = 1440
_ROUNDING_NOISE_MINUTES = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """The minute grid of one operating day."""

    day: date

    @property
    def start(self) -> datetime:
        """Minute zero."""
        return datetime(self.day.year, self.day.month, self.day.day, tzinfo=UTC)

    def minute(self, instant: datetime) -> int:
        """Whole minute that contains ``instant`` (seconds are dropped)."""
        return (instant - self.start) // timedelta(minutes=1)

    def utc(self, minute: int) -> datetime:
        """Instant at which ``minute`` begins."""
        return self.start + timedelta(minutes=minute)

    def text(self, minute: int) -> str:
        """ISO 8601 with ``Z``, to the minute's second zero."""
        return self.utc(minute).strftime("%Y-%m-%dT%H:%M:%SZ")

    def short(self, minute: int) -> str:
        """``HH:MM``, with ``+1`` or ``-1`` behind it on a neighbouring day."""
        days = minute // DAY_MINUTES
        mark = f"{days:+d}" if days else ""
        return f"{minute // 60 % 24:02d}:{minute % 60:02d}{mark}"


def later_minute(minutes: float) -> int:
    """Round a release to the next whole minute, never earlier."""
    return math.ceil(minutes - _ROUNDING_NOISE_MINUTES)


def earlier_minute(minutes: float) -> int:
    """Round a deadline to the whole minute before, never later."""
    return math.floor(minutes + _ROUNDING_NOISE_MINUTES)
