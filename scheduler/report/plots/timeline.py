"""The day on one axis of time: stays, fans, brake-ready, off-block, take-off.

Enters: a plan. Leaves: one picture, a line for each turnaround in the order of leaving.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.clock import Clock
from scheduler.plan import Plan, PlannedTurnaround, WaitsFor
from scheduler.report.plots.canvas import (
    COOL,
    FAINT,
    HOT,
    INK,
    SOFT,
    WARM,
    short,
    write_picture,
)
from scheduler.report.plots.hours import hour_axis
from scheduler.report.words import clock_of, departure_order

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_ROW_INCHES, _LEAST_INCHES = 0.24, 2.0
_MARGIN_MINUTES, _HELD_MINUTES, _TEXT_MINUTES = 15, 60, 75
_BAR, _THIN = 0.52, 0.2


def write_timeline(plan: Plan, folder: Path) -> tuple[Path, ...]:
    """Write the timeline of a plan as ``timeline.svg`` and ``timeline.png``."""
    rows = sorted(plan.turnarounds, key=departure_order)

    def draw(axes: Sequence["Axes"]) -> None:
        _draw(axes[0], plan, rows)

    return write_picture(
        folder / "timeline",
        f"{short(plan.scenario)}, {plan.day}: the day, all times UTC",
        (1, 1),
        max(_ROW_INCHES * (len(rows) + 4), _LEAST_INCHES),
        draw,
    )


def _draw(axes: "Axes", plan: Plan, rows: Sequence[PlannedTurnaround]) -> None:
    clock = clock_of(plan)
    for height, row in enumerate(rows):
        _row(axes, clock, height, row)
    if plan.now_minute is not None:
        axes.axvline(plan.now_minute, color=INK, linewidth=0.8, linestyle=":")
    names = [short(f"{row.id}  {row.tail}  {row.stand}") for row in rows]
    axes.set_yticks(range(len(rows)), names)
    axes.set_ylim(len(rows) - 0.4, -0.6)
    first = min((row.in_block_minute for row in rows), default=0)
    last = max((_end(row) for row in rows), default=60)
    hour_axis(axes, clock, first - _MARGIN_MINUTES, last + _TEXT_MINUTES)
    _key(axes)


def _end(row: PlannedTurnaround) -> int:
    if row.take_off_minute is not None:
        return row.take_off_minute
    return row.target_off_block_minute + _HELD_MINUTES


def _row(axes: "Axes", clock: Clock, height: int, row: PlannedTurnaround) -> None:
    begin, target = row.in_block_minute, row.target_off_block_minute
    held = row.off_block_minute is None
    leave = _end(row) if row.off_block_minute is None else row.off_block_minute
    axes.barh(height, leave - begin, _BAR, left=begin, color=FAINT)
    if leave > target:
        late = axes.barh(height, leave - target, _BAR, left=target, hatch="////")
        for bar in late:
            bar.set(facecolor="none", edgecolor=SOFT, linewidth=0.0)
    for job in row.fan_jobs:
        span = job.end_minute - job.start_minute
        axes.barh(height, span, _THIN, left=job.start_minute, color=WARM)
    axes.plot(target, height, marker="^", color=SOFT, markersize=3.5)
    if row.brake_ready_minute is not None:
        axes.plot(row.brake_ready_minute, height, marker="|", color=HOT, markersize=11)
    if row.take_off_minute is not None:
        axes.plot(row.take_off_minute, height, marker=">", color=COOL, markersize=4)
    mark = "x" if held else "D"
    axes.plot(leave, height, marker=mark, color=INK, markersize=3.5)
    axes.text(_end(row) + 4, height, _words(row, clock), va="center", size=7)


def _words(row: PlannedTurnaround, clock: Clock) -> str:
    """Off-block, and what the flight waits for."""
    if row.off_block_minute is None:
        return f"held: {row.waits_for}"
    star = "*" if row.relaxed else ""
    text = f"{clock.short(row.off_block_minute)}{star}"
    if row.waits_for is WaitsFor.NOTHING or not row.delay_minutes:
        return text
    return f"{text} +{row.delay_minutes} {row.waits_for}"


def _key(axes: "Axes") -> None:
    """Say what the marks are, above the drawing."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    def mark(shape: str, colour: str, text: str) -> Line2D:
        return Line2D(
            [], [], linestyle="", marker=shape, color=colour, markersize=5, label=text
        )

    handles = [
        Patch(color=FAINT, label="on stand"),
        Patch(facecolor="none", edgecolor=SOFT, hatch="////", label="beyond TOBT"),
        Patch(color=WARM, label="fan blows"),
        mark("^", SOFT, "TOBT"),
        mark("|", HOT, "brake-ready"),
        mark("D", INK, "off-block"),
        mark("x", INK, "held"),
        mark(">", COOL, "take-off"),
    ]
    axes.legend(
        handles=handles, ncols=8, loc="lower left", bbox_to_anchor=(0, 1), frameon=False
    )
