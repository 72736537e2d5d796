"""Tables and triggers of the ledger file.

Rows are only ever added: triggers refuse every change, every deletion, and a row that
would take the place of another. The latest row of a key is the one that counts.
"""

from scheduler.ledger.entry import COLUMNS

APPLICATION_ID = 0x68736C67
VERSION = 1
_TYPES = {
    "number": "INTEGER NOT NULL",
    "energy_mj": "REAL",
    "stack_peak_c": "REAL",
    "oxidation_dose": "REAL",
    "is_hot": "INTEGER NOT NULL",
    "found": "TEXT",
    "wear_pin_mm": "REAL",
    "is_withdrawn": "INTEGER NOT NULL",
}
KEY = ("station", "day", "turnaround_id", "tail", "position", "kind", "number")
_COLUMNS = ", ".join(f"{name} {_TYPES.get(name, 'TEXT NOT NULL')}" for name in COLUMNS)
_SAME_KEY = " AND ".join(f"later.{name} = entry.{name}" for name in KEY)

STATEMENTS = (
    f"CREATE TABLE entry (id INTEGER PRIMARY KEY AUTOINCREMENT, {_COLUMNS})",
    f"CREATE INDEX entry_key ON entry ({', '.join(KEY)}, id)",
    "CREATE INDEX entry_brake ON entry (tail, position)",
    f"CREATE VIEW standing AS SELECT * FROM entry WHERE NOT EXISTS "
    f"(SELECT 1 FROM entry AS later WHERE {_SAME_KEY} AND later.id > entry.id)",
    "CREATE TRIGGER entry_keeps BEFORE UPDATE ON entry "
    "BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END",
    "CREATE TRIGGER entry_stays BEFORE DELETE ON entry "
    "BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END",
    "CREATE TRIGGER entry_is_new BEFORE INSERT ON entry "
    "WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) "
    "BEGIN SELECT RAISE(ABORT, 'entries are never replaced'); END",
    f"PRAGMA application_id = {APPLICATION_ID}",
    f"PRAGMA user_version = {VERSION}",
)
INSERT = (
    f"INSERT INTO entry ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
)
SELECT = f"SELECT {', '.join(COLUMNS)} FROM standing"
