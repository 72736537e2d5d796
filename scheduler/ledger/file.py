"""The ledger on disk: opened, read, added to; safe against a kill at any moment.

Enters and leaves: `Entry` records. All entries of one call are there, or none. The
rollback journal is on, and the disk is asked to keep file, journal and folder before a
call returns (``synchronous = EXTRA``): what is acknowledged is committed.
"""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

from scheduler.errors import SchedulerError
from scheduler.ledger.entry import Entry, Kind
from scheduler.ledger.schema import APPLICATION_ID, INSERT, SELECT, STATEMENTS, VERSION

WAIT_SECONDS = 20.0


class LedgerError(SchedulerError):
    """A ledger that cannot be opened, read or added to."""


class Ledger:
    """An open ledger; made by `open_ledger`."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self._path = path
        self._connection = connection

    def record(self, entries: Iterable[Entry]) -> int:
        """Add entries; returns how many were new or said something else than before.

        Findings and accelerate-stops of a turnaround among the entries that are no
        longer told are withdrawn. Landings stay until they are told anew.

        Raises
        ------
        LedgerError
            If the file cannot be written to; nothing was added then.
        """
        told = {entry.key: entry for entry in entries}
        with self._faults():
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                standing = self._standing_of(told.values())
                new = [one for key, one in told.items() if standing.get(key) != one]
                new += _no_longer_told(told, standing)
                self._connection.executemany(INSERT, [one.cells for one in new])
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
        return len(new)

    def entries(self, tail: str | None = None) -> tuple[Entry, ...]:
        """Entries that count, in the order of recording; of one tail where given."""
        with self._faults():
            if tail is None:
                rows = self._connection.execute(f"{SELECT} ORDER BY id")
            else:
                rows = self._connection.execute(
                    f"{SELECT} WHERE tail = ? ORDER BY id", (tail,)
                )
            found = tuple(Entry.of(tuple(row)) for row in rows)
        return tuple(entry for entry in found if not entry.is_withdrawn)

    def row_count(self) -> int:
        """All rows of the file, those that no longer count too."""
        with self._faults():
            row = self._connection.execute("SELECT count(*) FROM entry").fetchone()
        return int(row[0])

    def _standing_of(self, told: Iterable[Entry]) -> dict[tuple[str | int, ...], Entry]:
        """Latest entries of the turnarounds that are told about, withdrawn ones too."""
        stays = {(one.station, one.day, one.turnaround_id) for one in told}
        where = "WHERE station = ? AND day = ? AND turnaround_id = ?"
        found: dict[tuple[str | int, ...], Entry] = {}
        for stay in stays:
            for row in self._connection.execute(f"{SELECT} {where}", stay):
                entry = Entry.of(tuple(row))
                found[entry.key] = entry
        return found

    @contextmanager
    def _faults(self) -> Iterator[None]:
        """Tell what the database says in our own error."""
        try:
            yield
        except sqlite3.Error as error:
            raise LedgerError(f"{self._path}: {error}") from error


def _no_longer_told(
    told: dict[tuple[str | int, ...], Entry],
    standing: dict[tuple[str | int, ...], Entry],
) -> list[Entry]:
    """Withdraw what stands in the file and is not among what is told."""
    return [
        replace(entry, is_withdrawn=True)
        for key, entry in standing.items()
        if key not in told and entry.kind is not Kind.LANDING and not entry.is_withdrawn
    ]


@contextmanager
def open_ledger(path: Path, *, create: bool = False) -> Iterator[Ledger]:
    """Open a ledger for reading and adding.

    Parameters
    ----------
    create : bool
        Make the file where there is none.

    Raises
    ------
    LedgerError
        If there is none, it is no ledger, or one of a newer version.
    """
    if not (create or path.is_file()):
        raise LedgerError(f"{path}: expected a ledger (--record makes one), got none")
    with closing(_connect(path)) as connection:
        try:
            _prepare(path, connection)
        except sqlite3.Error as error:
            raise LedgerError(f"{path}: {error}") from error
        yield Ledger(path, connection)


def _connect(path: Path) -> sqlite3.Connection:
    try:
        return sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
    except sqlite3.Error as error:
        raise LedgerError(f"{path}: {error}") from error


def _prepare(path: Path, connection: sqlite3.Connection) -> None:
    """Set how it is kept, and make the tables of an empty file."""
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.execute("PRAGMA synchronous = EXTRA")
    connection.execute("PRAGMA recursive_triggers = ON")
    connection.execute("BEGIN IMMEDIATE")
    try:
        _check_or_make(path, connection)
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _check_or_make(path: Path, connection: sqlite3.Connection) -> None:
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if application == 0 and tables == 0:
        for statement in STATEMENTS:
            connection.execute(statement)
        return
    if application != APPLICATION_ID:
        raise LedgerError(f"{path}: expected a ledger, got another database")
    if version != VERSION:
        expected = f"a ledger of version {VERSION}"
        raise LedgerError(f"{path}: expected {expected}, got version {version}")
