"""The log on disk: whole lines, behind all others, one writer at a time.

Nothing that stands in the file is ever written again. A line is there once it has
reached the disk; one that a kill or a full disk cut short never counts, and the next
writer closes it.
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from scheduler.events.entry import FILE
from scheduler.events.lines import (
    HEADER,
    closing,
    ends_below_own_header,
    line_of,
)
from scheduler.events.lock import WAIT_SECONDS, locked

_FLAGS = os.O_WRONLY | os.O_APPEND | os.O_CREAT


class LogFile:
    """The log of a scenario folder, while nobody else writes to it."""

    def __init__(self, path: Path) -> None:
        self._path = path

    @property
    def next_number(self) -> int:
        """Number of the line that `append` writes next."""
        data = self._data()
        return len((data + self._ahead(data)).splitlines()) + 1

    def append(self, cells: Mapping[str, str]) -> int:
        """Write one line to the disk.

        Parameters
        ----------
        cells : mapping of str to str
            Texts by column; ``entry`` is filled in.

        Returns
        -------
        number : int
            Number of the entry: the line that it stands on.

        Raises
        ------
        OSError
            If it cannot be written; the line does not count then.
        """
        data = self._data()
        ahead = self._ahead(data)
        number = len((data + ahead).splitlines()) + 1
        self._write(ahead + line_of({**cells, "entry": str(number)}))
        if not data:
            _flush_folder(self._path.parent)
        return number

    def _data(self) -> bytes:
        return self._path.read_bytes() if self._path.exists() else b""

    def _ahead(self, data: bytes) -> bytes:
        """Build what has to stand between the last line and the new one."""
        end = closing(data)
        own = ends_below_own_header(data + end)
        return end if own else end + HEADER + b"\n"

    def _write(self, data: bytes) -> None:
        flags = _FLAGS | getattr(os, "O_BINARY", 0)
        handle = os.open(self._path, flags, 0o666)
        try:
            while data:
                data = data[os.write(handle, data) :]
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def open_log(folder: Path, wait_seconds: float = WAIT_SECONDS) -> Iterator[LogFile]:
    """Open the log of a folder for writing; it is created by the first line.

    Raises
    ------
    LogBusyError
        If somebody else writes for longer than ``wait_seconds``.
    """
    with locked(folder, wait_seconds):
        yield LogFile(folder / FILE)


def _flush_folder(folder: Path) -> None:
    """Let the name of a new file reach the disk, where a folder can be opened."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
