"""Faults of the scenario files, collected so that one run shows all of them.

A fault reads ``file:line: column: expected …, got …``; the line is left out where
there is none (a missing file).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from scheduler.errors import ScenarioError

_FILE_ORDER = (
    "station.toml",
    "fleet.toml",
    "turnarounds.csv",
    "slots.csv",
    "weather.metar",
    "weather.csv",
    "events.csv",
)
_LONG_LIST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault: where it is, what was expected there and what was found."""

    file: str
    line: int | None
    column: str
    expected: str
    got: str

    @property
    def text(self) -> str:
        """The fault in one line."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        column = f" {self.column}:" if self.column else ""
        return f"{place}:{column} expected {self.expected}, got {self.got}"


class FaultList:
    """Collector that every reader of one scenario adds to."""

    def __init__(self) -> None:
        self._faults: list[Fault] = []

    @property
    def count(self) -> int:
        """How many faults were noted so far."""
        return len(self._faults)

    def add(
        self, file: str, line: int | None, column: str, expected: str, got: object
    ) -> None:
        """Note one fault; a value from TOML is shown as TOML writes it."""
        fault = Fault(
            file=file, line=line, column=column, expected=expected, got=shown(got)
        )
        if fault not in self._faults:
            self._faults.append(fault)

    def raise_if_any(self) -> None:
        """Raise one error with all faults, file by file and line by line.

        Raises
        ------
        ScenarioError
            If any fault was noted.
        """
        if self._faults:
            ordered = sorted(self._faults, key=_place)
            raise ScenarioError.of([fault.text for fault in ordered])


def shown(value: object) -> str:
    """Text of a found value: TOML spelling, or the bare text of a CSV cell."""
    if isinstance(value, Cell):
        return str(value) if value.strip() else "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(shown(item) for item in value) + "]"
    return str(value)


class Cell(str):
    """Text of one CSV cell; an empty one is shown as ``nothing``."""

    __slots__ = ()


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Known name closest to ``name``, None where none is close."""
    by_key = {_key(candidate): candidate for candidate in known}
    found = get_close_matches(_key(name), list(by_key), n=1, cutoff=0.55)
    return by_key[found[0]] if found else None


def one_of(names: Iterable[str], name: str = "") -> str:
    """``one of a, b`` for a message, the nearest to ``name`` at the end."""
    known = list(dict.fromkeys(names))
    close = nearest(name, known) if name else None
    hint = f" (nearest: {close})" if close and len(known) > 1 else ""
    if close and len(known) > _LONG_LIST:
        return f"a known name{hint}"
    return f"one of {', '.join(known) or '(none defined)'}{hint}"


def _key(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _place(fault: Fault) -> tuple[int, int]:
    order = _FILE_ORDER.index(fault.file) if fault.file in _FILE_ORDER else 0
    return order, fault.line or 0
