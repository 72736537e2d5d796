"""Look-ups and checks that the records of a day share."""

from collections.abc import Iterable
from typing import TypeVar

from scheduler.errors import DayError

Record = TypeVar("Record")


def check_unique(label: str, names: Iterable[str]) -> None:
    """Refuse a name that comes twice."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise DayError.of(label, "unique names", name)
        seen.add(name)


def find(label: str, records: tuple[Record, ...], key: str, name: str) -> Record:
    """Record of that name; `DayError` with the known ones otherwise."""
    for record in records:
        if getattr(record, key) == name:
            return record
    known = ", ".join(str(getattr(record, key)) for record in records)
    raise DayError.of(label, f"one of {known}", name)
