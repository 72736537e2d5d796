"""Take-off weight against time for people; all times UTC, weights in kg.

Enters: a `WeightCurve`, or the relief of several flights. Leaves: lines and a table.
"""

from collections.abc import Iterator
from itertools import pairwise

from rich import box
from rich.table import Table
from rich.text import Text

from scheduler.options import Limit
from scheduler.report.bars import bar
from scheduler.report.words import NOTHING, time_text
from scheduler.tradeoff import Point, Relief, WeightCurve

OTHER_LIMITS = (
    "Brakes are not the only weight limit: runway, climb, obstacles and tyres may "
    "allow less. The performance office decides."
)
# Limits that parts warm into again after the discs have cooled, and from how many
# minutes between two points on it has to be explained.
REWARMING = (Limit.PLUG, Limit.WHEEL_WELL, Limit.OTHER)
COOLING = (Limit.STOPPING, *REWARMING)
JUMP_MINUTES = 20
WITHOUT_SLOTS = "Off-block before slots, curfews and crews."


def kg(weight_kg: float) -> str:
    """Weight with commas, rounded down to a kilogram."""
    return f"{int(weight_kg):,} kg"


def off_kg(weight_kg: float) -> str:
    """Load to come off, rounded up to a kilogram."""
    return f"{-int(-weight_kg // 1):,} kg"


def curve_headline(curve: WeightCurve) -> str:
    """Planned weight and its earliest off-block."""
    one, clock = curve.turnaround, curve.day.clock
    job = curve.fan_job
    cooling = "still air"
    if job is not None:
        span = f"{clock.short(job.start_minute)}–{clock.short(job.end_minute)}"
        cooling = f"with the planned fan, {job.fan_type} {span}"
    if curve.rollout is not None:
        cooling += f", after the {curve.rollout} rollout that the plan asks for"
    head = f"{one.id} ({one.tail}, stand {one.stand}), {cooling}: "
    ready = _utc(curve, curve.planned_minute)
    if curve.planned is None:
        return f"{head}no take-off weight given; the plan's range leaves at {ready}."
    limit = curve.planned.binding_limit
    return (
        f"{head}{kg(curve.planned.take_off_weight_kg)} leaves at {ready} at the "
        f"earliest, limited by {limit or NOTHING}."
    )


def without_help(curve: WeightCurve) -> str:
    """Name what the plan adds to still air and the landing as planned."""
    added = [] if curve.fan_job is None else ["the fan"]
    added += [] if curve.rollout is None else ["the longer rollout"]
    return f"Without {' and '.join(added)}"


def _utc(curve: WeightCurve, minute: int | None) -> str:
    text = time_text(curve.day.clock, minute)
    return text if minute is None else f"{text} UTC"


def curve_lines(curve: WeightCurve) -> Iterator[str]:
    """Weight, earliest off-block, binding limit, a bar of the wait."""
    begin = curve.turnaround.in_block_minute
    waits = [
        point.earliest_off_block_minute - begin
        for point in curve.points
        if point.earliest_off_block_minute is not None
    ]
    most = float(max(waits, default=0))
    for point in curve.points:
        minute = point.earliest_off_block_minute
        drawn = bar(most if minute is None else float(minute - begin), most)
        planned = curve.planned
        is_planned = planned is not None and (
            point.take_off_weight_kg == planned.take_off_weight_kg
        )
        mark = "planned" if is_planned else ""
        when = "not in time" if minute is None else curve.day.clock.short(minute)
        weight = kg(point.take_off_weight_kg)
        limit = str(point.binding_limit or NOTHING)
        yield f"{weight:>11}  {when:<11}  {limit:<10}  {mark:<7}  {drawn}".rstrip()


def jump_lines(curve: WeightCurve) -> Iterator[str]:
    """Say where a little weight costs many minutes, and why that is."""
    clock = curve.day.clock
    for lighter, heavier in pairwise(curve.points):
        early, late = (one.earliest_off_block_minute for one in (lighter, heavier))
        why = _why_jump(curve, heavier)
        if early is None or late is None or why is None:
            continue
        if late - early >= JUMP_MINUTES:
            yield (
                f"Between {kg(lighter.take_off_weight_kg)} and "
                f"{kg(heavier.take_off_weight_kg)} it jumps from {clock.short(early)} "
                f"to {clock.short(late)}: {why}"
            )


