"""History per brake position over days: an SQLite file that only ever grows.

Enters: `Entry`, one stop or finding at one position. Leaves: `Past`, counts per
position from what was recorded before a day. What was acknowledged is on disk.
"""

from scheduler.ledger.entry import Entry, Kind
from scheduler.ledger.file import Ledger, LedgerError, open_ledger
from scheduler.ledger.past import Past, Window, past_of

__all__ = [
    "Entry",
    "Kind",
    "Ledger",
    "LedgerError",
    "Past",
    "Window",
    "open_ledger",
    "past_of",
]
