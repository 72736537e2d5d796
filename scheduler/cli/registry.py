"""Commands and where they live.

A module of this package that offers commands has a tuple ``COMMANDS``; its name stands
in `MODULES`, in the order of the help. Such a module imports nothing heavy at its top,
so that the help is there at once.
"""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from scheduler.errors import SchedulerError

MODULES = (
    "planning",
    "replanning",
    "single",
    "brief",
    "tradeoff",
    "log",
    "inspect",
    "scenarios",
    "plans",
    "cooldown",
    "calibrate",
    "catalogue",
)

EXIT_GOOD = 0
EXIT_BROKEN = 1
EXIT_BAD_INPUT = 2


class CommandError(SchedulerError):
    """A command cannot do what was asked; the message says what would work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One command: its name, a line for the list, a text, its arguments, its call.

    ``run`` returns the exit code: 0 good, 1 a rule is broken or relaxed, 2 bad input.
    """

    name: str
    summary: str
    description: str
    add_arguments: Callable[[ArgumentParser], None]
    run: Callable[[Namespace], int]


def commands() -> tuple[Command, ...]:
    """All commands, in the order of the help."""
    found: list[Command] = []
    for name in MODULES:
        found.extend(import_module(f"scheduler.cli.{name}").COMMANDS)
    return tuple(found)
