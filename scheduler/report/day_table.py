"""The day as a table: each aircraft's brakes, fan, times and what it waits for.

Enters: a plan and a width. Leaves: a rich table by off-block time, held aircraft last.
Where everything fits side by side, each value has its column; else two values share
one. No colour carries a meaning; bold marks the flights that wait.
"""

from collections.abc import Callable
from dataclasses import dataclass

from rich import box
from rich.console import Console
from rich.measure import Measurement
from rich.table import Table
from rich.text import Text

from scheduler.clock import Clock
from scheduler.plan import Plan, PlannedTurnaround, WaitsFor
from scheduler.report.sparkline import BLOCKS, stack_line, top_of
from scheduler.report.words import (
    NOTHING,
    clock_of,
    departure_order,
    job_text,
    risk_text,
    time_text,
)

_READY_COLUMNS = 11
_UNBOUNDED_COLUMNS = 10_000
LEGEND = (
    "TOBT: target off-block, when ground handling ends. Brake-ready: earliest "
    "off-block that the brakes allow, in brackets without the fan. Limit: what sets "
    "brake-ready; indicated: the indicator's figure, or the wait until it can be "
    "trusted after a stop or a fan. Waits for: what a late flight waits for. Plug "
    "risk: chance that a fuse plug lets a tyre down; checked: it was above low, and a "
    "check is logged. *: breaks a rule, see below."
)
ROLLOUT = (
    "Rollout: its brake-ready holds once crew, approach control and tower agree to it; "
    "in brackets without it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cells:
    """Texts of one flight."""

    flight: str
    tail: str
    stand: str
    in_block: str
    target: str
    ready: str
    still_air: str
    limit: str
    risk: str
    fans: tuple[str, ...]
    off_block: str
    take_off: str
    delay: str
    waits_for: str
    stack: str


def legend(plan: Plan) -> str:
    """Say what the columns are, and how hot the stack's highest block is."""
    top_c = top_of(row for row in plan.turnarounds if _has_room(row))
    asked = any(row.rollout is not None for row in plan.turnarounds)
    text = f"{LEGEND} {ROLLOUT}" if asked else LEGEND
    if not top_c:
        return text
    return (
        f"{text} Stack, of flights with a fan or held by brakes: how hot it is from "
        f"in-block to off-block, full height {top_c:.0f} °C, middle of all ranges."
    )


def day_table(plan: Plan, width: int, blocks: str = BLOCKS) -> Table:
    """Lay the day out for a terminal of so many columns.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    width : int
        Columns of the terminal. [-]
    blocks : str
        Characters from cool to hot, for the line of the stack's temperature.

    Returns
    -------
    table : rich.table.Table
        One entry per turnaround.
    """
    clock = clock_of(plan)
    rows = sorted(plan.turnarounds, key=departure_order)
    top_c = top_of(row for row in rows if _has_room(row))
    cells = [
        _cells(row, clock, stack_line(row, top_c, blocks) if _has_room(row) else "")
        for row in rows
    ]
    table = _filled(_wide(), _wide_line, cells)
    if _natural_width(table) > width:
        table = _filled(_narrow(), _narrow_line, cells)
    table.title = Text(f"{plan.scenario}, {plan.day}, all times UTC")
    return table


def _filled(
    table: Table, line: Callable[[_Cells], tuple[str, ...]], cells: list[_Cells]
) -> Table:
    for one in cells:
        style = None if one.waits_for == NOTHING else "bold"
        table.add_row(*(Text(cell) for cell in line(one)), style=style)
    return table


def _natural_width(table: Table) -> int:
    """Columns that the table takes with nothing wrapped."""
    console = Console(width=_UNBOUNDED_COLUMNS)
    return Measurement.get(console, console.options, table).maximum


def _has_room(row: PlannedTurnaround) -> bool:
    """Whether the flight's block has a line more: a fan is in it, or brakes hold it."""
    return bool(row.fan_jobs) or row.waits_for in (WaitsFor.BRAKES, WaitsFor.FAN)


def _cells(row: PlannedTurnaround, clock: Clock, stack: str) -> _Cells:
    held = row.off_block_minute is None
    off_block = "held" if held else time_text(clock, row.off_block_minute)
    ready = row.brake_ready_minute
    return _Cells(
        flight=row.id,
        tail=row.tail,
        stand=row.stand,
        in_block=clock.short(row.in_block_minute),
        target=clock.short(row.target_off_block_minute),
        ready="none yet" if held and ready is None else time_text(clock, ready),
        still_air=_still_air(row, clock),
        limit=row.binding_limit or NOTHING,
        risk=risk_text(row),
        fans=(*(job_text(clock, job) for job in row.fan_jobs), *_rollout(row)),
        off_block=off_block + ("*" if row.relaxed else ""),
        take_off=time_text(clock, row.take_off_minute),
        delay=NOTHING if row.delay_minutes is None else str(row.delay_minutes),
        waits_for=_waits_for(row),
        stack=stack,
    )


def _waits_for(row: PlannedTurnaround) -> str:
    """Print a dash for the many that wait for nothing, so that others stand out."""
    return NOTHING if row.waits_for is WaitsFor.NOTHING else row.waits_for


def _rollout(row: PlannedTurnaround) -> tuple[str, ...]:
    """Name the rollout on which brake-ready rests, below the fan."""
    return () if row.rollout is None else (f"{row.rollout}\nrollout",)


def _still_air(row: PlannedTurnaround, clock: Clock) -> str:
    """Brake-ready without fan and longer rollout, where they make a difference."""
    still = row.brake_ready_still_air_minute
    helped = row.fan_jobs or row.rollout is not None
    if not helped or still == row.brake_ready_minute:
        return ""
    return "(none)" if still is None else f"({clock.short(still)})"


def _table(*, gap: int) -> Table:
    return Table(box=box.SIMPLE_HEAD, padding=(0, gap, 0, 0), pad_edge=False)


def _wide() -> Table:
    table = _table(gap=1)
    for header in ("Flight", "Tail", "Stand", "In-\nblock", "\nTOBT"):
        table.add_column(header, no_wrap=header.startswith(("In", "\n")))
    table.add_column("Brake-ready\n(still air)", min_width=_READY_COLUMNS)
    for header in ("Limit\nstack", "Fan"):
        table.add_column(header)
    for header in ("Off-\nblock", "Take-\noff"):
        table.add_column(header, no_wrap=True)
    table.add_column("Delay\nmin", justify="right")
    for header in ("Waits\nfor", "Plug\nrisk"):
        table.add_column(header)
    return table


def _wide_line(cells: _Cells) -> tuple[str, ...]:
    return (
        cells.flight,
        cells.tail,
        cells.stand,
        cells.in_block,
        cells.target,
        f"{cells.ready}\n{cells.still_air}".strip(),
        f"{cells.limit}\n{cells.stack}".strip(),
        "\n".join(cells.fans) or NOTHING,
        cells.off_block,
        cells.take_off,
        cells.delay,
        cells.waits_for,
        cells.risk,
    )


def _narrow() -> Table:
    table = _table(gap=0)
    table.leading = 1
    table.add_column("Flight\ntail", overflow="fold")
    table.add_column("Stand", overflow="fold")
    table.add_column("In-block\nTOBT", no_wrap=True)
    table.add_column("Brake-ready\n(still air)", min_width=_READY_COLUMNS)
    table.add_column("Limit\nplug risk\nstack")
    table.add_column("Off-block\ntake-off", no_wrap=True)
    table.add_column("Delay\nmin", justify="right")
    table.add_column("Waits for\nfan")
    return table


def _narrow_line(cells: _Cells) -> tuple[str, ...]:
    return (
        f"{cells.flight}\n{cells.tail}",
        cells.stand,
        f"{cells.in_block}\n{cells.target}",
        f"{cells.ready}\n{cells.still_air}".strip(),
        f"{cells.limit}\n{cells.risk}\n{cells.stack}".strip(),
        f"{cells.off_block}\n{cells.take_off}",
        cells.delay,
        "\n".join([cells.waits_for, *cells.fans]),
    )
