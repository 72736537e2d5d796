"""Entries of earlier days → counts per brake position.

A brake that was replaced begins anew: what was before is not counted. Entries of the
day that is looked at, and of later days, are left out: they are computed again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from scheduler.day import Found
from scheduler.errors import DayError
from scheduler.ledger.entry import Entry, Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The day that is looked at, and how many days back hot stops count."""

    station: str
    day: date
    days: int = 30

    def __post_init__(self) -> None:
        """There is at least one day."""
        if not self.days > 0:
            raise DayError.of("window: days", "1 or more", self.days)

    def is_before(self, entry: Entry) -> bool:
        """Whether an entry belongs to the past of this day."""
        on = date.fromisoformat(entry.day)
        return on < self.day or (on == self.day and entry.station != self.station)

    def is_recent(self, entry: Entry) -> bool:
        """Whether an entry of the past lies within the days that count."""
        on = date.fromisoformat(entry.day)
        return on > self.day - timedelta(days=self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What the ledger knows of one brake position, since its brake was last replaced.

    ``hot_stops`` are those within the window; all other figures are over all days.
    """

    hot_stops: int = 0
    landings: int = 0
    accelerate_stops: int = 0
    oxidation_dose: float = 0.0
    checks: int = 0
    wear_pin_mm: float | None = None
    since: str | None = None


def past_of(entries: Iterable[Entry], window: Window) -> dict[tuple[str, str], Past]:
    """Count per (tail, position)."""
    by_brake: dict[tuple[str, str], list[Entry]] = {}
    for entry in entries:
        if window.is_before(entry):
            by_brake.setdefault((entry.tail, entry.position), []).append(entry)
    return {key: _count(mine, window) for key, mine in by_brake.items()}


def _count(entries: list[Entry], window: Window) -> Past:
    ordered = sorted(entries, key=lambda one: one.at_utc)
    replaced = [one.at_utc for one in ordered if one.found == Found.BRAKE_REPLACED]
    start = replaced[-1] if replaced else ""
    since = [one for one in ordered if one.at_utc > start]
    stops = [one for one in since if one.kind is not Kind.FINDING]
    findings = [one for one in since if one.kind is Kind.FINDING]
    pins = [one.wear_pin_mm for one in findings if one.wear_pin_mm is not None]
    return Past(
        hot_stops=sum(one.is_hot and window.is_recent(one) for one in stops),
        landings=sum(one.kind is Kind.LANDING for one in stops),
        accelerate_stops=sum(one.kind is Kind.ACCELERATE_STOP for one in stops),
        oxidation_dose=sum(one.oxidation_dose or 0.0 for one in stops),
        checks=len(findings),
        wear_pin_mm=pins[-1] if pins else None,
        since=start or (ordered[0].at_utc if ordered else None),
    )