def _why_jump(curve: WeightCurve, heavier: Point) -> str | None:
    """Say what makes the heavier one wait so long; None where nothing is known."""
    job, limit = curve.fan_job, heavier.binding_limit
    minute = heavier.earliest_off_block_minute
    if job is not None and limit in COOLING and minute and minute > job.end_minute:
        return (
            f"the planned fan ends at {curve.day.clock.short(job.end_minute)}, then "
            "heat from the hub and the wheel warms the discs again, and the rest cools "
            f"in still air ({limit}). A longer fan job may win these minutes."
        )
    if limit in REWARMING:
        return (
            "heat that moves from the discs into the wheel warms it again, so that the "
            f"heavier one would meet the limit ({limit}) early and lose it again. A "
            "minute counts once the limit holds for good."
        )
    return None


def held_headline(count: int) -> str:
    """How many flights are held, and what the columns say."""
    flights = "1 flight is" if count == 1 else f"{count} flights are"
    return (
        f"{flights} held by the brakes beyond the target off-block (TOBT). All times "
        "UTC. At most: what may leave at TOBT with the planned fan and, where R stands "
        "behind the flight, after the longer rollout that the plan asks for; none: no "
        "weight helps, the limit does not go with weight or the wait for a valid "
        "indication is longer. No help: with neither."
    )


def relief_text(curve: WeightCurve, relief: Relief) -> str:
    """Leave at a time: how much weight at most, how much has to come off."""
    at = f"Leave at {_utc(curve, relief.off_block_minute)}"
    if relief.weight_kg is None:
        return f"{at}: no weight helps, limited by {relief.binding_limit or NOTHING}."
    text = f"{at} → at most {kg(relief.weight_kg)}"
    if relief.off_kg is None:
        return f"{text}."
    if relief.off_kg == 0.0:
        return f"{text}, nothing has to come off."
    text += f", {off_kg(relief.off_kg)} to come off"
    removable = curve.turnaround.departure.removable_load_kg
    if relief.within_removable is False and removable is not None:
        text += f"; only {kg(removable)} can be left behind"
    close = curve.turnaround.departure.load_close_minute
    if close is not None:
        text += f"; to be decided before the load is closed, {_utc(curve, close)}"
    return f"{text}."


def weight_text(curve: WeightCurve, point: Point) -> str:
    """Leave with a weight: from when on."""
    head = f"{kg(point.take_off_weight_kg)} → "
    if point.earliest_off_block_minute is None:
        return f"{head}no off-block within the time looked at."
    at = _utc(curve, point.earliest_off_block_minute)
    limit = point.binding_limit or NOTHING
    return f"{head}leaves at {at} at the earliest, limited by {limit}."


def held_table(rows: list[tuple[WeightCurve, Relief, Relief | None]]) -> Table:
    """All flights that their brakes hold: what leaving at the target takes.

    The third of each row is the relief without the fan that is planned.
    """
    table = Table(box=box.SIMPLE_HEAD, padding=0, pad_edge=False, show_edge=False)
    found = [_held_cells(*row) for row in rows]
    for header in ("Flight", "TOBT", "Brake-\nready", "Limit"):
        table.add_column(header, no_wrap=True)
    table.add_column("Fan", min_width=len("00:00"))
    for header in ("Planned\nkg", "At most\nkg", "To come\noff kg", "No help\nkg"):
        table.add_column(header, justify="right", no_wrap=True)
    if any(cells[-1] != NOTHING for cells in found):
        table.add_column("Can be\nleft kg")
    for cells in found:
        table.add_row(*(Text(cell) for cell in cells[: len(table.columns)]))
    return table


def _held_cells(
    curve: WeightCurve, relief: Relief, still: Relief | None
) -> tuple[str, ...]:
    clock, planned = curve.day.clock, curve.planned
    job = curve.fan_job
    return (
        curve.turnaround.id + ("" if curve.rollout is None else " R"),
        clock.short(relief.off_block_minute),
        time_text(clock, curve.planned_minute),
        str(relief.binding_limit or NOTHING),
        NOTHING if job is None else f"{clock.short(job.start_minute)} {job.fan_type}",
        NOTHING if planned is None else f"{int(planned.take_off_weight_kg):,}",
        _most(relief),
        NOTHING if relief.off_kg is None else off_kg(relief.off_kg)[:-3],
        NOTHING if still is None else _most(still),
        _load(curve, relief),
    )


def _most(relief: Relief) -> str:
    return "none" if relief.weight_kg is None else f"{int(relief.weight_kg):,}"


def _load(curve: WeightCurve, relief: Relief) -> str:
    departure, parts = curve.turnaround.departure, []
    if relief.within_removable is not None and departure.removable_load_kg is not None:
        word = "of" if relief.within_removable else "only"
        parts.append(f"{word} {int(departure.removable_load_kg):,}")
    if departure.load_close_minute is not None:
        parts.append(f"closes {curve.day.clock.short(departure.load_close_minute)}")
    return ", ".join(parts) or NOTHING
