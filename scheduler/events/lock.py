"""One writer at a time in a folder.

Where the system locks files (``fcntl``) the folder itself is locked: a lock that ends
with its process, and leaves nothing behind. Elsewhere, and on file systems that refuse
this, a lock file stands in the folder; one that is older than any writer can be is
taken to be left over by a process that was killed.
"""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from scheduler.errors import SchedulerError

LOCK_NAME = ".heatslot-log.lock"
WAIT_SECONDS = 20.0
LEFT_OVER_SECONDS = 60.0
_PAUSE_SECONDS = 0.005


class LogBusyError(SchedulerError):
    """Somebody else has been writing to the log for too long."""


@contextmanager
def locked(folder: Path, wait_seconds: float = WAIT_SECONDS) -> Iterator[None]:
    """Hold the lock of a folder.

    Raises
    ------
    LogBusyError
        If it is not free within ``wait_seconds``.
    OSError
        If the folder cannot be opened or written to.
    """
    until = time.monotonic() + wait_seconds
    locking = _locking()
    handle = None if locking is None else _lock_folder(folder, locking, until)
    if handle is None:
        _take_file(folder, until)
    try:
        yield
    finally:
        if handle is None:
            (folder / LOCK_NAME).unlink(missing_ok=True)
        else:
            os.close(handle)


def _locking() -> Any:
    """Find the module that locks files; None where the system has none."""
    return import_module("fcntl") if find_spec("fcntl") else None


def _lock_folder(folder: Path, locking: Any, until: float) -> int | None:
    """Open and lock the folder; None where its file system cannot do that."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        while True:
            try:
                locking.flock(handle, locking.LOCK_EX | locking.LOCK_NB)
            except BlockingIOError:
                _pause(folder, until)
            else:
                return handle
    except OSError:
        os.close(handle)
        return None
    except BaseException:
        os.close(handle)
        raise


def _take_file(folder: Path, until: float) -> None:
    path = folder / LOCK_NAME
    while True:
        try:
            os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL))
        except FileExistsError:
            _drop_left_over(path)
            _pause(folder, until)
        else:
            return


def _drop_left_over(path: Path) -> None:
    """Move a lock file aside that no living writer can hold."""
    with suppress(FileNotFoundError):
        if time.time() - path.stat().st_mtime > LEFT_OVER_SECONDS:
            aside = path.with_name(f"{path.name}.{os.getpid()}")
            path.replace(aside)
            aside.unlink()


def _pause(folder: Path, until: float) -> None:
    if time.monotonic() > until:
        raise LogBusyError(f"{folder}: somebody else is writing to its log; try again")
    time.sleep(_PAUSE_SECONDS)
