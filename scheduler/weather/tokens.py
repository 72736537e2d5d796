"""Weather messages of a text file, cut into groups that know where they stand.

One message a line; a line that starts with a blank continues the message above it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """One group of a message: its text, line and column (both from 1)."""

    text: str
    line: int
    column: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupFault:
    """A group that is not what the code form has in its place."""

    group: Group
    label: str
    expected: str


def messages(text: str) -> Iterator[tuple[Group, ...]]:
    """Messages of a file, each as its groups; ``#`` starts a comment line."""
    groups: list[Group] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith("#") or not line.strip():
            continue
        if groups and not line[0].isspace():
            yield tuple(groups)
            groups = []
        groups += _groups(line, number)
    if groups:
        yield tuple(groups)


def _groups(line: str, number: int) -> Iterator[Group]:
    for match in re.finditer(r"[^\s=]+", line):
        yield Group(text=match[0].upper(), line=number, column=match.start() + 1)
