"""``heatslot log``: what happened today, one line a fact."""

from __future__ import annotations

import re
import shlex
import textwrap
from argparse import REMAINDER, ArgumentParser, Namespace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, NoReturn

from rich_argparse import RawDescriptionRichHelpFormatter

from scheduler.cli.log_facts import FACTS, OPTIONS, Fact, Said, understand
from scheduler.cli.log_times import Times, times_of
from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import write_json, write_line, write_wrapped
from scheduler.errors import ScenarioError

if TYPE_CHECKING:
    from scheduler.clock import Clock
    from scheduler.day import Day
    from scheduler.events import Entry, Event
    from scheduler.events.log_file import LogFile
    from scheduler.events.state import State
    from scheduler.files.scenario import Scenario

_DESCRIPTION = (
    "Log what happened, one fact at a time. It is added to events.csv of the scenario "
    "and read back in plain words; nothing that stands there is ever changed. Times "
    "are UTC; a fact without a time has happened now. What is wrong is told, and not "
    "logged."
)
_EXAMPLES = "One example a fact, behind heatslot log SCENARIO:"
_LABELS = {
    "time_utc": "time",
    "until_utc": "end",
    "indicated_c": "temperature",
    "speed_kt": "speed",
    "weight_kg": "weight",
    "wear_pin_mm": "wear pin",
    "undoes": "entry",
}
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
    by = f" by {fact.by}" if fact.by else ""
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
        work = _Work(scenario=scenario, log=log, now=now)
        options = {name: getattr(fact, name) for name in OPTIONS}
        try:
            said = understand(what, fact.words, options, scenario.planned)
            return work.write(said, fact.by, shlex.quote(str(folder)))
        except CommandError as error:
            raise CommandError(f"{error}; nothing was logged") from None


class _Work:
    """One fact on its way into the log of a scenario."""

    def __init__(self, *, scenario: Scenario, log: LogFile, now: datetime) -> None:
        from scheduler.events import replay

        self._day: Day = scenario.planned
        self._entries = scenario.log.entries
        self._notes = scenario.log.notes
        self._log = log
        self._now = now
        self._before: State = replay(self._day, self._entries)

    @property
    def _clock(self) -> Clock:
        return self._day.clock

    def write(self, said: Said, by: str, folder: str) -> dict[str, Any]:
        """Check the fact against all before it, and log it."""
        from scheduler.events import replay

        times, cells = self._cells(said, by)
        entry = self._entry(cells)
        after = replay(self._day, (*self._entries, entry))
        self._refuse(entry, after)
        number = self._log.append(cells)
        text = self._text(entry, after, times)
        undo = f"heatslot log {folder} undo {number}" if entry.undoes is None else ""
        return {
            "entry": number,
            **{key: value for key, value in cells.items() if value},
            "text": text,
            "undo": undo,
            "notes": [*self._notes, *self._warnings(entry, times, after)],
        }

    def _cells(self, said: Said, by: str) -> tuple[Times, dict[str, str]]:
        from scheduler.events import Event

        event = Event(said.cells["event"])
        near = self._near(said.cells.get("turnaround", ""))
        times = times_of(event, said.times, near, self._clock, self._now)
        cells = {
            **said.cells,
            "time_utc": self._utc(times.minute),
            "until_utc": self._utc(times.until_minute),
            "logged_utc": f"{self._now:%Y-%m-%dT%H:%M:%SZ}",
            "by": by,
        }
        return times, _without_spare_fan(event, cells)

    def _near(self, turnaround: str) -> tuple[int, int]:
        """Minutes in which a fact is likely to be."""
        stay = self._before.stays.get(turnaround)
        if stay is None:
            return 0, 1439
        return stay.landing_minute, stay.target_minute

    def _utc(self, minute: int | None) -> str:
        return "" if minute is None else self._clock.text(minute)

    def _entry(self, cells: dict[str, str]) -> Entry:
        from scheduler.files.events_file import EventContext, read_entry

        number, context = self._log.next_number, EventContext.of(self._day)
        try:
            return read_entry(cells, number, context)
        except ScenarioError as error:
            faults = re.sub(r"(?m)^events\.csv:\d+: ", "", str(error))
            raise CommandError("; ".join(map(_plain, faults.splitlines()))) from None

    def _refuse(self, entry: Entry, after: State) -> None:
        """Refuse what cannot be, and an undo that leaves what rests on it."""
        from scheduler.events import title

        for fault in after.faults:
            if fault in self._before.faults:
                continue
            if fault.entry is entry:
                text = f"{fault.column}: expected {fault.expected}, got {fault.got}"
                raise CommandError(_plain(text))
            rests = f"entry {fault.entry.number} ({title(fault.entry, after)})"
            raise CommandError(
                f"entry: expected one that nothing rests on, got {entry.undoes}: "
                f"{rests} does, undo that first"
            )

    def _text(self, entry: Entry, after: State, times: Times) -> str:
        from scheduler.events import said, title

        if entry.undoes is not None:
            undone = next(one for one in self._entries if one.number == entry.undoes)
            return f"{title(undone, after)} no longer counts (entry {undone.number})."
        text = said(entry, self._before, after)
        return f"{text} The time is now." if times.is_now else text

    def _warnings(self, entry: Entry, times: Times, after: State) -> list[str]:
        """Say what is logged all the same, and should be looked at."""
        found: list[str] = []
        ahead = (times.minute or 0) - self._clock.minute(self._now)
        if times.minute is not None and not entry.event.is_plan and 0 < ahead <= 720:
            found.append(f"that is {ahead} min from now")
        if after.faults:
            found.append("the log contradicts itself elsewhere; see heatslot check")
        return found


def _without_spare_fan(event: Event, cells: dict[str, str]) -> dict[str, str]:
    """Leave out the station's only fan where the fact has none."""
    with_fan = {"fan-on", "fan-off", "fan-out", "fan-back"}
    if event.value in with_fan or cells.get("pin") == "fan":
        return cells
    return {name: text for name, text in cells.items() if name != "fan"}


def _plain(fault: str) -> str:
    """Name a column as people do."""
    column, _, rest = fault.partition(": ")
    return f"{_LABELS.get(column, column)}: {rest}"


COMMANDS = (
    Command(
        name="log",
        summary="log what happened: in-block, readings, fans, checks, and so on",
        description=_DESCRIPTION,
        add_arguments=_add_arguments,
        run=_run,
    ),
)
