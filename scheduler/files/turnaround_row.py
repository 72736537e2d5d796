"""One row of turnarounds.csv to a turnaround record.

A cell in error never hides another: every row is read to its end. Times count to the
safe minute: in-block and off-block up, deadlines down.
"""

from scheduler.day import Basis, Duty, Task, Turnaround
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Row
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import FaultList
from scheduler.files.fleet_file import Fleet
from scheduler.files.flight_cells import (
    DEPARTURE_COLUMNS,
    LANDING_COLUMNS,
    FlightCells,
)
from scheduler.files.station_file import Outline
from thermal import Aircraft

FILE = "turnarounds.csv"
IN_BLOCK = (
    ("aibt_utc", Basis.ACTUAL),
    ("eibt_utc", Basis.ESTIMATED),
    ("sibt_utc", Basis.SCHEDULED),
)
OFF_BLOCK = (
    ("aobt_utc", Basis.ACTUAL),
    ("tobt_utc", Basis.ESTIMATED),
    ("sobt_utc", Basis.SCHEDULED),
)
_WHOLE = ("rotation_minutes", "cancelled", "inspection_minutes")
COLUMNS = (
    *("id", "tail", "stand", "date"),
    *(name for name, _ in (*IN_BLOCK, *OFF_BLOCK)),
    *LANDING_COLUMNS,
    *DEPARTURE_COLUMNS,
    *_WHOLE,
)


class TurnaroundRow:
    """One row with all that its cells refer to."""

    def __init__(
        self,
        row: Row,
        grid: DayGrid,
        outline: Outline,
        fleet: Fleet | None,
        faults: FaultList,
    ) -> None:
        self.row = row
        self.cells = Cells(FILE, row, faults)
        self._grid = grid
        self._outline = outline
        self._fleet = fleet
        self._flight = FlightCells(
            cells=self.cells,
            grid=grid,
            on=self.cells.date("date") or outline.day,
            outline=outline,
        )

    def turnaround(self) -> Turnaround | None:
        """Build the record; None where a fault leaves no room for one."""
        name = self._required("id")
        stand = self._required("stand", self._outline.stands)
        registration, aircraft = self._tail()
        in_block = self._time(IN_BLOCK)
        off_block = self._time(OFF_BLOCK)
        in_block_minute = in_block[0] if in_block else None
        landing = self._flight.landing(aircraft, in_block_minute)
        departure = self._flight.departure(aircraft)
        rotation_minutes = self.cells.integer("rotation_minutes", 0, 1440, "minutes")
        cancelled = self._cancelled()
        duties = self._duties(in_block_minute)
        if in_block and off_block and off_block[0] <= in_block[0]:
            self._off_block_fault(in_block[0], off_block[2])
            return None
        if not (name and stand and registration and in_block and off_block):
            return None
        return Turnaround(
            id=name,
            tail=registration,
            stand=stand,
            in_block_minute=in_block[0],
            in_block_basis=in_block[1],
            target_off_block_minute=off_block[0],
            off_block_basis=off_block[1],
            landing=landing,
            departure=departure,
            rotation_minutes=rotation_minutes,
            duties=duties,
            cancelled=cancelled,
        )

    def _cancelled(self) -> bool:
        """Whether the departure is cancelled; it cannot have left as well."""
        cancelled = self.cells.yes_no("cancelled") or False
        if cancelled and self.cells.has("aobt_utc"):
            self.cells.add("cancelled", "no, or no aobt_utc beside it")
        return cancelled

    def _duties(self, in_block_minute: int | None) -> tuple[Duty, ...]:
        minutes = self.cells.integer("inspection_minutes", 1, 1440, "minutes")
        if minutes is None or in_block_minute is None:
            return ()
        return (
            Duty(
                task=Task.INSPECTION,
                minutes=minutes,
                earliest_minute=in_block_minute,
                reason="listed with the turnaround",
            ),
        )

    def _required(self, column: str, known: tuple[str, ...] = ()) -> str | None:
        if column not in self.row.cells:
            return None  # noted once, at the header
        text = self.cells.required(column)
        return self.cells.name(column, known) if text and known else text

    def _tail(self) -> tuple[str | None, Aircraft | None]:
        known = self._fleet.registrations if self._fleet else ()
        name = self._required("tail", known)
        tail = self._fleet.tail(name) if self._fleet and name else None
        aircraft = self._fleet.aircraft_of(tail) if self._fleet and tail else None
        return name, aircraft

    def _time(
        self, group: tuple[tuple[str, Basis], ...]
    ) -> tuple[int, Basis, str] | None:
        """Firmest time of a group, rounded up: minute, basis and column."""
        present = [item for item in group if item[0] in self.row.cells]
        minutes = [self._flight.later(column) for column, _ in present]
        for (column, basis), minute in zip(present, minutes, strict=True):
            if self.cells.has(column):
                return None if minute is None else (minute, basis, column)
        if present:
            self.cells.add(present[-1][0], "a value here or in its E/T or A column")
        return None

    def _off_block_fault(self, in_block_minute: int, column: str) -> None:
        expected = f"after in-block {self._grid.clock.text(in_block_minute)}"
        if "T" not in self.row[column]:
            expected += f" (the day after is {self.row[column]}+1)"
        self.cells.add(column, expected)
