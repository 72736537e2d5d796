"""What is shown while something long runs."""

import io
import sys

import pytest
from rich.progress import Progress

from scheduler.cli.terminal import Steps, left_text, progress


class Terminal(io.StringIO):
    """Text that says it is a terminal."""

    def isatty(self) -> bool:
        """Claim it."""
        return True


def test_counted_step_knows_how_far_it_is():
    """Done of total moves the bar; a step without a count has no end."""
    bar = Progress(disable=True)
    step = Steps(bar)
    step("Reading")
    (task,) = bar.tasks
    assert (task.description, task.total) == ("Reading", None)
    step("Drawing", total=4)
    step("Drawing", done=3, total=4)
    (task,) = bar.tasks
    assert (task.description, task.completed, task.total) == ("Drawing", 3, 4)
    step("Checking")
    (task,) = bar.tasks
    assert (task.completed, task.total) == (0, None)


def test_count_goes_on_where_it_was():
    """The clock of a counted step starts once, so that what is left can be told."""
    bar = Progress(disable=True)
    step = Steps(bar)
    step("Drawing", total=4)
    (task,) = bar.tasks
    begun = task.start_time
    step("Drawing", done=1, total=4)
    assert bar.tasks == [task]
    assert task.start_time == begun


def test_search_shows_its_longest_time():
    """Only the step of the search has one, and it counts down to nothing."""
    bar = Progress(disable=True)
    step = Steps(bar).searching("Searching", 20.0)
    step("Searching")
    assert bar.tasks[0].fields["most_s"] == 20.0
    step("Checking")
    assert bar.tasks[0].fields["most_s"] is None
    assert left_text(5.2, 80.0) == "at most 1:15 left"
    assert left_text(90.0, 80.0) == "at most 0:00 left"
    assert left_text(5.0, None) == ""


@pytest.mark.parametrize(
    ("given", "told"),
    [({"most_s": 3600.0}, "at most"), ({"done": 1, "total": 2}, "--")],
)
def test_terminal_says_what_is_left(monkeypatch, given, told):
    """A known end is on the line: at once the longest time, an estimate as it goes."""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setenv("TERM", "xterm")
    with progress(quiet=False) as step:
        step("Weighing", **given)
    shown = terminal.getvalue()
    assert told in shown
    assert "left" in shown


def test_terminal_is_told_without_colour(monkeypatch):
    """Steps are named on a terminal; no colour is sent."""
    told = Terminal()
    monkeypatch.setattr(sys, "stderr", told)
    monkeypatch.setenv("TERM", "xterm")
    with progress(quiet=False) as step:
        step("Weighing", done=1, total=2)
    assert "Weighing" in told.getvalue()
    assert "\x1b[3" not in told.getvalue()


def test_quiet_and_piped_tell_nothing(monkeypatch):
    """JSON for a program, and a pipe, have nothing beside them."""
    told, piped = Terminal(), io.StringIO()
    monkeypatch.setattr(sys, "stderr", told)
    with progress(quiet=True) as step:
        step("Weighing")
    monkeypatch.setattr(sys, "stderr", piped)
    with progress(quiet=False) as step:
        step("Weighing")
    assert (told.getvalue(), piped.getvalue()) == ("", "")
