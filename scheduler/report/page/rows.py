"""One turnaround as a row of the timeline: words at both ends, marks on the axis.

Enters: a planned row and the axis. Leaves: `RowView`. Lengths are minutes after the
axis begins; heights are parts of a row that is 40 high, its base line at 32.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from scheduler.choices import CTOT_LATE_MINUTES
from scheduler.options import PlugRisk
from scheduler.plan import BrakeState, PlannedTurnaround, Progress
from scheduler.report.page.axis import Axis
from scheduler.report.page.cooling import Cooling, part_of
from scheduler.report.page.times import Time, Times
from scheduler.report.words import units_text
from scheduler.windows import CTOT_EARLY_MINUTES

BASE = 32
FULL_HEIGHT, FULL_C = 22, 600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something on the row that keys can reach: its minute and what it says.

    ``kind`` is the letter by which the page's script knows the first words.
    """

    minute: int
    kind: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shapes:
    """Drawing of a row: paths in minutes, glyphs in per cent of the width."""

    stay: str
    taxi: str
    wedge: str
    fans: str
    duties: str
    whisker: str
    gap: str
    slot: str
    ready: str | None
    off_block: str | None
    target: str
    take_off: str | None
    held_from: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RowView:
    """One turnaround of the timeline."""

    id: str
    tail: str
    aircraft: str
    stand: str
    in_block: Time
    ready: Time | None
    off_block: Time | None
    delay: int | None
    waits_for: str
    state: str
    brakes: str
    rules: str
    order: int
    is_held: bool
    has_left: bool
    marks: tuple[Mark, ...]
    shapes: Shapes


def row_view(
    row: PlannedTurnaround,
    cooling: Cooling | None,
    axis: Axis,
    times: Times,
    now: int | None = None,
) -> RowView:
    """Lay one turnaround out on the axis; ``now`` is when the day was planned again."""
    held = row.off_block_minute is None
    order = row.target_off_block_minute if held else row.off_block_minute
    return RowView(
        id=row.id,
        tail=row.tail,
        aircraft=row.aircraft,
        stand=row.stand,
        in_block=times.at(row.in_block_minute),
        ready=times.maybe(row.brake_ready_minute),
        off_block=times.maybe(row.off_block_minute),
        delay=row.delay_minutes,
        waits_for=str(row.waits_for),
        state=state_text(row, times),
        brakes=brakes_text(row, times, now),
        rules=", ".join(str(rule) for rule in row.relaxed),
        order=order or 0,
        is_held=held,
        has_left=row.progress in (Progress.OFF_BLOCK, Progress.AIRBORNE),
        marks=tuple(sorted(_marks(row, times), key=lambda mark: mark.minute)),
        shapes=_shapes(row, cooling, axis),
    )


def state_text(row: PlannedTurnaround, times: Times) -> str:
    """Say how a flight stands: left, held, on time or by how much it is late."""
    if row.progress in (Progress.OFF_BLOCK, Progress.AIRBORNE):
        return str(row.progress)
    if row.off_block_minute is None:
        return "held"
    late = row.delay_minutes or 0
    if late <= 0:
        return f"{times.clock.short(row.off_block_minute)} on time"
    return f"{times.clock.short(row.off_block_minute)} +{late} min"


def brakes_text(row: PlannedTurnaround, times: Times, now: int | None) -> str:
    """Say how the brakes stand by the figures, when they are ready, and what binds."""
    state, ready = brake_state(row, now), row.brake_ready_minute
    limit = f", limit {row.binding_limit}" if row.binding_limit else ""
    when = "no time known" if ready is None else f"ready {times.clock.short(ready)}"
    return f"{state}, {when}{limit}"


def brake_state(row: PlannedTurnaround, now: int | None) -> BrakeState:
    """State of the brakes at a minute; before the day, as they come in."""
    if row.heat is None:
        return BrakeState.UNKNOWN
    if row.heat.risk is PlugRisk.RELEASED:
        return BrakeState.WHEEL_CHANGE
    ready = row.brake_ready_minute
    minute = row.in_block_minute if now is None else now
    is_ready = ready is not None and minute >= ready
    return BrakeState.WITHIN_LIMITS if is_ready else BrakeState.COOLING


