"""The ledger: only added to, whole after any kill, counts per brake position."""

import random
import sqlite3
import subprocess
import sys
import threading
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from scheduler.day import Found
from scheduler.errors import DayError
from scheduler.ledger import (
    Entry,
    Kind,
    LedgerError,
    Past,
    Window,
    open_ledger,
    past_of,
)
from tests.scheduler.ledger_writer import POSITIONS, entries_of_day

ROOT = Path(__file__).parents[2]
LANDING = Entry(
    station="Nowhere",
    day="2026-07-14",
    turnaround_id="N1",
    tail="Q1-ABC",
    position="L1",
    kind=Kind.LANDING,
    at_utc="2026-07-14T10:00:00Z",
    energy_mj=21.5,
    stack_peak_c=612.0,
    oxidation_dose=0.25,
    is_hot=True,
)
FINDING = replace(
    LANDING,
    kind=Kind.FINDING,
    energy_mj=None,
    stack_peak_c=None,
    oxidation_dose=None,
    is_hot=False,
    at_utc="2026-07-14T11:00:00Z",
    found=str(Found.WEAR_PIN),
    wear_pin_mm=14.5,
)
STOP = replace(LANDING, kind=Kind.ACCELERATE_STOP, at_utc="2026-07-14T10:30:00Z")
LATER = Window(station="Nowhere", day=date(2026, 7, 20), days=30)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the ledger is."""
    return tmp_path / "brakes.ledger"


def recorded(path: Path, *calls: list[Entry]) -> tuple[Entry, ...]:
    """Entries that count after these calls of record."""
    with open_ledger(path, create=True) as ledger:
        for entries in calls:
            ledger.record(entries)
    with open_ledger(path) as ledger:
        return ledger.entries()


def test_what_is_recorded_is_read_again(path):
    """Every field comes back as it was."""
    assert recorded(path, [LANDING, FINDING]) == (LANDING, FINDING)


def test_recording_a_day_twice_adds_nothing(path):
    """The same figures are known already."""
    with open_ledger(path, create=True) as ledger:
        assert ledger.record([LANDING, FINDING]) == 2
        assert ledger.record([LANDING, FINDING]) == 0
        assert ledger.row_count() == 2


def test_a_better_figure_counts_and_the_old_one_stays(path):
    """The latest entry of a key counts; the file only grows."""
    better = replace(LANDING, energy_mj=22.0)
    assert recorded(path, [LANDING], [better]) == (better,)
    with open_ledger(path) as ledger:
        assert ledger.row_count() == 2


def test_what_the_log_takes_back_is_withdrawn(path):
    """Findings and rejected take-offs that are no longer told do not count."""
    assert recorded(path, [LANDING, STOP, FINDING], [LANDING]) == (LANDING,)
    again = recorded(path, [LANDING, STOP])
    assert again == (LANDING, STOP)


def test_other_turnarounds_are_left_alone(path):
    """Recording one turnaround withdraws nothing of another."""
    other = replace(LANDING, turnaround_id="N2")
    assert recorded(path, [LANDING, FINDING], [other]) == (LANDING, FINDING, other)


def test_entries_of_one_tail(path):
    """Only those of that aircraft."""
    other = replace(LANDING, tail="Q1-XYZ")
    recorded(path, [LANDING, other])
    with open_ledger(path) as ledger:
        assert ledger.entries("Q1-XYZ") == (other,)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET energy_mj = 0",
        "DELETE FROM entry",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry",
        "REPLACE INTO entry SELECT * FROM entry WHERE id = 1",
    ],
)
def test_the_file_refuses_change(path, statement):
    """Triggers hold for whoever opens the file, not only for this program."""
    recorded(path, [LANDING])
    connection = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="entries are never"):
        connection.execute(statement)
    connection.close()
    with open_ledger(path) as ledger:
        assert ledger.entries() == (LANDING,)


def test_the_disk_is_asked_to_keep_it(path):
    """Rollback journal, and more than full synchronisation, on every opening."""
    with open_ledger(path, create=True) as ledger:
        ask = ledger._connection.execute
        assert ask("PRAGMA journal_mode").fetchone() == ("delete",)
        assert ask("PRAGMA synchronous").fetchone() == (3,)


def test_a_failed_call_adds_nothing(path):
    """All entries of a call are there, or none."""
    with open_ledger(path, create=True) as ledger:
        bad = replace(LANDING, position="L2", turnaround_id="N3")
        object.__setattr__(bad, "number", None)
        with pytest.raises(LedgerError, match="NOT NULL"):
            ledger.record([LANDING, bad])
        assert ledger.entries() == ()
        assert ledger.record([LANDING]) == 1


def test_two_processes_may_write(path):
    """A writer waits for the other one; nothing is lost."""
    with open_ledger(path, create=True) as ledger:
        ledger._connection.execute("BEGIN IMMEDIATE")
        other = threading.Thread(target=recorded, args=(path, [FINDING]))
        other.start()
        time.sleep(0.05)
        ledger._connection.execute("COMMIT")
        other.join()
        ledger.record([LANDING, FINDING])
        assert set(ledger.entries()) == {LANDING, FINDING}


def test_a_missing_ledger_is_told(path):
    """It is made only when asked for."""
    with pytest.raises(LedgerError, match="expected a ledger"), open_ledger(path):
        pass
    assert not path.exists()


def test_another_file_is_refused(path):
    """Text, and a database of somebody else, stay as they are."""
    path.write_text("no database at all, but long enough to be looked at" * 40)
    with pytest.raises(LedgerError, match="not a database"), open_ledger(path):
        pass
    other = path.with_name("other")
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE things (name TEXT)")
    connection.close()
    with pytest.raises(LedgerError, match="another database"), open_ledger(other):
        pass


def test_a_newer_ledger_is_refused(path):
    """Its meaning may have changed."""
    recorded(path, [LANDING])
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA user_version = 2")
    connection.close()
    with pytest.raises(LedgerError, match="got version 2"), open_ledger(path):
        pass


def test_figures_are_numbers():
    """NaN is no figure."""
    with pytest.raises(DayError, match="energy_mj: expected a number"):
        replace(LANDING, energy_mj=float("nan"))


def test_counts_per_position():
    """Stops, doses and findings of earlier days, by tail and position."""
    entries = [LANDING, STOP, FINDING, replace(LANDING, position="L2", is_hot=False)]
    past = past_of(entries, LATER)
    assert past[("Q1-ABC", "L1")] == Past(
        hot_stops=2,
        landings=1,
        accelerate_stops=1,
        oxidation_dose=0.5,
        checks=1,
        wear_pin_mm=14.5,
        since=LANDING.at_utc,
    )
    assert past[("Q1-ABC", "L2")].hot_stops == 0


def test_hot_stops_count_for_some_days_and_doses_for_good():
    """Seven days back the hot stop no longer counts; its dose still does."""
    week = replace(LATER, day=date(2026, 7, 21), days=7)
    past = past_of([LANDING], week)[("Q1-ABC", "L1")]
    assert (past.hot_stops, past.oxidation_dose) == (0, 0.25)
    assert past_of([LANDING], replace(week, days=8))[("Q1-ABC", "L1")].hot_stops == 1


def test_a_replaced_brake_begins_anew():
    """What was before the replacement is not counted."""
    new = replace(FINDING, found=str(Found.BRAKE_REPLACED), wear_pin_mm=None)
    after = replace(LANDING, day="2026-07-15", at_utc="2026-07-15T08:00:00Z")
    past = past_of([LANDING, new, after], LATER)[("Q1-ABC", "L1")]
    assert (past.hot_stops, past.landings, past.oxidation_dose) == (1, 1, 0.25)
    assert past.since == new.at_utc


def test_the_day_itself_and_later_ones_are_left_out():
    """They are computed again; another station's stops of that day count."""
    today = replace(LATER, day=date(2026, 7, 14))
    assert past_of([LANDING], today) == {}
    assert past_of([LANDING], replace(today, day=date(2026, 7, 13))) == {}
    assert past_of([LANDING], replace(today, station="Elsewhere")) != {}


