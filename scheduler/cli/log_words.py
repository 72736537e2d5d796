"""The words behind ``heatslot log SCENARIO``: one fact → the cells of one log line.

Words come in the order in which one says them, the time anywhere; small words (at,
from, to, until, back) and units may stand where people put them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.cli.log_facts import FACTS
from scheduler.cli.registry import CommandError

if TYPE_CHECKING:
    from scheduler.day import Day

_TIME = re.compile(r"\d{1,2}:\d{2}\S*|\d{4}-\d{2}-\d{2}T\S*")
_MEASURE = re.compile(r"(-?\d+(?:\.\d+)?)(°?c|kt|kg|mm)", re.IGNORECASE)
_UNIT_WORDS = {"°c", "c", "kt", "kg", "mm", "unit", "units"}
_BEFORE_TIME = {"at", "from", "to", "until", "till", "back", "-"}
_NUMBERS = {"indicated_c", "units", "speed_kt", "weight_kg", "wear_pin_mm", "undoes"}
_MISSING = {"pin": "what to keep", "finding": "what was found"}
_PHRASES = {
    "finding": (
        "no-finding",
        "plug-and-tyre-checked",
        "wheel-changed",
        "brake-replaced",
        "wear-pin",
    ),
    "pin": ("off-block", "not-before", "no-fan", "fan"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the words say: cells by column, and the times as they were written."""

    cells: Mapping[str, str]
    times: tuple[str, ...]


def understand(
    what: str, words: Iterable[str], options: Mapping[str, str | None], day: Day
) -> Said:
    """Sort words and options of a fact into cells.

    Raises
    ------
    CommandError
        If there are too many words or too few, or an option that the fact has not.
    """
    fact = FACTS[what]
    times, rest = _times_and_rest(words)
    if len(times) > fact.times:
        raise CommandError(f"{what}: expected {_as(what)}, got {' and '.join(times)}")
    given = {name: text for name, text in options.items() if text is not None}
    for name in given:
        if name not in fact.options:
            option = f"--{name.replace('_', '-')}"
            raise CommandError(f"{what}: expected no {option}, as: {fact.example}")
    cells = _sort(what, rest, given, day)
    return Said(cells={"event": what, **_named(cells, day)}, times=tuple(times))


def _as(what: str) -> str:
    count = "one time" if FACTS[what].times == 1 else "at most two times"
    return f"{count}, as: {FACTS[what].example}"


def _times_and_rest(words: Iterable[str]) -> tuple[list[str], list[str]]:
    """Part times from the other words; what only leads to a time goes."""
    times: list[str] = []
    rest: list[str] = []
    for word in " ".join(words).replace("@", " ").split():
        if not _TIME.fullmatch(word):
            rest.append(word)
            continue
        times.append(word)
        while rest and rest[-1].casefold() in _BEFORE_TIME and len(rest) > 1:
            rest.pop()
    return times, rest


def _sort(
    what: str, words: list[str], given: Mapping[str, str], day: Day
) -> dict[str, str]:
    """Words to columns in their order, without those that options fill."""
    cells = dict(given)
    fans = {fan.name.casefold() for fan in day.station.fans}
    left = list(words)
    for column in FACTS[what].columns:
        name = column.removesuffix("?")
        if name in cells:
            continue
        number = bool(left) and left[0].isdigit()
        if name == "fan" and number and left[0].casefold() not in fans:
            continue
        if name in _PHRASES:
            left = _joined(left, _PHRASES[name])
        if left:
            cells[name] = _bare(left.pop(0)) if name in _NUMBERS else left.pop(0)
            if name in _NUMBERS and left and left[0].casefold() in _UNIT_WORDS:
                left.pop(0)
        elif not column.endswith("?"):
            missing = _MISSING.get(name, name)
            raise CommandError(f"{what}: expected {missing}, as: {FACTS[what].example}")
    if left:
        raise CommandError(
            f"{what}: expected nothing more, as: {FACTS[what].example}; "
            f"got {' '.join(left)}"
        )
    return cells


def _joined(words: list[str], phrases: Iterable[str]) -> list[str]:
    """Join leading words that together are one of the phrases."""
    for phrase in phrases:
        parts = phrase.split("-")
        if [word.casefold() for word in words[: len(parts)]] == parts:
            return [phrase, *words[len(parts) :]]
    return words


def _bare(text: str) -> str:
    """Take a unit off a number, as in ``420C`` and ``110kt``."""
    match = _MEASURE.fullmatch(text)
    return match[1] if match else text


def _named(cells: dict[str, str], day: Day) -> dict[str, str]:
    """Names as the scenario spells them; a station's only fan needs no name."""
    station, what = day.station, cells.get("pin", "fan")
    fans = tuple(fan.name for fan in station.fans)
    known = {
        "turnaround": tuple(one.id for one in day.turnarounds),
        "stand": tuple(stand.name for stand in station.stands),
        "runway": tuple(runway.name for runway in station.runways),
        "fan": fans,
    }
    named = {
        column: _spelling(text, known.get(column, ())) for column, text in cells.items()
    }
    if len(fans) == 1 and what == "fan" and "undoes" not in cells:
        named.setdefault("fan", fans[0])
    return named


def _spelling(text: str, names: Iterable[str]) -> str:
    same = [name for name in names if name.casefold() == text.casefold()]
    return same[0] if len(same) == 1 and text not in names else text
