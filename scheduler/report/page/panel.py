"""What opens under a picked row: its curves on the day's axis, its limits, its brakes.

Enters: a planned row, its cooling, the axis. Leaves: `PanelView`. In the drawing one
unit is a minute across and a degree Celsius down from the top.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from scheduler.plan import BrakeHeat, LimitLine, PlannedTurnaround
from scheduler.report.page.axis import Axis
from scheduler.report.page.cooling import Cooling, Point, part_of
from scheduler.report.words import percent_text

_STEP_C = 100
_HEADROOM_C = 20.0
_FINE_UP_TO_C = 600
_LABEL_GAP, _FIRST_LABEL, _LAST_LABEL = 6.5, 3.0, 97.0
_EDGE = 0.9
_NAMES = {"stack": "stack", "wheel": "wheel", "plug": "plug", "indicated": "indication"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One curve: its kind and its points as the drawing writes them."""

    kind: str
    name: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A horizontal line with its label beside the drawing, its height in per cent."""

    kind: str
    name: str
    value: str
    label_y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Name of a curve where it ends."""

    name: str
    label_y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeView:
    """Peaks of the brake positions that have the same ones."""

    positions: str
    energy: str
    stack: str
    wheel: str
    plug: str
    released: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelView:
    """Curves and figures of one turnaround."""

    position: str
    top: int
    lines: tuple[Line, ...]
    levels: tuple[Level, ...]
    grid: tuple[int, ...]
    ends: tuple[End, ...]
    end_place: str
    names_after: bool
    fans: tuple[tuple[int, int], ...]
    brakes: tuple[BrakeView, ...]
    assumed: tuple[int, ...]
    assumed_texts: tuple[str, ...]
    valuable: str | None
    not_assessed: tuple[str, ...]

    @property
    def shown_degrees(self) -> tuple[int, ...]:
        """Degrees written beside the drawing: those that no limit's label covers."""
        taken = [level.label_y for level in self.levels]
        return tuple(
            degrees
            for degrees in self.grid
            if all(
                abs(100.0 * (self.top - degrees) / self.top - y) >= _LABEL_GAP
                for y in taken
            )
        )


def panel_view(
    row: PlannedTurnaround,
    cooling: Cooling | None,
    axis: Axis,
    numbers: Mapping[str, int],
) -> PanelView | None:
    """Lay the curves of one turnaround out; None where no heat was computed.

    ``numbers`` are the lines of the page's list of what was assumed.
    """
    if cooling is None or row.heat is None:
        return None
    top = _top(cooling, row.limits)
    return PanelView(
        position=cooling.position,
        top=top,
        lines=tuple(_lines(cooling, axis)),
        levels=tuple(_levels(row.limits, top)),
        grid=_grid(top),
        ends=tuple(_ends(cooling, top)),
        end_place=axis.place(min(cooling.last, axis.last)),
        names_after=cooling.last < axis.first + _EDGE * axis.span,
        fans=tuple(
            (job.start_minute - axis.first, job.end_minute - job.start_minute)
            for job in row.fan_jobs
        ),
        brakes=_brakes(row.heat.brakes),
        assumed=tuple(numbers[text] for text in row.heat.assumed),
        assumed_texts=row.heat.assumed,
        valuable=row.heat.most_valuable_input,
        not_assessed=row.heat.not_assessed,
    )


def _top(cooling: Cooling, limits: Sequence[LimitLine]) -> int:
    """Highest temperature of the drawing: all curves, and the limits near them."""
    peak = max(cooling.peak_c, 250.0)
    near = [line.limit_c for line in limits if line.limit_c <= 1.25 * peak]
    highest = max(peak, *near) if near else peak
    return int(-(-(highest + _HEADROOM_C) // _STEP_C) * _STEP_C)


def _lines(cooling: Cooling, axis: Axis) -> Iterator[Line]:
    if cooling.still_stack:
        path = _path(cooling.still_stack, axis)
        yield Line(kind="still", name="stack in still air", path=path)
    shown = cooling.points["indicated"]
    yield Line(kind="indicated", name="indication", path=_path(shown, axis))
    early = "".join(
        _path(part_of(shown, start, end), axis) for start, end in cooling.early
    )
    yield Line(kind="early", name="indication, not yet valid", path=early)
    for kind in ("wheel", "plug", "stack"):
        path = _path(cooling.points[kind], axis)
        yield Line(kind=kind, name=_NAMES[kind], path=path)


def _ends(cooling: Cooling, top: int) -> Iterator[End]:
    """Names of the curves at their ends, pushed apart."""
    values = {_NAMES[name]: line[-1][1] for name, line in cooling.points.items()}
    if cooling.still_stack:
        values["stack, no fan"] = cooling.still_stack[-1][1]
    names = sorted(values, key=lambda name: -values[name])
    heights = _apart([100.0 * (top - values[name]) / top for name in names])
    for name, height in zip(names, heights, strict=True):
        yield End(name=name, label_y=round(height, 1))


def _path(line: Sequence[Point], axis: Axis) -> str:
    """Start in minutes and degrees, then steps: a third shorter than all points."""
    points = [(round(m - axis.first), -round(value)) for m, value in line]
    if not points:
        return ""
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    start, *rest = [_pair(x, y) for x, y in (points[0], *steps)]
    return f"M{start}l{' '.join(rest)}"


def _pair(x: int, y: int) -> str:
    return f"{x}{y}" if y < 0 else f"{x} {y}"


def _brakes(brakes: Sequence[BrakeHeat]) -> tuple[BrakeView, ...]:
    """Brakes with the same figures share a line."""
    lines: dict[tuple[str, ...], list[str]] = {}
    for brake in brakes:
        figures = (
            f"{brake.energy_mj:.1f}",
            f"{brake.stack_peak_c:.0f}",
            f"{brake.wheel_peak_c:.0f}",
            f"{brake.plug_peak_c:.0f}",
            percent_text(brake.release_probability),
        )
        lines.setdefault(figures, []).append(brake.position)
    return tuple(
        BrakeView(
            positions=", ".join(positions),
            energy=energy,
            stack=stack,
            wheel=wheel,
            plug=plug,
            released=released,
        )
        for (energy, stack, wheel, plug, released), positions in lines.items()
    )


def _levels(limits: Sequence[LimitLine], top: int) -> Iterator[Level]:
    """Limits inside the drawing, their labels pushed apart."""
    inside = sorted(
        (line for line in limits if 0 < line.limit_c < top),
        key=lambda line: -line.limit_c,
    )
    heights = _apart([100.0 * (top - line.limit_c) / top for line in inside])
    for line, height in zip(inside, heights, strict=True):
        yield Level(
            kind=line.curve,
            name=line.name,
            value=f"{line.limit_c:.0f}",
            label_y=round(height, 1),
        )


def _grid(top: int) -> tuple[int, ...]:
    step = _STEP_C if top <= _FINE_UP_TO_C else 2 * _STEP_C
    return tuple(range(step, top, step))


def _apart(heights: Sequence[float]) -> list[float]:
    """Rising heights moved so that labels do not touch and none leaves the drawing."""
    moved: list[float] = []
    for height in heights:
        least = moved[-1] + _LABEL_GAP if moved else _FIRST_LABEL
        moved.append(max(height, least))
    most = _LAST_LABEL
    for k in reversed(range(len(moved))):
        moved[k] = min(moved[k], most)
        most = moved[k] - _LABEL_GAP
    return moved
