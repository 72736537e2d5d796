"""Temperatures of one brake as the plan cools it: still air, then behind the fan.

Enters: a planned row. Leaves: points in minutes and degrees Celsius, of the binding
brake only, and the spans in which the indication does not count.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from scheduler.plan import Curve, PlannedTurnaround

Point: TypeAlias = tuple[float, float]
QUANTITIES = ("stack", "wheel", "plug", "indicated")
WINDOW_AFTER_MINUTES = 45
_LEAST_WINDOW_MINUTES = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """Curves of one brake position over the time that a reader asks about."""

    position: str
    points: dict[str, tuple[Point, ...]]
    still_stack: tuple[Point, ...]
    early: tuple[tuple[float, float], ...]

    @property
    def peak_c(self) -> float:
        """Highest temperature shown."""
        return max(value for line in self.points.values() for _, value in line)

    @property
    def last(self) -> float:
        """Last minute shown."""
        return self.points["stack"][-1][0]


def cooling_of(row: PlannedTurnaround) -> Cooling | None:
    """Curves of the brake that sets brake-ready; None where no heat was computed."""
    curve = _binding_curve(row)
    if curve is None or len(curve.minutes) < 2:
        return None
    until = _until(row, curve)
    still = {name: _cut(_line(curve, name), until) for name in QUANTITIES}
    points = dict(still)
    if row.cooled:
        start = row.cooled[0].minutes[0]
        points = {
            name: (
                *_cut(still[name], start),
                *_cut(_line(row.cooled[0], name), until)[1:],
            )
            for name in QUANTITIES
        }
    return Cooling(
        position=curve.position,
        points=points,
        still_stack=_from(still["stack"], row.cooled[0].minutes[0])
        if row.cooled
        else (),
        early=_early(row, points["stack"][-1][0]),
    )


def value_at(line: Sequence[Point], minute: float) -> float:
    """Value on a line, its end values beyond its ends."""
    minutes = [point[0] for point in line]
    k = bisect_left(minutes, minute)
    if k == 0:
        return line[0][1]
    if k == len(line):
        return line[-1][1]
    (before, low), (after, high) = line[k - 1], line[k]
    if after == before:
        return high
    return low + (high - low) * (minute - before) / (after - before)


def part_of(line: Sequence[Point], start: float, end: float) -> tuple[Point, ...]:
    """Part of a line between two minutes, with points at both."""
    if end <= start:
        return ()
    inner = [point for point in line if start < point[0] < end]
    return (
        (start, value_at(line, start)),
        *inner,
        (end, value_at(line, end)),
    )


def _binding_curve(row: PlannedTurnaround) -> Curve | None:
    if row.heat is None or not row.heat.curves:
        return None
    wanted = row.cooled[0].position if row.cooled else row.heat.binding_position
    for curve in row.heat.curves:
        if curve.position == wanted:
            return curve
    return row.heat.curves[0]


def _until(row: PlannedTurnaround, curve: Curve) -> float:
    """Minute up to which curves are shown: some time after the last event."""
    known = (row.off_block_minute, row.brake_ready_minute, row.take_off_minute)
    latest = max((m for m in known if m is not None), default=curve.minutes[-1])
    shown = max(
        latest + WINDOW_AFTER_MINUTES, row.in_block_minute + _LEAST_WINDOW_MINUTES
    )
    return min(shown, curve.minutes[-1])


def _line(curve: Curve, name: str) -> tuple[Point, ...]:
    values: Sequence[float] = getattr(curve, f"{name}_c")
    return tuple(zip(curve.minutes, values, strict=True))


def _cut(line: Sequence[Point], end: float) -> tuple[Point, ...]:
    return part_of(line, line[0][0], end)


def _from(line: Sequence[Point], start: float) -> tuple[Point, ...]:
    return part_of(line, start, line[-1][0])


def _early(row: PlannedTurnaround, last: float) -> tuple[tuple[float, float], ...]:
    """Spans in which the indication does not count: before its lag, and by a fan."""
    begin = float(row.in_block_minute)
    valid = row.indication_minute
    spans = [(begin, begin if valid is None else float(valid))]
    for job in row.fan_jobs:
        end = job.end_minute + row.indication_fan_minutes
        spans.append((float(job.start_minute), float(end)))
    return tuple((start, min(end, last)) for start, end in spans if end > start)
