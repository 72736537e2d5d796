"""The page's one time axis: minutes of the plan → per cent of the width.

Every row, curve, fan and risk mark uses it, so that what happens together stands in one
line. Lengths inside a drawing stay in minutes; the browser scales them.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.plan import Plan, PlannedTurnaround
from scheduler.report.page.times import Time, Times, whole_hours

_BEFORE_MINUTES = 10
_AFTER_MINUTES = 15
_LEAST_MINUTES = 120
_MOST_LABELS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A full hour: where it stands and what it is called."""

    place: str
    time: Time


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Minutes from ``first`` on for ``span`` minutes."""

    first: int
    span: int
    ticks: tuple[Tick, ...]
    now: str | None

    def place(self, minute: float) -> str:
        """Per cent of the width, as text."""
        return percent(self.first, self.span, minute)

    @property
    def last(self) -> int:
        """Last minute shown."""
        return self.first + self.span

    @property
    def hour(self) -> str:
        """Width of an hour in per cent."""
        return percent(0, self.span, 60)


def percent(first: int, span: int, minute: float) -> str:
    """Per cent of a span that a minute stands at."""
    return f"{100 * (minute - first) / span:.2f}".rstrip("0").rstrip(".") + "%"


def day_axis(plan: Plan, times: Times) -> Axis:
    """Axis that holds everything of a plan."""
    minutes = [minute for row in plan.turnarounds for minute in _minutes(row)]
    if plan.now_minute is not None:
        minutes.append(plan.now_minute)
    first = min(minutes, default=0) - _BEFORE_MINUTES
    last = max(minutes, default=0) + _AFTER_MINUTES
    first = first // 60 * 60
    span = max(-(-(last - first) // 60) * 60, _LEAST_MINUTES)
    step = 60 * max(1, -(-span // (60 * _MOST_LABELS)))
    ticks = tuple(
        Tick(place=percent(first, span, minute), time=times.at(minute))
        for minute in whole_hours(first + 1, first + span - 1, step)
    )
    now = plan.now_minute
    return Axis(
        first=first,
        span=span,
        ticks=ticks,
        now=None if now is None else percent(first, span, now),
    )


def _minutes(row: PlannedTurnaround) -> Iterator[int]:
    yield row.in_block_minute
    yield row.target_off_block_minute
    for minute in (
        row.landing_minute,
        row.off_block_minute,
        row.take_off_minute,
        row.brake_ready_minute,
    ):
        if minute is not None:
            yield minute
    for job in row.fan_jobs:
        yield job.end_minute
