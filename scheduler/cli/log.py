"""``heatslot log``: what happened today, one line a fact."""

from __future__ import annotations

import shlex
import textwrap
from argparse import REMAINDER, ArgumentParser, Namespace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, ClassVar, NoReturn

from rich_argparse import RawDescriptionRichHelpFormatter

from scheduler.cli.log_facts import FACTS, OPTIONS, Fact
from scheduler.cli.log_words import understand
from scheduler.cli.log_work import FactWork
from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import write_json, write_line, write_wrapped

_DESCRIPTION = (
    "Log what happened, one fact at a time. It is added to events.csv of the scenario "
    "and read back in plain words; nothing that stands there is ever changed. Times "
    "are UTC; a fact without a time has happened now. What is wrong is told, and not "
    "logged."
)
_EXAMPLES = "One example a fact, behind heatslot log SCENARIO:"
_LONGEST_NAME = 40
_WIDTH = 78
_FORMULA = ("=", "+", "-", "@")  # a spreadsheet would compute them


def utc_now() -> datetime:
    """Read the clock."""
    return datetime.now(UTC)


class _FactParser(ArgumentParser):
    """Tell wrong options as every other fault of a fact."""

    def error(self, message: str) -> NoReturn:
        """Raise the fault, with what would be right."""
        example = FACTS[self.prog.rsplit(" ", 1)[1]].example
        raise CommandError(f"{message}; expected words as: {example}")


def _add_arguments(parser: ArgumentParser) -> None:
    class Examples(RawDescriptionRichHelpFormatter):
        """Keep the lines of the examples as they are, in the style of all help."""

        styles: ClassVar = getattr(parser.formatter_class, "styles", {})

    parser.formatter_class = Examples
    introduction = textwrap.fill(_DESCRIPTION, _WIDTH)
    examples = (f"  {fact.example}\n{_meaning(fact)}" for fact in FACTS.values())
    parser.description = "\n".join((introduction, "", _EXAMPLES, "", *examples))
    parser.add_argument(
        "scenario", type=Path, metavar="SCENARIO", help="folder with the day's files"
    )
    parser.add_argument(
        "fact",
        nargs=REMAINDER,
        metavar="FACT",
        help="as above; --by NAME says who logs it, --json prints the entry as JSON",
    )


def _meaning(fact: Fact) -> str:
    lead = " " * 6
    return textwrap.fill(
        fact.meaning, _WIDTH, initial_indent=lead, subsequent_indent=lead
    )


def _fact_parser(what: str) -> ArgumentParser:
    """Build the parser of the words and options behind one fact."""
    fact = FACTS[what]
    parser = _FactParser(
        prog=f"heatslot log SCENARIO {what}",
        description=f"{fact.meaning}. Example: {fact.example}",
    )
    parser.add_argument("words", nargs="*", metavar="WORD", help=" ".join(fact.columns))
    for option in OPTIONS:
        name = option.replace("_", "-")
        parser.add_argument(f"--{name}", dest=option, metavar="VALUE")
    parser.add_argument("--by", type=_name, default="", metavar="NAME")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--debug", action="store_true")
    return parser


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not name.isprintable() or len(name) > _LONGEST_NAME or name.startswith(_FORMULA):
        raise CommandError(f"--by: expected a name or initials, got {text!r}")
    return name


def _run(given: Namespace) -> int:
    what, words = _what(given.fact)
    fact = _fact_parser(what).parse_intermixed_args(words)
    given.debug = given.debug or fact.debug
    now = utc_now()
    if not given.scenario.is_dir():
        raise CommandError(f"{given.scenario}: expected a scenario folder, got none")
    told = _log(given.scenario, what, fact, now)
    if fact.json:
        write_json(told)
        return EXIT_GOOD
    write_wrapped(told["text"])
    by = f" ({fact.by})" if fact.by else ""
    write_wrapped(f"Entry {told['entry']}, logged {now:%Y-%m-%d %H:%M} UTC{by}.")
    if told["undo"]:
        write_line(f"Undo with: {told['undo']}")
    for note in told["notes"]:
        write_wrapped(f"Note: {note}")
    return EXIT_GOOD


def _what(words: list[str]) -> tuple[str, list[str]]:
    """Fact among the words: the first that is none of the options."""
    from scheduler.files.faults import one_of

    for place, word in enumerate(words):
        if word.casefold() in FACTS:
            return word.casefold(), words[:place] + words[place + 1 :]
    first = next((word for word in words if not word.startswith("-")), "")
    expected = one_of(FACTS, first)
    if expected.startswith("a known name"):
        expected += ", all are in heatslot log --help"
    raise CommandError(f"fact: expected {expected}, got {first or 'nothing'}")


def _log(folder: Path, what: str, fact: Namespace, now: datetime) -> dict[str, Any]:
    """Read, check and write while nobody else does; what is to be told of it."""
    from scheduler.events import open_log
    from scheduler.files.scenario import open_scenario

    with open_log(folder) as log:
        scenario = open_scenario(folder)
        work = FactWork(scenario=scenario, log=log, now=now)
        options = {name: getattr(fact, name) for name in OPTIONS}
        try:
            said = understand(what, fact.words, options, scenario.planned)
            return work.write(said, fact.by, shlex.quote(str(folder)))
        except CommandError as error:
            raise CommandError(f"{error}; nothing was logged") from None


COMMANDS = (
    Command(
        name="log",
        summary="log what happened: in-block, readings, fans, checks, and so on",
        description=_DESCRIPTION,
        add_arguments=_add_arguments,
        run=_run,
    ),
)
