"""Times as the page shows them: UTC first, the station's local time beside it."""

from dataclasses import dataclass
from datetime import tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from scheduler.clock import Clock
from scheduler.plan import Plan
from scheduler.report.words import clock_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Time:
    """One instant in words; ``minute`` orders it."""

    minute: int
    utc: str
    local: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Turns minutes of a plan into times."""

    clock: Clock
    zone: tzinfo | None

    @classmethod
    def of(cls, plan: Plan) -> "Times":
        """Make the times of a plan's day; UTC alone where its zone is not known."""
        return cls(clock=clock_of(plan), zone=_zone(plan.time_zone))

    def at(self, minute: int) -> Time:
        """Time of a minute."""
        return Time(
            minute=minute, utc=self.clock.short(minute), local=self.local(minute)
        )

    def maybe(self, minute: int | None) -> Time | None:
        """Time of a minute that may not be there."""
        return None if minute is None else self.at(minute)

    def local(self, minute: int) -> str:
        """``HH:MM`` at the station, with ``+1`` or ``-1`` on a neighbouring day."""
        if self.zone is None:
            return self.clock.short(minute)
        there = self.clock.utc(minute).astimezone(self.zone).replace(tzinfo=None)
        start = self.clock.start.replace(tzinfo=None)
        days = (there - start).days
        mark = f"{days:+d}" if days else ""
        return f"{there:%H:%M}{mark}"

    def span(self, start: int, end: int) -> str:
        """Two times with a dash, UTC."""
        return f"{self.clock.short(start)}–{self.clock.short(end)}"


def age_text(minutes: int) -> str:
    """Duration in hours and minutes."""
    hours, rest = divmod(max(minutes, 0), 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"


def whole_hours(first: int, last: int, step: int = 60) -> range:
    """Minutes of the full hours, or steps of them, within two minutes."""
    return range(-(-first // step) * step, last + 1, step)


def _zone(name: str) -> tzinfo | None:
    if name == "UTC":
        return None
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return None
