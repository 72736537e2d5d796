"""Lines of the log as bytes: sections, and lines that were cut short.

The log writes whole lines below its own header. A line that it could not finish has no
line end; the next one that writes closes it with `CUT`. Neither is ever counted: half
a line can look like another fact. A file that was begun by hand keeps its header and
its lines; the log writes its own header below them once, and each header counts to the
next.
"""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.events.entry import COLUMNS

HEADER = ",".join(COLUMNS).encode()
CUT = b" #cut"
_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Lines below one header, the header among them.

    ``is_logged`` where the header is the log's own.
    """

    first_line: int
    data: bytes
    is_logged: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLines:
    """The file taken apart; ``cut`` numbers the lines that do not count."""

    sections: tuple[Section, ...]
    cut: tuple[int, ...]


def take_apart(data: bytes) -> LogLines:
    """Sections of the file, with empty lines in the place of those cut short."""
    lines = data.removeprefix(_MARK).splitlines(keepends=True)
    sections: list[Section] = []
    cut: list[int] = []
    first, held, logged = 1, list[bytes](), False
    for number, line in enumerate(lines, start=1):
        if is_cut(line, logged=logged):
            cut.append(number)
            held.append(b"\n")
            continue
        if line.rstrip(b"\r\n") == HEADER:
            if b"".join(held).strip():
                sections.append(_section(first, held, logged))
            first, held, logged = number, [], True
        held.append(line)
    if b"".join(held).strip():
        sections.append(_section(first, held, logged))
    return LogLines(sections=tuple(sections), cut=tuple(cut))


def is_cut(line: bytes, *, logged: bool) -> bool:
    """Whether a line is the rest of one that the log could not finish."""
    if b"\0" in line:
        return True
    ended = line.endswith((b"\n", b"\r"))
    if ended:
        return line.rstrip(b"\r\n").endswith((CUT, CUT + b'"'))
    return HEADER.startswith(line) or (logged and line[:1].isdigit())


def closing(data: bytes) -> bytes:
    """Build what has to follow the last line before a new one can."""
    last = data[data.rfind(b"\n") + 1 :]
    if not last:
        return b""
    if not is_cut(last, logged=ends_below_own_header(data)):
        return b"\n"
    quote = b'"' if last.count(b'"') % 2 else b""
    return CUT + quote + b"\n"


def ends_below_own_header(data: bytes) -> bool:
    """Whether the last header of the file is the log's own."""
    sections = take_apart(data).sections
    return bool(sections) and sections[-1].is_logged


def line_of(cells: Mapping[str, str]) -> bytes:
    """One line of the log with its line end; text cells lose their line breaks."""
    text = io.StringIO()
    values = [" ".join(cells.get(column, "").split()) for column in COLUMNS]
    csv.writer(text, lineterminator="\n").writerow(values)
    return text.getvalue().encode()


def _section(first: int, lines: list[bytes], logged: bool) -> Section:
    return Section(first_line=first, data=b"".join(lines), is_logged=logged)
