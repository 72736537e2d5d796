"""Cells of one row of turnarounds.csv that tell of the landing and the departure.

Each is optional; what is empty is None in the record. Deadlines count to the minute
before, times of the load and the landing to the minute after.
"""

from dataclasses import dataclass
from datetime import date

from scheduler.clock import earlier_minute, later_minute
from scheduler.day import Departure, Landing, Reverse
from scheduler.files.cells import Cells
from scheduler.files.day_grid import DayGrid
from scheduler.files.station_file import Outline
from thermal import Aircraft
from thermal.units import KNOT_M_PER_S, ZERO_CELSIUS_K

LANDING_COLUMNS = (
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
DEPARTURE_COLUMNS = (
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
_LOWEST_KG, _HIGHEST_KG = 1.0, 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightCells:
    """Cells of a row with what they refer to: grid, date of ``HH:MM``, runways."""

    cells: Cells
    grid: DayGrid
    on: date | None
    outline: Outline

    def later(self, column: str) -> int | None:
        """Minute of a time, seconds rounded up."""
        minutes = self.grid.minutes(self.cells, column, self.on)
        return None if minutes is None else later_minute(minutes)

    def earlier(self, column: str) -> int | None:
        """Minute of a time, seconds rounded down."""
        minutes = self.grid.minutes(self.cells, column, self.on)
        return None if minutes is None else earlier_minute(minutes)

    def landing(
        self, aircraft: Aircraft | None, in_block_minute: int | None
    ) -> Landing:
        """Build the landing, within the weights of the aircraft where it is known."""
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
        runways = dict(self.outline.runways)
        if not runways:
            return None, None
        name = self.cells.name("runway", runways)
        if name is None and self.cells.has("runway"):
            return None, None
        exits = runways[name or self.outline.runways[0][0]]
        return name, self.cells.name("exit", exits)

    def _taxi_in(self, in_block_minute: int | None) -> int | None:
        given = self.cells.integer("taxi_in_minutes", 1, 120, "minutes")
        landing_minute = self.later("landing_utc")
        if landing_minute is None or in_block_minute is None:
            return given
        minutes = in_block_minute - landing_minute
        if not 1 <= minutes <= 120:
            in_block = self.grid.clock.text(in_block_minute)
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

    def departure(self, aircraft: Aircraft | None) -> Departure:
        """Build the departure, within the weights of the aircraft where it is known."""
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
            ctot_minute=self.earlier("ctot_utc"),
            load_close_minute=self.later("load_close_utc"),
            removable_load_kg=cells.number("removable_load_kg", 0.0, high, "kg"),
            load_step_kg=cells.number("load_step_kg", 1.0, 20_000.0, "kg"),
            crew_limit_minute=self.earlier("crew_limit_utc"),
            gear_down_minutes=self._gear_down(),
            table_minutes=cells.integer("table_minutes", 0, 1440, "minutes"),
            runway=cells.name("departure_runway", dict(self.outline.runways))
            if self.outline.runways
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
