"""The log on disk: whole lines, never rewritten, safe against kills and company."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from scheduler.events import lock, open_log, take_apart
from scheduler.events.lines import CUT, HEADER, line_of
from scheduler.events.lock import LOCK_NAME, LogBusyError, locked
from scheduler.files.csv_table import Headings
from scheduler.files.events_file import EventContext, read_events
from scheduler.files.faults import FaultList
from tests.scheduler.logged_day import planned

ROOT = Path(__file__).parents[2]
CELLS = {
    "time_utc": "2026-07-14T09:15:00Z",
    "turnaround": "A1",
    "event": "reading",
    "indicated_c": "165",
    "by": 'Ann "Q", née B',
}
BY_HAND = "time_utc,turnaround,event,indicated_c\n2026-07-14T09:12Z,A1,reading,300"


def append(folder, **cells):
    """Write one line."""
    with open_log(folder) as log:
        return log.append({**CELLS, **cells})


def read(folder):
    """Entries and notes of the folder's log; no fault is expected."""
    faults = FaultList()
    context = EventContext.of(planned())
    log = read_events(folder / "events.csv", context, Headings(), faults)
    faults.raise_if_any()
    return log


def writers(what, folder):
    """Numbers that the writers reported."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.scheduler.log_writers", what, str(folder)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr == ""
    return [int(line) for line in done.stdout.split()]


def whole_lines(folder):
    """Cells of the lines that count, by their number in the file."""
    data = (folder / "events.csv").read_bytes()
    lines = data.split(b"\n")
    cut = set(take_apart(data).cut)
    return {
        number: line.decode().split(",")
        for number, line in enumerate(lines, start=1)
        if line and line != HEADER and number not in cut
    }


def test_a_new_log_is_a_table(tmp_path):
    """The first line brings the header, and the number of each entry is its line."""
    assert [append(tmp_path), append(tmp_path)] == [2, 3]
    data = (tmp_path / "events.csv").read_bytes()
    assert data.startswith(HEADER + b"\n")
    assert [entry.number for entry in read(tmp_path).entries] == [2, 3]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["events.csv"]


@pytest.mark.parametrize("end", ["", "\n", "\r\n"])
def test_rows_by_hand_stay_as_they_are(tmp_path, end):
    """A file that was begun by hand is continued below a header of the log."""
    text = BY_HAND.replace("\n", end or "\n") + end
    (tmp_path / "events.csv").write_bytes(text.encode())
    assert append(tmp_path) == 4
    data = (tmp_path / "events.csv").read_bytes()
    assert data.startswith(text.encode())
    first, second = read(tmp_path).entries
    assert (first.number, first.line) == (2, 2)
    assert (second.number, second.line) == (4, 4)
    assert second.indicated_k == pytest.approx(438.15)


def test_each_byte_that_a_line_can_be_cut_at(tmp_path):
    """A line cut anywhere does not count, is noted, and is closed by the next one.

    Half of ``165`` is a temperature too.
    """
    path = tmp_path / "events.csv"
    append(tmp_path)
    whole = path.read_bytes()
    line = line_of({**CELLS, "entry": "3"})
    for length in range(1, len(line)):
        path.write_bytes(whole + line[:length])
        log = read(tmp_path)
        assert [entry.number for entry in log.entries] == [2]
        assert log.notes[0].startswith("events.csv:3: this line was cut short")
        assert append(tmp_path) == 4
        log = read(tmp_path)
        assert [entry.number for entry in log.entries] == [2, 4]
        assert len(log.notes) == 1
        assert path.read_bytes().startswith(whole + line[:length] + CUT)


def test_each_byte_that_a_first_line_can_be_cut_at(tmp_path):
    """Half of the header is no header, in a new file and below rows by hand."""
    path = tmp_path / "events.csv"
    for before in (b"", BY_HAND.encode() + b"\n"):
        for length in range(1, len(HEADER) + 1):
            path.write_bytes(before + HEADER[:length])
            assert len(read(tmp_path).entries) == bool(before)
            append(tmp_path)
            assert len(read(tmp_path).entries) == 1 + bool(before)


def test_a_closing_that_is_cut_closes_nothing(tmp_path):
    """The mark behind half a line may be cut as well; the line never counts."""
    path = tmp_path / "events.csv"
    append(tmp_path)
    half = path.read_bytes() + line_of({**CELLS, "entry": "3"})[:50]
    for length in range(len(CUT) + 1):
        path.write_bytes(half + CUT[:length])
        assert append(tmp_path) == 4
        assert [entry.number for entry in read(tmp_path).entries] == [2, 4]


def test_a_row_by_hand_below_the_log_needs_no_line_end(tmp_path):
    """A row without a number is somebody's, whole without a line end."""
    append(tmp_path)
    path = tmp_path / "events.csv"
    row = line_of(CELLS).rstrip(b"\n")
    path.write_bytes(path.read_bytes() + row)
    assert [entry.number for entry in read(tmp_path).entries] == [2, 3]
    assert append(tmp_path) == 4
    assert len(read(tmp_path).entries) == 3


