"""The arrival brief as a picture: brake heat against minutes on the ground.

Enters: a brief. Leaves: one picture with the planned landing and the options that have
their stop margin; an option without it is not drawn.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.brief import Brief, RolloutOption
from scheduler.report.brief_text import planned_label, shown_options
from scheduler.report.plots.canvas import COOL, HOT, INK, WARM, short, write_picture
from scheduler.report.words import time_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_ROW_INCHES, _BAR = 0.3, 0.6


def write_brief(brief: Brief, folder: Path) -> tuple[Path, ...]:
    """Write ``brief-ID.svg`` and ``brief-ID.png``; ID is that of the turnaround."""
    options = [one for one in shown_options(brief, every=False) if one.available]
    if not options:
        return ()
    one = brief.turnaround
    name = f"{short(one.id)}, {short(one.tail)}"

    def draw(axes: Sequence["Axes"]) -> None:
        _draw(axes[0], brief, options)

    return write_picture(
        folder / f"brief-{file_name(one.id)}",
        f"{name}: rollout options, heat of the hottest brake",
        (1, 1),
        _ROW_INCHES * len(options) + 0.7,
        draw,
    )


def file_name(text: str) -> str:
    """Text with everything but letters, digits, dots and dashes made a dash."""
    kept = "".join(c if c.isalnum() or c in "-._" else "-" for c in text)
    return kept.strip(".") or "flight"


def _draw(axes: "Axes", brief: Brief, options: Sequence[RolloutOption]) -> None:
    greatest = max(one.heat_mj_per_brake for one in options)
    for height, one in enumerate(options):
        chosen = one.number == brief.chosen
        axes.barh(
            height,
            one.heat_mj_per_brake,
            _BAR,
            color=WARM if chosen else COOL,
            hatch="" if one.number else "///",
            edgecolor=HOT,
            linewidth=0.6,
        )
        axes.text(
            one.heat_mj_per_brake + 0.01 * greatest,
            height,
            _words(brief, one),
            va="center",
            size=7,
            color=INK,
            weight="bold" if chosen else "normal",
        )
    names = [
        f"{one.number}  {one.label if one.number else planned_label(one)}"
        for one in options
    ]
    axes.set_yticks(range(len(options)), names)
    axes.set_ylim(len(options) - 0.4, -0.6)
    axes.set_xlim(0, 1.7 * greatest)
    axes.set_xlabel("heat, MJ a brake (safe bound of the samples)")


def _words(brief: Brief, one: RolloutOption) -> str:
    """Minutes, stop margin, and who has to agree."""
    ready = time_text(brief.day.clock, one.brake_ready_minute)
    text = f"ready {ready}, stop margin {one.stop_margin_m:.0f} m"
    if one.agree_with:
        text += f", agree: {', '.join(one.agree_with)}"
    return text