def _marks(row: PlannedTurnaround, times: Times) -> Iterator[Mark]:
    def mark(minute: int | None, kind: str, text: str = "") -> Iterator[Mark]:
        if minute is not None:
            yield Mark(minute=minute, kind=kind, text=" ".join(text.split()))

    yield from mark(row.landing_minute, "l")
    yield from mark(row.in_block_minute, "i")
    for job in row.fan_jobs:
        span = times.span(job.start_minute, job.end_minute)
        yield from mark(job.start_minute, "f", f"{units_text(job)}, {span}")
    for duty in row.duties:
        span = times.span(duty.start_minute, duty.end_minute)
        yield from mark(duty.start_minute, "d", f"{duty.task}, {span}")
    if row.heat is not None:
        peak_c = f"{row.heat.plug_peak_c:.0f} °C"
        yield from mark(row.heat.plug_peak_minute, "p", peak_c)
    yield from mark(row.target_off_block_minute, "t")
    limit = f"; limit: {row.binding_limit}" if row.binding_limit else ""
    yield from mark(row.brake_ready_minute, "r", limit)
    late = f"; {row.delay_minutes} min late" if row.delay_minutes else ""
    yield from mark(row.off_block_minute, "o", late)
    yield from mark(row.take_off_minute, "x")
    yield from mark(row.ctot_minute, "c")


def _shapes(row: PlannedTurnaround, cooling: Cooling | None, axis: Axis) -> Shapes:
    held = row.off_block_minute is None
    ready, leaves = row.brake_ready_minute, row.off_block_minute

    def place(minute: int | None) -> str | None:
        return None if minute is None else axis.place(minute)

    return Shapes(
        stay=_stay(row, axis),
        taxi=_taxi(row, axis),
        wedge="" if cooling is None else _wedge(row, cooling, axis),
        fans="".join(
            f"M{job.start_minute - axis.first},10v-5H{job.end_minute - axis.first}v5"
            for job in row.fan_jobs
        ),
        duties="".join(
            f"M{duty.start_minute - axis.first},{BASE}v6"
            f"H{duty.end_minute - axis.first}v-6z"
            for duty in row.duties
        ),
        whisker=_whisker(row, axis),
        gap=_gap(row, axis),
        slot=_slot(row, axis),
        ready=place(ready),
        off_block=place(leaves),
        target=axis.place(row.target_off_block_minute),
        take_off=place(row.take_off_minute),
        held_from=axis.place(row.target_off_block_minute) if held else None,
    )


def _stay(row: PlannedTurnaround, axis: Axis) -> str:
    end = row.off_block_minute
    stays = axis.last if end is None else end
    return f"M{row.in_block_minute - axis.first},{BASE}H{stays - axis.first}"


def _taxi(row: PlannedTurnaround, axis: Axis) -> str:
    path = ""
    if row.landing_minute is not None:
        path += f"M{row.landing_minute - axis.first},{BASE}"
        path += f"H{row.in_block_minute - axis.first}"
    if row.off_block_minute is not None and row.take_off_minute is not None:
        path += f"M{row.off_block_minute - axis.first},{BASE}"
        path += f"H{row.take_off_minute - axis.first}"
    return path


def _wedge(row: PlannedTurnaround, cooling: Cooling, axis: Axis) -> str:
    """Stack temperature over the base line until the brakes let the aircraft go."""
    start, stack = float(row.in_block_minute), cooling.points["stack"]
    ready = row.brake_ready_minute
    end = cooling.last if ready is None else max(float(ready), start + 1.0)
    line = part_of(stack, start, end)
    points = [(minute, BASE - _height(value)) for minute, value in line]
    steps = "".join(
        f"l{after[0] - before[0]:g} {after[1] - before[1]:.1f}"
        for before, after in pairwise(points)
    )
    top = f"V{points[0][1]:.1f}"
    return f"M{start - axis.first:g},{BASE}{top}{steps}V{BASE}z"


def _height(value_c: float) -> float:
    return FULL_HEIGHT * min(max(value_c, 0.0) / FULL_C, 1.0)


def _whisker(row: PlannedTurnaround, axis: Axis) -> str:
    """From brake-ready mid-range to the bound that is planned with."""
    expected, ready = row.expected_ready_minute, row.brake_ready_minute
    if expected is None or ready is None or expected >= ready:
        return ""
    return f"M{expected - axis.first},18v6v-3H{ready - axis.first}"


def _gap(row: PlannedTurnaround, axis: Axis) -> str:
    late, leaves = row.delay_minutes, row.off_block_minute
    if leaves is None or late is None or late <= 0:
        return ""
    return f"M{leaves - late - axis.first},36H{leaves - axis.first}"


def _slot(row: PlannedTurnaround, axis: Axis) -> str:
    if row.ctot_minute is None:
        return ""
    first = row.ctot_minute - CTOT_EARLY_MINUTES - axis.first
    last = row.ctot_minute + CTOT_LATE_MINUTES - axis.first
    return f"M{first},36v3H{last}v-3"
