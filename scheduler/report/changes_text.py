"""What a new plan changes, for the terminal."""

from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table

if TYPE_CHECKING:
    from scheduler.replan import Replan


def print_changes(found: "Replan", console: Console) -> None:
    """Print who moves, by how much and why; one line where nobody does."""
    total = len(found.plan.turnarounds)
    moved = {change.turnaround_id for change in found.changes}
    console.print(f"\nChanges against the published plan: {len(moved)} of {total}.")
    if not found.changes:
        return
    table = Table(box=None, pad_edge=False, show_edge=False)
    for heading in ("flight", "what", "before", "now", "min", "because"):
        table.add_column(heading, overflow="fold")
    for change in found.changes:
        minutes = "" if change.minutes is None else f"{change.minutes:+d}"
        table.add_row(
            change.turnaround_id,
            change.what,
            change.before,
            change.after,
            minutes,
            change.reason,
        )
    console.print(table)
