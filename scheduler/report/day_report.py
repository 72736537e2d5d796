"""The whole report of a plan on a terminal, in the order in which people need it.

Day table, summary, what to tell the gate, the action list, the cautions. Plain text
without escape codes where the console is no terminal or wants no colour.
"""

from collections.abc import Iterable

from rich.console import Console
from rich.table import Table
from rich.text import Text

from scheduler.plan import Plan
from scheduler.report.action_list import action_table
from scheduler.report.day_table import day_table, legend
from scheduler.report.departures import messages
from scheduler.report.sparkline import blocks_of
from scheduler.report.summary import summary_lines


def print_day(plan: Plan, console: Console) -> None:
    """Print everything that a plan says to people."""
    blocks = blocks_of(console.encoding)
    console.print(day_table(plan, console.width, blocks))
    console.print(Text(legend(plan)))
    console.print()
    for line in summary_lines(plan):
        console.print(Text(line))
    _list(console, "For the gate", messages(plan))
    if plan.actions:
        console.print()
        console.print(action_table(plan, console.width))
    _list(console, "Cautions", plan.cautions)


def _list(console: Console, heading: str, lines: Iterable[str]) -> None:
    """Print lines under a heading, each with a dash and a hanging indent."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    for line in lines:
        grid.add_row("-", Text(line))
    if grid.row_count:
        console.print()
        console.print(Text(heading, style="bold"))
        console.print(grid)
