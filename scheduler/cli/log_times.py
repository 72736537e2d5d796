"""Times of a fact: as written, on the day that they must mean, or now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from scheduler.cli.registry import CommandError
from scheduler.clock import DAY_MINUTES, Clock

if TYPE_CHECKING:
    from scheduler.events import Event

_FAR_MINUTES = DAY_MINUTES // 2
_FORM = "a time as 14:02, 00:40+1 for the day after, or 2026-07-14T14:02Z"


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Minute of a fact and its end; ``is_now`` where nothing was given."""

    minute: int | None
    until_minute: int | None = None
    is_now: bool = False


def times_of(
    event: Event,
    texts: tuple[str, ...],
    near: tuple[int, int],
    clock: Clock,
    now: datetime,
) -> Times:
    """Minutes that the times of a fact mean.

    ``HH:MM`` without a day is the one closest to ``near``, the minutes in which the
    fact is likely to be; an end is the first such time after the beginning.

    Raises
    ------
    CommandError
        If a time cannot be read, or is needed and *now* is no good guess.
    """
    minutes = [_written(text, clock) for text in texts]
    if not minutes:
        return _now(event, near, clock, now)
    (first, first_is_exact), *more = minutes
    start = first if first_is_exact else _closest(first, near)
    until = None
    if more:
        until, is_exact = more[0]
        while not is_exact and until <= start:
            until += DAY_MINUTES
    return Times(minute=start, until_minute=until)


def _written(text: str, clock: Clock) -> tuple[int, bool]:
    """Minute of a time, and whether the text says which day."""
    from scheduler.files.times import TimeTextError, clock_minutes, instant

    try:
        if "T" in text:
            return clock.minute(instant(text, None)), True
        return clock_minutes(text.replace("Z", "")), text[-2] in "+-"
    except TimeTextError:
        raise CommandError(f"time: expected {_FORM}, got {text}") from None


def _closest(minute: int, near: tuple[int, int]) -> int:
    days = (minute, minute + DAY_MINUTES, minute - DAY_MINUTES)
    return min(days, key=lambda one: _apart(one, near))


def _apart(minute: int, near: tuple[int, int]) -> int:
    """Minutes between a minute and a span; 0 inside."""
    return max(near[0] - minute, minute - near[1], 0)


def _now(event: Event, near: tuple[int, int], clock: Clock, now: datetime) -> Times:
    if event.is_plan or event.value in {"undo", "unpin"}:
        if event.has_time:
            raise CommandError(f"{event}: expected the time that is meant, as 14:30")
        return Times(minute=None)
    minute = clock.minute(now)
    if _apart(minute, near) <= _FAR_MINUTES:
        return Times(minute=minute, is_now=True)
    if event.has_time:
        raise CommandError(
            f"{event}: expected a time as 14:02: now, {now:%Y-%m-%d %H:%M} UTC, is "
            f"far from {clock.short(near[0])} to {clock.short(near[1])} on {clock.day}"
        )
    return Times(minute=None)
