"""Processes that write to one log: two at once, or one after the other, killed.

Run as ``python -m tests.scheduler.log_writers together|killed|killed-file FOLDER``.
Prints the numbers of the entries that were reported as written, one a line.
"""

import os
import random
import signal
import sys
import time
from pathlib import Path

from scheduler.events import lock, open_log

LINES = 200
KILLS = 25


def write_lines(folder: Path, writer: str, lines: int, report: int) -> None:
    """Write lines; each number goes to ``report`` once the line is there."""
    for count in range(lines):
        with open_log(folder) as log:
            number = log.append({"event": "in-block", "by": f"{writer} {count}"})
        os.write(report, f"{number}\n".encode())


def in_pieces(handle: int, data: bytes) -> int:
    """Write a few bytes of the data, as a slow disk may."""
    time.sleep(0.0005)
    return os_write(handle, data[: random.randint(1, 9)])


os_write = os.write


def start(folder: Path, writer: str, lines: int, report: int, slow: bool) -> int:
    """Start a writer; returns its process."""
    child = os.fork()
    if child == 0:
        if slow:
            os.write = lambda handle, data: (
                os_write(handle, data) if handle == report else in_pieces(handle, data)
            )
        write_lines(folder, writer, lines, report)
        os._exit(0)
    return child


def size(folder: Path) -> int:
    """Bytes of the log so far."""
    path = folder / "events.csv"
    return path.stat().st_size if path.exists() else 0


def together(folder: Path, report: int) -> None:
    """Two writers of 200 lines each."""
    children = [start(folder, name, LINES, report, slow=False) for name in "AB"]
    for child in children:
        os.waitpid(child, 0)


def killed(folder: Path, report: int) -> None:
    """Writers that are killed at random, the next one starts at once."""
    random.seed(7)
    for turn in range(KILLS):
        child = start(folder, f"K{turn}", LINES, report, slow=True)
        grown = size(folder) + random.randint(1, 300)
        while size(folder) < grown:
            time.sleep(0.0002)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def main() -> None:
    """Run what the words say."""
    what, folder = sys.argv[1], Path(sys.argv[2])
    if what.endswith("file"):
        lock._locking = lambda: None
    if what == "killed-file":
        lock.LEFT_OVER_SECONDS = 0.02
    (together if what.startswith("together") else killed)(folder, 1)


if __name__ == "__main__":
    main()