def test_a_full_disk_is_an_error_and_no_entry(tmp_path, monkeypatch):
    """What a full disk left of a line does not count."""
    append(tmp_path)
    true_write = os.write

    def full(handle, data):
        if len(data) < 60:
            raise OSError(28, "No space left on device")
        return true_write(handle, data[:20])

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(OSError, match="No space left"):
        append(tmp_path)
    monkeypatch.undo()
    assert [entry.number for entry in read(tmp_path).entries] == [2]
    assert append(tmp_path) == 4


def test_line_breaks_in_a_cell_are_blanks(tmp_path):
    """One entry is one line, whatever is typed."""
    append(tmp_path, by="Ann\r\nB\x0b")
    assert len((tmp_path / "events.csv").read_bytes().splitlines()) == 2
    assert len(read(tmp_path).entries) == 1


@pytest.mark.parametrize("what", ["together", "together-file"])
def test_two_writers_lose_nothing(tmp_path, what):
    """Twice 200 lines from two processes: all there, whole, each number once."""
    reported = writers(what, tmp_path)
    lines = whole_lines(tmp_path)
    assert sorted(reported) == sorted(lines) == list(range(2, 402))
    assert all(int(cells[0]) == number for number, cells in lines.items())
    names = {cells[-1] for cells in lines.values()}
    assert names == {f"{name} {count}" for name in "AB" for count in range(200)}
    assert take_apart((tmp_path / "events.csv").read_bytes()).cut == ()


@pytest.mark.parametrize("what", ["killed", "killed-file"])
def test_writers_killed_at_random_lose_nothing_they_reported(tmp_path, what):
    """After each kill the next writer goes on; what was reported is there, whole."""
    reported = writers(what, tmp_path)
    lines = whole_lines(tmp_path)
    assert set(reported) <= set(lines)
    assert len(reported) > 10
    for number, cells in lines.items():
        assert int(cells[0]) == number
        assert len(cells) == len(HEADER.split(b","))
    assert take_apart((tmp_path / "events.csv").read_bytes()).cut != ()


def test_a_lock_that_is_held_too_long_is_told(tmp_path):
    """The second writer does not wait for ever."""
    busy = pytest.raises(LogBusyError, match="try again")
    with locked(tmp_path), busy, locked(tmp_path, wait_seconds=0.02):
        pass


def test_the_lock_file_of_a_killed_writer_is_taken_over(tmp_path, monkeypatch):
    """Where the system locks nothing, a lock file that is too old is left over."""
    monkeypatch.setattr(lock, "_locking", lambda: None)
    (tmp_path / LOCK_NAME).touch()
    with pytest.raises(LogBusyError), locked(tmp_path, wait_seconds=0.02):
        pass
    os.utime(tmp_path / LOCK_NAME, (0, 0))
    assert append(tmp_path) == 2
    assert not (tmp_path / LOCK_NAME).exists()


def test_a_file_system_that_locks_no_folder_gets_a_lock_file(tmp_path, monkeypatch):
    """Where locking a folder fails, the lock file serves."""

    class Refusing:
        LOCK_EX = LOCK_NB = 0

        @staticmethod
        def flock(handle, flags):
            assert handle >= flags
            raise OSError(9, "Bad file descriptor")

    monkeypatch.setattr(lock, "_locking", lambda: Refusing)
    with locked(tmp_path):
        assert (tmp_path / LOCK_NAME).exists()
    assert not (tmp_path / LOCK_NAME).exists()
