"""Where text goes: results to standard output, progress to standard error.

Neither uses colour. A console that is no terminal gets plain text without escape codes,
and no progress bar.
"""

import json
import os
import sys
import textwrap
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from rich.console import Console

if TYPE_CHECKING:
    from rich.progress import Progress, Task

PIPED_COLUMNS = 120


def output() -> Console:
    """Console on standard output; 120 columns wide where it is no terminal."""
    _accept_any_text()
    width = None if sys.stdout.isatty() else _piped_columns()
    return Console(file=sys.stdout, no_color=True, highlight=False, width=width)


def write_json(value: Any) -> None:
    """Write a value as JSON to standard output."""
    write_line(json.dumps(value, indent=2, ensure_ascii=False))


def write_line(text: str) -> None:
    """Write a text and a line end to standard output, as it is."""
    _accept_any_text()
    sys.stdout.write(f"{text}\n")


def write_wrapped(text: str, lead: str = "") -> None:
    """Write a text broken at the width of the console, later lines set in."""
    write_line(
        textwrap.fill(
            text,
            width=max(output().width, 40),
            initial_indent=lead,
            subsequent_indent=" " * len(lead),
            break_long_words=False,
            break_on_hyphens=False,
        )
    )


class Steps:
    """What is being done, one step after the other; call it to name the next one."""

    def __init__(self, bar: "Progress") -> None:
        self._bar = bar
        self._shown: tuple[str, int | None] = ("", None)
        self._task = bar.add_task("", total=None, most_s=None)

    def __call__(
        self,
        text: str,
        *,
        done: int = 0,
        total: int | None = None,
        most_s: float | None = None,
    ) -> None:
        """Name a step; what is left is told where it can be known.

        Either ``done`` of ``total`` are, or it takes ``most_s`` seconds at most.
        """
        if (text, total) != self._shown:
            self._bar.remove_task(self._task)
            self._task = self._bar.add_task(text, total=total, most_s=most_s)
            self._shown = text, total
        self._bar.update(self._task, completed=done)

    def searching(self, text: str, seconds: float) -> Callable[[str], None]:
        """Name steps so that the one of that text shows its longest time."""
        return lambda step: self(step, most_s=seconds if step == text else None)


def left_text(elapsed_s: float | None, most_s: float | None) -> str:
    """How long a step still takes at most; empty where nobody knows."""
    if most_s is None or elapsed_s is None:
        return ""
    left_s = max(0, round(most_s - elapsed_s))
    return f"at most {left_s // 60}:{left_s % 60:02d} left"


@contextmanager
def progress(*, quiet: bool) -> Iterator[Steps]:
    """Show a bar and the time while something long runs; call it to name the step.

    A step that is counted shows how long it will still take. Nothing is shown where
    ``quiet``, or where standard error is no terminal.
    """
    from rich.progress import (
        BarColumn,
        Progress,
        ProgressColumn,
        TextColumn,
        TimeElapsedColumn,
        TimeRemainingColumn,
    )
    from rich.text import Text

    class Left(ProgressColumn):
        """Estimate from what is done, or the longest time."""

        def __init__(self) -> None:
            super().__init__()
            self._estimate = TimeRemainingColumn(compact=True)

        def render(self, task: "Task") -> Text:
            if task.total is not None:
                return Text.assemble(self._estimate.render(task), " left")
            return Text(left_text(task.elapsed, task.fields["most_s"]))

    console = Console(file=sys.stderr, no_color=True, highlight=False)
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        TimeElapsedColumn(),
        Left(),
    )
    hidden = quiet or not console.is_terminal
    with Progress(*columns, console=console, transient=True, disable=hidden) as bar:
        yield Steps(bar)


def _piped_columns() -> int:
    """Columns that the environment asks for, else enough for one line a flight."""
    given = os.environ.get("COLUMNS", "")
    return int(given) if given.isdigit() and int(given) > 0 else PIPED_COLUMNS


def _accept_any_text() -> None:
    """Write a mark instead of failing where the encoding lacks a character."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")
