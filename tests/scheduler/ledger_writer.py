"""A process that adds to a ledger until it is killed.

Run as ``python -m tests.scheduler.ledger_writer FILE FIRST``. The number of each
turnaround that was recorded is printed once it is acknowledged.
"""

import os
import sys
from pathlib import Path

from scheduler.ledger import Entry, Kind, open_ledger

POSITIONS = ("L1", "L2", "R1", "R2")


def entries_of_day(number: int, energy_mj: float) -> list[Entry]:
    """Landings of one aircraft at four positions."""
    return [
        Entry(
            station="Nowhere",
            day="2026-07-14",
            turnaround_id=f"N{number}",
            tail="Q1-ABC",
            position=position,
            kind=Kind.LANDING,
            at_utc="2026-07-14T10:00:00Z",
            energy_mj=energy_mj,
        )
        for position in POSITIONS
    ]


def main() -> None:
    """Record one after the other, for ever."""
    path, number = Path(sys.argv[1]), int(sys.argv[2])
    while True:
        with open_ledger(path, create=True) as ledger:
            for _ in range(20):
                ledger.record(entries_of_day(number, float(number)))
                os.write(1, f"{number}\n".encode())
                number += 1


if __name__ == "__main__":
    main()