def killed(path: Path, times: int, seed: int) -> set[int]:
    """Kill writers at random moments; returns the what was acknowledged."""
    chance, told = random.Random(seed), set[int]()
    for turn in range(times):
        first = 1000 * (turn + 1)
        writer = subprocess.Popen(
            [sys.executable, "-m", "tests.scheduler.ledger_writer", path, str(first)],
            cwd=ROOT,
            stdout=subprocess.PIPE,
        )
        begun = writer.stdout.readline() if chance.random() < 0.9 else b""
        time.sleep(chance.uniform(0.0, 0.03))
        writer.kill()
        rest, _ = writer.communicate()
        lines = (begun + rest).split(b"\n")[:-1]
        told |= {int(line) for line in lines}
        check_whole(path, told)
    return told


def check_whole(path: Path, told: set[int]) -> None:
    """Everything acknowledged is there, whole days only, and the file is sound."""
    with open_ledger(path, create=True) as ledger:
        assert ledger._connection.execute("PRAGMA integrity_check").fetchone() == (
            "ok",
        )
        entries = ledger.entries()
    days: dict[int, list[Entry]] = {}
    for entry in entries:
        days.setdefault(int(entry.turnaround_id[1:]), []).append(entry)
    assert told <= days.keys()
    for number, mine in days.items():
        assert mine == entries_of_day(number, float(number))
        assert len(mine) == len(POSITIONS)


def test_nothing_acknowledged_is_lost_when_killed(path):
    """A few kills at random moments; the long proof kills two hundred times."""
    assert len(killed(path, 6, seed=3)) >= 5


@pytest.mark.slow
def test_two_hundred_kills_lose_nothing(path):
    """After each of 200 kills the file opens and has all that was acknowledged."""
    assert len(killed(path, 200, seed=11)) > 200
