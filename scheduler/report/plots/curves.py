"""How the brakes cool: one drawing for each flight that a fan or its brakes concern.

Enters: a plan. Leaves: one picture of small drawings: stack, wheel, plug and indication
of the brake that sets brake-ready, with the limits that are plain temperatures.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.clock import Clock
from scheduler.plan import Plan, PlannedTurnaround, WaitsFor
from scheduler.report.page.cooling import Cooling, cooling_of
from scheduler.report.plots.canvas import (
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

MOST = 12
_COLUMNS, _ROW_INCHES = 2, 1.9
_LABEL_GAP_C = 34.0
# Each curve is told by its dashes and its name, not by its colour.
_LINES = {
    "stack": ("stack", HOT, "-", 1.6),
    "wheel": ("wheel", SOFT, (0, (6, 2)), 1.0),
    "plug": ("plug", INK, (0, (1, 1.2)), 1.2),
    "indicated": ("indication", WARM, (0, (4, 1.5, 1, 1.5)), 1.0),
}


def write_curves(plan: Plan, folder: Path) -> tuple[Path, ...]:
    """Write ``curves.svg`` and ``curves.png``; nothing where no heat was computed."""
    shown = [(row, found) for row in _rows(plan) if (found := cooling_of(row))][:MOST]
    if not shown:
        return ()
    lines = -(-len(shown) // _COLUMNS)

    def draw(axes: Sequence["Axes"]) -> None:
        for one, (row, cooling) in zip(axes, shown, strict=False):
            _draw(one, clock_of(plan), row, cooling)
        for one in axes[len(shown) :]:
            one.set_visible(False)

    return write_picture(
        folder / "curves",
        f"{short(plan.scenario)}, {plan.day}: brakes that set brake-ready, °C, "
        "middle of all ranges; shaded: fan; upright: brake-ready",
        (lines, _COLUMNS),
        _ROW_INCHES * lines,
        draw,
    )


def _rows(plan: Plan) -> list[PlannedTurnaround]:
    """Flights that wait for brakes or fan, then the others with a fan."""
    waits = (WaitsFor.BRAKES, WaitsFor.FAN, WaitsFor.CHECK)
    rows = [row for row in plan.turnarounds if row.fan_jobs or row.waits_for in waits]
    chosen = sorted(rows, key=lambda row: (row.waits_for not in waits, row.id))[:MOST]
    return sorted(chosen, key=departure_order)


def _draw(axes: "Axes", clock: Clock, row: PlannedTurnaround, cooling: Cooling) -> None:
    for job in row.fan_jobs:
        axes.axvspan(job.start_minute, job.end_minute, color=FAINT, linewidth=0)
    if cooling.still_stack:
        _line(axes, cooling.still_stack, SOFT, ":", 0.9)
    for name, (_, colour, dashes, width) in _LINES.items():
        _line(axes, cooling.points[name], colour, dashes, width)
    top = _top(row, cooling)
    first = cooling.points["stack"][0][0]
    for limit in row.limits:
        if limit.limit_c < top:
            axes.axhline(limit.limit_c, color=SOFT, linewidth=0.5)
            axes.text(
                first,
                limit.limit_c,
                f" {limit.name} {limit.limit_c:.0f}",
                va="bottom",
                size=6,
                color=SOFT,
            )
    _names(axes, cooling)
    if row.brake_ready_minute is not None:
        axes.axvline(row.brake_ready_minute, color=HOT, linewidth=1.0)
    axes.set_ylim(0, top)
    axes.set_title(_title(row, cooling, clock), loc="left", size=8)
    span = cooling.last - first
    hour_axis(axes, clock, first, cooling.last + 0.16 * span)
    axes.tick_params(labelsize=6.5)


def _line(
    axes: "Axes",
    points: Sequence[tuple[float, float]],
    colour: str,
    dashes: object,
    width: float,
) -> None:
    minutes, values = zip(*points, strict=True)
    axes.plot(minutes, values, color=colour, linestyle=dashes, linewidth=width)


def _top(row: PlannedTurnaround, cooling: Cooling) -> float:
    near = [line.limit_c for line in row.limits if line.limit_c < 1.2 * cooling.peak_c]
    return 1.12 * max(cooling.peak_c, *near, 100.0)


def _names(axes: "Axes", cooling: Cooling) -> None:
    """Write the name of each curve at its end, pushed apart."""
    ends = {label: cooling.points[name][-1][1] for name, (label, *_) in _LINES.items()}
    if cooling.still_stack:
        ends["no fan"] = cooling.still_stack[-1][1]
    order = sorted(ends, key=lambda label: ends[label])
    gap = _LABEL_GAP_C * cooling.peak_c / 500.0
    heights = [ends[label] for label in order]
    for k in range(1, len(heights)):
        heights[k] = max(heights[k], heights[k - 1] + gap)
    for label, height in zip(order, heights, strict=True):
        axes.text(cooling.last, height, f" {label}", va="center", size=6)


def _title(row: PlannedTurnaround, cooling: Cooling, clock: Clock) -> str:
    ready = row.brake_ready_minute
    when = "no brake-ready" if ready is None else f"brake-ready {clock.short(ready)}"
    limit = "" if row.binding_limit is None else f", {row.binding_limit}"
    return (
        f"{short(row.id)}, {short(row.tail)}, brake {cooling.position}: {when}{limit}"
    )
