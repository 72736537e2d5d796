"""The whole of the command: parse, call, turn errors into text and an exit code.

Exit codes: 0 good; 1 a plan breaks or relaxes a rule; 2 bad input or arguments;
130 stopped by the keyboard; 141 the reader of the output has gone.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from typing import ClassVar, NoReturn

from rich_argparse import RichHelpFormatter

from scheduler.cli.registry import EXIT_BAD_INPUT, EXIT_BROKEN, Command, commands
from scheduler.errors import SchedulerError, UnverifiedPlanError

EXIT_STOPPED = 130
EXIT_BROKEN_PIPE = 141

_SUMMARY = (
    "When each aircraft's brakes let it go, and which fans, slots and checks make a "
    "day lose the fewest minutes. Advisory only: approved manuals and licensed staff "
    "decide."
)
_EXIT_CODES = "Exit code: 0 good, 1 a rule is broken or relaxed, 2 bad input."


class _HelpFormatter(RichHelpFormatter):
    """Help in bold and plain, without colours."""

    styles: ClassVar = {
        **dict.fromkeys(RichHelpFormatter.styles, "default"),
        "argparse.groups": "bold",
        "argparse.args": "bold",
        "argparse.prog": "bold",
        "argparse.metavar": "italic",
    }


class _Parser(argparse.ArgumentParser):
    """Tell a wrong argument in one line, without the usage in front of it."""

    def error(self, message: str) -> NoReturn:
        """Write the fault and where the help is, and stop."""
        help_at = f"see {self.prog} --help"
        self.exit(EXIT_BAD_INPUT, f"{self.prog}: error: {message} ({help_at})\n")


class _Version(argparse.Action):
    """Print the installed version, looked up only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version

        sys.stdout.write(f"heatslot {version('heatslot')}\n")
        parser.exit()


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    arguments : sequence of str, optional
        Words of the command line behind the program's name; the process's own by
        default.

    Returns
    -------
    code : int
        Exit code of the process.

    Raises
    ------
    SystemExit
        From the argument parser, after help (0) or for wrong arguments (2).
    """
    given = parser().parse_args(arguments)
    try:
        code: int = given.run(given)
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
        return EXIT_BROKEN_PIPE
    except KeyboardInterrupt:
        return _fail("stopped", EXIT_STOPPED)
    except _reported_errors() as error:
        if given.debug:
            raise
        broken = isinstance(error, UnverifiedPlanError)
        return _fail(_text(error), EXIT_BROKEN if broken else EXIT_BAD_INPUT)
    return code


def parser() -> argparse.ArgumentParser:
    """Build the parser of all commands."""
    top = _Parser(
        prog="heatslot",
        description=_SUMMARY,
        epilog=_EXIT_CODES,
        formatter_class=_HelpFormatter,
    )
    top.add_argument("--version", action=_Version, nargs=0, help="print the version")
    choices = top.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in commands():
        _add(choices, command)
    return top


def _add(choices: "argparse._SubParsersAction[_Parser]", command: Command) -> None:
    one = choices.add_parser(
        command.name,
        help=command.summary,
        description=command.description,
        epilog=_EXIT_CODES,
        formatter_class=_HelpFormatter,
    )
    command.add_arguments(one)
    one.add_argument(
        "--debug", action="store_true", help="show where in the program an error arose"
    )
    one.set_defaults(run=command.run)


def _reported_errors() -> tuple[type[Exception], ...]:
    """Errors that are told as text; the heat's are looked up only when one arose."""
    from thermal.errors import ThermalError

    return SchedulerError, ThermalError, OSError


def _text(error: Exception) -> str:
    if isinstance(error, OSError) and error.filename is not None:
        return f"{error.filename}: {error.strerror}"
    return str(error)


def _fail(text: str, code: int) -> int:
    """Write each line of a text to standard error, under the program's name."""
    lines = (f"heatslot: {line}\n" for line in text.splitlines())
    sys.stderr.writelines(lines)
    return code


def _drop_output() -> None:
    """Let the interpreter's last flush go nowhere instead of failing again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
