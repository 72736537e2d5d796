"""The action list as a table, by time.

Enters: a plan with its actions and a width. Leaves: a rich table; from 116 columns on
each value has its column. Below that times, and who and where, stand one below the
other, and what missing an action costs stands under it.
"""

from rich import box
from rich.table import Table
from rich.text import Text

from scheduler.clock import Clock
from scheduler.plan import Action, Plan
from scheduler.report.words import clock_of

WIDE_COLUMNS = 116


def action_table(plan: Plan, width: int) -> Table:
    """Lay the action list out for a terminal of so many columns.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    width : int
        Columns of the terminal. [-]

    Returns
    -------
    table : rich.table.Table
        One entry per action that is not over.
    """
    clock = clock_of(plan)
    is_wide = width >= WIDE_COLUMNS
    table = _wide() if is_wide else _narrow()
    table.title = "Actions by time, UTC"
    now = plan.now_minute
    for action in plan.actions:
        if now is not None and action.do_by_minute < now:
            continue
        line = _wide_line(action, clock) if is_wide else _narrow_line(action, clock)
        table.add_row(*(Text(cell) for cell in line))
    return table


def _table() -> Table:
    return Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)


def _wide() -> Table:
    table = _table()
    for header in ("From", "By"):
        table.add_column(header, no_wrap=True)
    for header in ("Who", "Stand", "Flight", "What", "If missed"):
        table.add_column(header)
    return table


def _wide_line(action: Action, clock: Clock) -> tuple[str, ...]:
    return (
        clock.short(action.minute),
        clock.short(action.do_by_minute),
        action.who,
        action.stand,
        action.turnaround_id,
        action.what,
        action.missing_it,
    )


def _narrow() -> Table:
    table = _table()
    table.leading = 1
    table.add_column("From\nby", no_wrap=True)
    table.add_column("Who\nflight, stand")
    table.add_column("What")
    return table


def _narrow_line(action: Action, clock: Clock) -> tuple[str, ...]:
    return (
        f"{clock.short(action.minute)}\n{clock.short(action.do_by_minute)}",
        f"{action.who}\n{action.turnaround_id}, {action.stand}",
        f"{action.what}\nIf missed: {action.missing_it}",
    )
