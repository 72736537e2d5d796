"""Take-off weight against time: a step chart and a table of the flights that have it.

Enters: a plan. Leaves: `LoadView`s. Between two computed weights the later minute of
the two is drawn and told: a row holds up to its weight.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from scheduler.plan import Plan, PlannedTurnaround, TradePoint
from scheduler.report.page.axis import percent
from scheduler.report.page.times import Times
from scheduler.report.words import NOTHING, departure_order

_WIDTH, _HEIGHT = 100, 100
_MARGIN_MINUTES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the table: up to which weight, from when on, limited by what."""

    up_to: str
    earliest: str
    limit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadView:
    """One flight's chart and table.

    ``path`` is drawn a hundred wide and high; ``dot`` is the planned weight, in per
    cent of both.
    """

    flight: str
    headline: str
    path: str
    dot: tuple[str, str] | None
    target_y: str
    target: str
    least: str
    most: str
    first: str
    last: str
    steps: tuple[Step, ...]


def load_views(plan: Plan, times: Times) -> tuple[LoadView, ...]:
    """Load trades of the plan, flights in order of departure."""
    rows = sorted(plan.turnarounds, key=departure_order)
    return tuple(load_view(row, times) for row in rows if row.load_trade)


def load_view(row: PlannedTurnaround, times: Times) -> LoadView:
    """Lay the load trade of one turnaround out; it has at least one point."""
    points = row.load_trade
    weights = [point.take_off_weight_kg for point in points]
    low, high = min(weights), max(weights)
    first, last = _minutes(row)
    target = row.target_off_block_minute
    height = last - first

    def place(point: TradePoint, minute: int) -> tuple[int, int]:
        share = (point.take_off_weight_kg - low) / (high - low) if high > low else 0.5
        return round(_WIDTH * share), round(_HEIGHT * (last - minute) / height)

    reached = [
        place(point, point.earliest_off_block_minute)
        for point in points
        if point.earliest_off_block_minute is not None
    ]
    planned = _planned(row)
    dot = None
    if planned is not None and planned.earliest_off_block_minute is not None:
        x, y = place(planned, planned.earliest_off_block_minute)
        dot = f"{x}%", f"{y}%"
    return LoadView(
        flight=row.id,
        headline=_headline(row, times),
        path=_path(reached),
        dot=dot,
        target_y=percent(first, height, first + last - target),
        target=times.clock.short(target),
        least=_kg(low),
        most=_kg(high),
        first=times.clock.short(first),
        last=times.clock.short(last),
        steps=tuple(_steps(points, times)),
    )


def _minutes(row: PlannedTurnaround) -> tuple[int, int]:
    """First and last minute of the drawing: every step and the target off-block."""
    found = [
        point.earliest_off_block_minute
        for point in row.load_trade
        if point.earliest_off_block_minute is not None
    ]
    found.append(row.target_off_block_minute)
    return min(found) - _MARGIN_MINUTES, max(found) + _MARGIN_MINUTES


def _path(reached: Sequence[tuple[int, int]]) -> str:
    """Go up at a weight, to what the next heavier one takes."""
    if not reached:
        return ""
    x, y = reached[0]
    steps = [
        f"H{here[0]}" if here[1] == before[1] else f"V{here[1]}H{here[0]}"
        for before, here in pairwise(reached)
    ]
    return f"M{x} {y}{''.join(steps)}"


def _steps(points: Sequence[TradePoint], times: Times) -> list[Step]:
    """One line for all weights that leave at the same minute, up to the heaviest."""
    steps: list[Step] = []
    for point, heavier in pairwise((*points, None)):
        if point is None:
            continue
        if heavier is not None and _leaves(point) == _leaves(heavier):
            continue
        minute = point.earliest_off_block_minute
        steps.append(
            Step(
                up_to=_kg(point.take_off_weight_kg),
                earliest="not in time" if minute is None else times.clock.short(minute),
                limit=str(point.binding_limit or NOTHING),
            )
        )
    return steps


def _leaves(point: TradePoint) -> tuple[object, object]:
    return point.earliest_off_block_minute, point.binding_limit


def _planned(row: PlannedTurnaround) -> TradePoint | None:
    return next((point for point in row.load_trade if point.planned), None)


def _headline(row: PlannedTurnaround, times: Times) -> str:
    """Say what is planned, and how the brakes are cooled for it."""
    planned = _planned(row)
    text = "no take-off weight given"
    if planned is not None:
        minute = planned.earliest_off_block_minute
        leaves = "not in time" if minute is None else f"{times.clock.short(minute)} UTC"
        text = f"planned {_kg(planned.take_off_weight_kg)} kg, {leaves}"
    helps = [
        f"{job.fan_type} {times.span(job.start_minute, job.end_minute)}"
        for job in row.fan_jobs[:1]
    ]
    helps += [f"{row.rollout} rollout"] if row.rollout else []
    return f"{text}, {' and '.join(helps) or 'still air'}"


def _kg(weight_kg: float) -> str:
    """Weight with commas, rounded down."""
    return f"{int(weight_kg):,}"
