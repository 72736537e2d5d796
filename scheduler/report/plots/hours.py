"""The axis of time below a picture: full hours of the day, UTC."""

from typing import TYPE_CHECKING

from scheduler.clock import Clock
from scheduler.report.plots.canvas import FAINT

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MOST_TICKS = 16
_STEPS_MINUTES = (10, 20, 30, 60, 120, 180, 240, 360)


def hour_axis(axes: "Axes", clock: Clock, first: float, last: float) -> None:
    """Show minutes of the day from ``first`` to ``last`` as clock times."""
    step = next(
        (step for step in _STEPS_MINUTES if (last - first) / step <= _MOST_TICKS),
        _STEPS_MINUTES[-1],
    )
    begin = int(-(-first // step) * step)
    ticks = list(range(begin, int(last) + 1, step))
    axes.set_xlim(first, last)
    axes.set_xticks(ticks, [clock.short(minute) for minute in ticks])
    axes.grid(axis="x", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
