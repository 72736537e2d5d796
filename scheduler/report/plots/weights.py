"""Take-off weight against the earliest off-block, one drawing a flight.

Enters: weight curves. Leaves: one picture; weights in tonnes, times UTC.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.report.plots.canvas import FAINT, HOT, INK, SOFT, short, write_picture
from scheduler.tradeoff import WeightCurve

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_COLUMNS, _ROW_INCHES = 2, 2.2
_KG_PER_TONNE = 1000.0
_STEP_MINUTES = (5, 10, 20, 30, 60, 120)
_MOST_TICKS = 6


def write_weights(curves: Sequence[WeightCurve], folder: Path) -> tuple[Path, ...]:
    """Write ``tradeoff.svg`` and ``tradeoff.png``; nothing without a curve."""
    drawable = [curve for curve in curves if len(_points(curve)) > 1]
    if not drawable:
        return ()
    lines = -(-len(drawable) // _COLUMNS)

    def draw(axes: Sequence["Axes"]) -> None:
        for one, curve in zip(axes, drawable, strict=False):
            _draw(one, curve)
        for one in axes[len(drawable) :]:
            one.set_visible(False)

    return write_picture(
        folder / "tradeoff",
        "Take-off weight against earliest off-block (brakes), before slots, UTC",
        (lines, _COLUMNS),
        _ROW_INCHES * lines,
        draw,
    )


def _points(curve: WeightCurve) -> list[tuple[float, int]]:
    """Tonnes and minute of the points that leave within the time looked at."""
    return [
        (point.take_off_weight_kg / _KG_PER_TONNE, point.earliest_off_block_minute)
        for point in curve.points
        if point.earliest_off_block_minute is not None
    ]


def _draw(axes: "Axes", curve: WeightCurve) -> None:
    points, clock = _points(curve), curve.day.clock
    tonnes, minutes = zip(*points, strict=True)
    # Between two weights the later minute counts.
    axes.step(tonnes, minutes, where="pre", color=HOT, linewidth=1.2)
    axes.plot(tonnes, minutes, color=HOT, linestyle="", marker="o", markersize=3)
    target = curve.turnaround.target_off_block_minute
    axes.axhline(target, color=SOFT, linewidth=0.8, linestyle=(0, (4, 2)))
    axes.text(tonnes[0], target, "TOBT", va="bottom", size=6.5, color=SOFT)
    planned = curve.planned
    if planned is not None and planned.earliest_off_block_minute is not None:
        at = planned.take_off_weight_kg / _KG_PER_TONNE
        axes.plot(at, planned.earliest_off_block_minute, "D", color=INK, markersize=5)
        axes.annotate(
            "planned",
            (at, planned.earliest_off_block_minute),
            xytext=(-6, 3),
            textcoords="offset points",
            ha="right",
            size=7,
        )
    low, high = min(*minutes, target), max(*minutes, target)
    ticks = _ticks(low, high)
    axes.set_yticks(ticks, [clock.short(minute) for minute in ticks])
    axes.grid(axis="y", color=FAINT, linewidth=0.6)
    axes.set_xlabel("take-off weight, t")
    fan = "still air" if curve.fan_job is None else "with the planned fan"
    axes.set_title(f"{short(curve.turnaround.id)}, {fan}", loc="left", size=8)


def _ticks(low: int, high: int) -> list[int]:
    step = next(
        (step for step in _STEP_MINUTES if (high - low) / step <= _MOST_TICKS),
        _STEP_MINUTES[-1],
    )
    return list(range(low // step * step, high + step, step))
