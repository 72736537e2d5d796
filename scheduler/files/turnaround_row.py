"""One row of turnarounds.csv to a turnaround record.

A cell in error never hides another: every row is read to its end. Times count to the
safe minute: in-block and off-block up, deadlines down.
"""

from scheduler.clock import earlier_minute, later_minute
from scheduler.day import (
    Basis,
    Departure,
    Duty,
    Landing,
    Reverse,
    Task,
    Turnaround,
)
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Row
from scheduler.files.day_grid import DayGrid
from scheduler.files.faults import FaultList
from scheduler.files.fleet_file import Fleet
from scheduler.files.station_file import Outline
from thermal import Aircraft
from thermal.units import KNOT_M_PER_S, ZERO_CELSIUS_K

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
_LANDING = (
    "landing_weight_kg",
    "landing_utc",
    "touchdown_speed_kt",
    "touchdown_m",
    "runway",
    "exit",
    "reverse",
    "deceleration_m_per_s2",
    "taxi_in_minutes",
    "taxi_stops",
    "residual_c",
)
_DEPARTURE = (
    "take_off_weight_kg",
    "v1_kt",
    "exot_minutes",
    "ctot_utc",
    "load_close_utc",
    "removable_load_kg",
    "load_step_kg",
    "crew_limit_utc",
    "gear_down_approved",
    "gear_down_minutes",
    "table_minutes",
    "departure_runway",
)
_WHOLE = ("rotation_minutes", "cancelled", "inspection_minutes")
COLUMNS = (
    *("id", "tail", "stand", "date"),
    *(name for name, _ in (*IN_BLOCK, *OFF_BLOCK)),
    *_LANDING,
    *_DEPARTURE,
    *_WHOLE,
)
_LOWEST_KG, _HIGHEST_KG = 1.0, 1e6


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
        self._on = self.cells.date("date") or outline.day

    def turnaround(self) -> Turnaround | None:
        """Build the record; None where a fault leaves no room for one."""
        name = self._required("id")
        stand = self._required("stand", self._outline.stands)
        registration, aircraft = self._tail()
        in_block = self._time(IN_BLOCK)
        off_block = self._time(OFF_BLOCK)
        in_block_minute = in_block[0] if in_block else None
        landing = self._landing(aircraft, in_block_minute)
        departure = self._departure(aircraft)
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
        minutes = [self._later(column) for column, _ in present]
        for (column, basis), minute in zip(present, minutes, strict=True):
            if self.cells.has(column):
                return None if minute is None else (minute, basis, column)
        if present:
            self.cells.add(present[-1][0], "a value here or in its E/T or A column")
        return None

    def _later(self, column: str) -> int | None:
        minutes = self._grid.minutes(self.cells, column, self._on)
        return None if minutes is None else later_minute(minutes)

    def _earlier(self, column: str) -> int | None:
        minutes = self._grid.minutes(self.cells, column, self._on)
        return None if minutes is None else earlier_minute(minutes)

    def _off_block_fault(self, in_block_minute: int, column: str) -> None:
        expected = f"after in-block {self._grid.clock.text(in_block_minute)}"
        if "T" not in self.row[column]:
            expected += f" (the day after is {self.row[column]}+1)"
        self.cells.add(column, expected)

    def _landing(
        self, aircraft: Aircraft | None, in_block_minute: int | None
    ) -> Landing:
        cells = self.cells
        runway, exit_name = self._runway()
        residual_c = cells.number("residual_c", -60.0, 1000.0, "°C")
        residual_k = None if residual_c is None else residual_c + ZERO_CELSIUS_K
        return Landing(
            weight_kg=self._landing_weight(aircraft),
            touchdown_speed_m_per_s=self._speed("touchdown_speed_kt", 60.0, 220.0),
            touchdown_m=cells.number("touchdown_m", 0.0, 3000.0, "m"),
            runway=runway,
            exit=exit_name,
            reverse=cells.choice("reverse", Reverse),
            deceleration_m_per_s2=cells.number(
                "deceleration_m_per_s2", 0.3, 6.0, "m/s2"
            ),
            taxi_in_minutes=self._taxi_in(in_block_minute),
            taxi_stops=cells.integer("taxi_stops", 0, 50, "stops"),
            residual_k=residual_k,
        )

    def _runway(self) -> tuple[str | None, str | None]:
        runways = dict(self._outline.runways)
        if not runways:
            return None, None
        name = self.cells.name("runway", runways)
        if name is None and self.cells.has("runway"):
            return None, None
        exits = runways[name or self._outline.runways[0][0]]
        return name, self.cells.name("exit", exits)

    def _taxi_in(self, in_block_minute: int | None) -> int | None:
        given = self.cells.integer("taxi_in_minutes", 1, 120, "minutes")
        landing_minute = self._later("landing_utc")
        if landing_minute is None or in_block_minute is None:
            return given
        minutes = in_block_minute - landing_minute
        if not 1 <= minutes <= 120:
            in_block = self._grid.clock.text(in_block_minute)
            self.cells.add(
                "landing_utc", f"1 to 120 minutes before in-block {in_block}"
            )
            return None
        return minutes if given is None else given

    def _landing_weight(self, aircraft: Aircraft | None) -> float | None:
        low, high = _LOWEST_KG, _HIGHEST_KG
        if aircraft is not None:
            low, high = aircraft.operating_empty_kg, aircraft.maximum_landing_kg
        return self._weight("landing_weight_kg", low, high, "landing", aircraft)

    def _weight(
        self, column: str, low: float, high: float, kind: str, of: Aircraft | None
    ) -> float | None:
        unit = "kg"
        if of is not None:
            unit = f"kg (operating empty to maximum {kind} weight of {of.name})"
        return self.cells.number(column, low, high, unit)

    def _speed(self, column: str, low_kt: float, high_kt: float) -> float | None:
        speed_kt = self.cells.number(column, low_kt, high_kt, "kt")
        return None if speed_kt is None else speed_kt * KNOT_M_PER_S

    def _departure(self, aircraft: Aircraft | None) -> Departure:
        cells = self.cells
        low, high = _LOWEST_KG, _HIGHEST_KG
        if aircraft is not None:
            low, high = aircraft.operating_empty_kg, aircraft.maximum_take_off_kg
        return Departure(
            take_off_weight_kg=self._weight(
                "take_off_weight_kg", low, high, "take-off", aircraft
            ),
            v1_m_per_s=self._speed("v1_kt", 60.0, 210.0),
            taxi_out_minutes=cells.integer("exot_minutes", 1, 120, "minutes"),
            ctot_minute=self._earlier("ctot_utc"),
            load_close_minute=self._later("load_close_utc"),
            removable_load_kg=cells.number("removable_load_kg", 0.0, high, "kg"),
            load_step_kg=cells.number("load_step_kg", 1.0, 20_000.0, "kg"),
            crew_limit_minute=self._earlier("crew_limit_utc"),
            gear_down_minutes=self._gear_down(),
            table_minutes=cells.integer("table_minutes", 0, 1440, "minutes"),
            runway=cells.name("departure_runway", dict(self._outline.runways))
            if self._outline.runways
            else None,
        )

    def _gear_down(self) -> int:
        """Minutes with gear down; they count only with the approval beside them."""
        approved = self.cells.yes_no("gear_down_approved")
        minutes = self.cells.integer("gear_down_minutes", 0, 60, "minutes")
        if minutes and not approved and not self.cells.has("gear_down_approved"):
            self.cells.add("gear_down_approved", "yes beside gear_down_minutes")
        if approved and not self.cells.has("gear_down_minutes"):
            self.cells.add("gear_down_minutes", "minutes beside gear_down_approved")
        return minutes or 0 if approved else 0
