"""The action list as a table, by time.

Enters: a plan with its actions and a width. Leaves: a rich table; from 116 columns on
what missing an action costs stands in a column of its own, below that under the action.
"""

from rich import box
from rich.table import Table
from rich.text import Text

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
        One entry per action.
    """
    clock = clock_of(plan)
    is_wide = width >= WIDE_COLUMNS
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    table.title = "Actions by time, UTC"
    table.leading = 0 if is_wide else 1
    for header in ("From", "By"):
        table.add_column(header, no_wrap=True)
    for header in ("Who", "Stand", "Flight", "What"):
        table.add_column(header)
    if is_wide:
        table.add_column("If missed")
    for action in plan.actions:
        times = (clock.short(action.minute), clock.short(action.do_by_minute))
        whose = (action.who, action.stand, action.turnaround_id)
        task = _wide(action) if is_wide else _narrow(action)
        table.add_row(*(Text(cell) for cell in (*times, *whose, *task)))
    return table


def _wide(action: Action) -> tuple[str, ...]:
    return action.what, action.missing_it


def _narrow(action: Action) -> tuple[str, ...]:
    return (f"{action.what}\nIf missed: {action.missing_it}",)
