"""Cells of one CSV row to values, each fault at its line and column.

Every method returns None where the cell is empty or at fault, so that the caller
can go on and find the other faults of the row.
"""

import math
import re
from collections.abc import Iterable
from datetime import date as calendar_day
from datetime import datetime
from enum import StrEnum
from typing import TypeVar

from scheduler.files import times
from scheduler.files.csv_table import Row
from scheduler.files.faults import FaultList, one_of

Choice = TypeVar("Choice", bound=StrEnum)

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
_GROUPED = re.compile(r"[+-]?\d{1,3}([ ,.'’\u00a0\u202f])\d{3}(?:\1\d{3})*")
_DECIMAL_COMMA = re.compile(r"[+-]?[\d .'\u00a0\u202f]*,\d+")
_YES_NO = {"yes": True, "true": True, "1": True, "no": False, "false": False}
_YES_NO |= {"0": False}


class Cells:
    """Reader of one row."""

    def __init__(self, file: str, row: Row, faults: FaultList) -> None:
        self._file = file
        self._row = row
        self._faults = faults

    def has(self, column: str) -> bool:
        """Whether the cell holds anything."""
        return bool(self._row[column])

    def add(self, column: str, expected: str, got: object = None) -> None:
        """Note a fault of the cell; its text is shown unless ``got`` is given."""
        found = self._row[column] if got is None else got
        self._faults.add(self._file, self._row.line, column, expected, found)

    def required(self, column: str) -> str | None:
        """Text that may not be empty."""
        if not self.has(column):
            self.add(column, "a value")
            return None
        return str(self._row[column])

    def name(self, column: str, known: Iterable[str]) -> str | None:
        """Text that is one of the known names; an empty cell is no fault."""
        text = str(self._row[column])
        names = list(known)
        if text and text not in names:
            self.add(column, one_of(names, text))
            return None
        return text or None

    def number(self, column: str, low: float, high: float, unit: str) -> float | None:
        """Decimal number within ``low … high``."""
        text = str(self._row[column])
        if not text:
            return None
        if not _NUMBER.fullmatch(text):
            self.add(column, _expected_number(text))
            return None
        value = float(text)
        if not (low <= value <= high and math.isfinite(value)):
            expected = f"{low:g} to {high:g} {unit}".strip()
            self.add(column, expected + _ungrouped(text, low, high))
            return None
        return value

    def integer(self, column: str, low: int, high: int, unit: str) -> int | None:
        """Whole number within ``low … high``."""
        value = self.number(column, low, high, unit)
        if value is None:
            return None
        if not value.is_integer():
            self.add(column, f"a whole number of {unit}")
            return None
        return int(value)

    def yes_no(self, column: str) -> bool | None:
        """``yes`` or ``no`` (also true/false, 1/0)."""
        if not self.has(column):
            return None
        value = _YES_NO.get(self._row[column].casefold())
        if value is None:
            self.add(column, "yes or no")
        return value

    def choice(self, column: str, kind: type[Choice]) -> Choice | None:
        """One value of an enumeration."""
        if not self.has(column):
            return None
        text = self._row[column].casefold()
        if text not in set(kind):
            self.add(column, one_of(member.value for member in kind))
            return None
        return kind(text)

    def date(self, column: str) -> calendar_day | None:
        """ISO date."""
        if not self.has(column):
            return None
        try:
            return times.calendar_date(self._row[column])
        except times.TimeTextError as error:
            self.add(column, str(error))
            return None

    def instant(self, column: str, on: calendar_day | None) -> datetime | None:
        """UTC instant, with ``HH:MM`` on the date ``on``."""
        if not self.has(column):
            return None
        try:
            return times.instant(self._row[column], on)
        except times.TimeTextError as error:
            self.add(column, str(error))
            return None


def _ungrouped(text: str, low: float, high: float) -> str:
    """Correct ``62.500`` to ``62500`` where only that lies in the range."""
    digits = re.sub(r"[^\d+-]", "", text)
    is_grouped = _GROUPED.fullmatch(text) is not None
    return f", as {digits}" if is_grouped and low <= float(digits) <= high else ""


def _expected_number(text: str) -> str:
    """Say what to write instead, with the corrected cell where it is clear."""
    readings: list[str] = []
    if _GROUPED.fullmatch(text):
        readings.append(re.sub(r"[^\d+-]", "", text))
    if _DECIMAL_COMMA.fullmatch(text):
        readings.append(re.sub(r"[^\d+,-]", "", text).replace(",", "."))
    if not readings:
        return "a number"
    return (
        f"a number with a decimal point and no other mark, as {' or '.join(readings)}"
    )
