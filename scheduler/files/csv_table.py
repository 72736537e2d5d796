"""One CSV file as rows of named cells, with the faults of its form.

RFC 4180, UTF-8 with or without BOM, comma and double quote. Headings of an export
are renamed by ``[columns]`` of station.toml or left out by its ``ignore``. A file with
semicolons is a fault, but it is read on so that its other faults show too.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from io import StringIO
from pathlib import Path

from scheduler.files.faults import Cell, FaultList, nearest, one_of
from scheduler.files.text_file import read_text

_OTHER_UNITS = ("lb", "lbs", "t", "ft", "f", "k", "kmh", "mph", "local", "h", "hours")


@dataclass(frozen=True, slots=True, kw_only=True)
class Headings:
    """Headings of an export: theirs to ours, and those to leave out.

    ``settable`` says that station.toml may rename and ignore headings of this file.
    """

    renamed: Mapping[str, str] = field(default_factory=dict)
    ignored: frozenset[str] = frozenset()
    settable: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One record: the line it starts on and its cells by our column names."""

    line: int
    cells: Mapping[str, Cell]

    def __getitem__(self, column: str) -> Cell:
        """Return the text of a cell; empty where the column is not there."""
        return self.cells.get(column, Cell(""))


def read_rows(
    path: Path, known: tuple[str, ...], headings: Headings, faults: FaultList
) -> list[Row] | None:
    """Read the rows of a CSV file, renamed to known columns.

    Returns
    -------
    rows : list of Row or None
        None where the file or its header cannot be read.
    """
    text = read_text(path, faults)
    return None if text is None else rows_of(path.name, text, known, headings, faults)


def rows_of(
    file: str,
    text: str,
    known: tuple[str, ...],
    headings: Headings,
    faults: FaultList,
    *,
    first_line: int = 1,
) -> list[Row] | None:
    """Read the rows of a text whose header stands on line ``first_line`` of a file.

    Returns
    -------
    rows : list of Row or None
        None where there is no header.
    """
    separator = _separator(file, text, first_line, faults)
    records = _records(file, text, separator, first_line, faults)
    header = next(records, None)
    if header is None:
        faults.add(file, first_line, "", "a header line", "nothing")
        return None
    names = _columns(file, header, known, headings, faults)
    return [
        Row(
            line=line,
            cells={
                name: Cell(cell.strip())
                for name, cell in zip(names, cells, strict=False)
                if name is not None
            },
        )
        for line, cells in records
        if _is_complete(file, line, cells, len(names), faults)
    ]


def _separator(file: str, text: str, line: int, faults: FaultList) -> str:
    header = text.lstrip("\r\n").split("\n", 1)[0].strip()
    for mark, name in ((";", "semicolons"), ("\t", "tabs")):
        if header.count(mark) > header.count(","):
            corrected = header.replace(mark, ",")
            faults.add(file, line, "separator", f"commas, as {corrected}", name)
            return mark
    return ","


def _records(
    file: str, text: str, separator: str, first_line: int, faults: FaultList
) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    line = first_line
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield line, cells
            line = first_line + reader.line_num
    except csv.Error as error:
        faults.add(file, line, "", "a second quote for each (RFC 4180)", str(error))


def _columns(
    file: str,
    header: tuple[int, list[str]],
    known: tuple[str, ...],
    headings: Headings,
    faults: FaultList,
) -> list[str | None]:
    line, titles = header
    names: list[str | None] = []
    for raw in titles:
        title = raw.strip()
        name = headings.renamed.get(title, title)
        if title in headings.ignored or not title:
            names.append(None)
            continue
        if name not in known:
            expected = _known_column(title, known)
            if not headings.settable:
                expected = one_of(known, title)
            faults.add(file, line, title, expected, "this heading")
        elif name in names:
            faults.add(file, line, title, f"one column {name}", "a second one")
        names.append(name if name in known else None)
    return names


def _known_column(title: str, known: tuple[str, ...]) -> str:
    """Say what to paste into station.toml for an unknown heading."""
    quoted = title.replace("\\", "\\\\").replace('"', '\\"')
    ignore = f'ignore = ["{quoted}"]'
    close = nearest(title, known)
    words = re.findall("[a-z]+", title.casefold())
    if close is not None and words and words[-1] in _OTHER_UNITS:
        return (
            f"a known column (nearest: {close}, values in that unit), or under "
            f"[columns] of station.toml: {ignore}"
        )
    if close is None:
        return (
            f'a known column, or under [columns] of station.toml: "{quoted}" = "…" '
            f"with ours (docs/scenario-format.md), or {ignore}"
        )
    return (
        f"a known column (nearest: {close}), or under [columns] of station.toml: "
        f'"{quoted}" = "{close}" or {ignore}'
    )


def _is_complete(
    file: str, line: int, cells: list[str], count: int, faults: FaultList
) -> bool:
    if len(cells) == count:
        return True
    hint = " (a decimal comma or an unquoted comma?)" if len(cells) > count else ""
    faults.add(file, line, "", f"{count} cells", f"{len(cells)}{hint}")
    return False
