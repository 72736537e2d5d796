"""The sheet that every picture is drawn on, and how it becomes files.

Each picture has the cautions at its foot, since it may be passed on alone. Colours are
of one hue that gets darker with heat; what a mark means is also in its shape or text.
"""

import textwrap
import warnings
from collections.abc import Callable
from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.errors import SchedulerError
from scheduler.files.atomic import write_bytes
from scheduler.report.cautions import CAUTIONS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

FORMATS = ("svg", "png")
INK, SOFT, FAINT = "#1b2733", "#5b6b7a", "#d5dce3"
HOT, WARM, COOL = "#0b3c5d", "#3f7ca8", "#a8c8de"
_WIDTH, _FOOT, _HEAD = 11.0, 0.75, 0.42
_FOOT_COLUMNS, _NAME_COLUMNS = 240, 28
_SETTINGS: Any = {
    "svg.hashsalt": "heatslot",
    "font.family": "DejaVu Sans",
    "font.size": 8.0,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "hatch.linewidth": 0.6,
    "text.parse_math": False,
}
# Dates and versions would make two pictures of the same plan differ.
_METADATA: dict[str, dict[str, Any]] = {
    "svg": {"Date": None},
    "png": {"Software": None},
}


class PlotsMissingError(SchedulerError):
    """The library that draws is not installed."""


def need_plots() -> None:
    """Raise `PlotsMissingError` where pictures cannot be drawn here."""
    try:
        import_module("matplotlib")
    except ImportError:
        raise PlotsMissingError(
            "--plots: expected matplotlib, which is not installed; "
            "install heatslot with its extra: pip install 'heatslot[plots]'"
        ) from None


def write_picture(
    path: Path,
    title: str,
    panels: tuple[int, int],
    height_inches: float,
    draw: Callable[[list["Axes"]], None],
) -> tuple[Path, ...]:
    """Draw one picture and write it in every format.

    Parameters
    ----------
    path : Path
        File without its ending; the folder must exist.
    title : str
        Heading of the picture.
    panels : (int, int)
        Rows and columns of drawings.
    height_inches : float
        Height of the drawings together; heading and cautions come on top.
    draw : callable
        Is given the drawings, row by row.

    Returns
    -------
    paths : tuple of Path
        What was written.

    Raises
    ------
    PlotsMissingError
        Without matplotlib.
    OSError
        When the folder cannot be written to.
    """
    need_plots()
    import matplotlib as mpl

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_SETTINGS)
        figure, axes = _sheet(title, panels, height_inches)
        draw(axes)
        return tuple(_written(figure, path, ending) for ending in FORMATS)


def _sheet(
    title: str, panels: tuple[int, int], height_inches: float
) -> tuple["Figure", list["Axes"]]:
    from matplotlib.figure import Figure

    whole = height_inches + _FOOT + _HEAD
    figure = Figure(figsize=(_WIDTH, whole), dpi=150, layout="constrained")
    engine = figure.get_layout_engine()
    if engine is not None:
        room = (0.01, _FOOT / whole, 0.98, height_inches / whole)
        engine.set(rect=room)  # type: ignore[call-arg]
    figure.text(0.015, 1 - 0.12 / whole, title, va="top", size=11, weight="bold")
    figure.text(0.015, 0.08 / whole, _foot(), va="bottom", size=6.2, color=SOFT)
    rows, columns = panels
    grid = figure.subplots(rows, columns, squeeze=False)
    axes = [one for row in grid for one in row]
    for one in axes:
        one.spines[["top", "right"]].set_visible(False)
    return figure, axes


def short(name: str) -> str:
    """Name as a picture has room for it."""
    return f"{name[: _NAME_COLUMNS - 1]}…" if len(name) > _NAME_COLUMNS else name


def _foot() -> str:
    return textwrap.fill(" ".join(CAUTIONS), _FOOT_COLUMNS)


def _written(figure: "Figure", path: Path, ending: str) -> Path:
    stream = BytesIO()
    with warnings.catch_warnings():
        # A name may have characters that the font lacks: a box is drawn for them.
        warnings.filterwarnings("ignore", r"(Glyph|Matplotlib currently)", UserWarning)
        figure.savefig(stream, format=ending, metadata=_METADATA[ending])
    target = path.with_name(f"{path.name}.{ending}")
    write_bytes(target, stream.getvalue())
    return target
