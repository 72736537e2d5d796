"""Recorded cool-downs for a calibration: one CSV file to `CoolDown` records.

One row a reading. What belongs to a landing (heat, air, fan, wear) stands in any of its
rows, and must be the same wherever it stands. Position names, where given, tell the
brakes of one landing apart.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from scheduler.day import Reverse
from scheduler.files.cells import Cells
from scheduler.files.csv_table import Headings, read_rows
from scheduler.files.faults import FaultList
from thermal import Aircraft
from thermal.calibrate import CoolDown, landing_heat
from thermal.errors import ThermalError
from thermal.units import KNOT_M_PER_S, MINUTE_S, kelvin

_HPA_PA = 100.0
_REVERSE = {Reverse.NONE: 0.0, Reverse.IDLE: 0.25, Reverse.FULL: 1.0}
_NUMBERS: dict[str, tuple[float, float, str]] = {
    "energy_mj": (0.1, 500.0, "MJ"),
    "energy_sd_percent": (0.0, 50.0, "%"),
    "weight_kg": (1e3, 7e5, "kg"),
    "touchdown_speed_kt": (40.0, 250.0, "kt"),
    "deceleration_m_per_s2": (0.3, 6.0, "m/s2"),
    "ambient_c": (-60.0, 60.0, "°C"),
    "pressure_hpa": (400.0, 1100.0, "hPa"),
    "wind_m_per_s": (0.0, 40.0, "m/s"),
    "fan_from_minutes": (0.0, 1440.0, "minutes"),
    "fan_to_minutes": (0.0, 1440.0, "minutes"),
    "fan_m_per_s": (0.5, 40.0, "m/s"),
    "wear": (0.0, 1.0, ""),
    "residual_c": (-60.0, 600.0, "°C"),
}
CONDITIONS = (*_NUMBERS, "reverse", "brakes_set")
COLUMNS = ("landing", "position", "minutes_after_stop", "indicated_c", *CONDITIONS)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One row with the values that it gives."""

    cells: Cells
    landing: str
    position: str
    minutes: float
    indicated_c: float
    conditions: dict[str, Any]


def read_readings(path: Path, aircraft: Aircraft | None = None) -> tuple[CoolDown, ...]:
    """Read recorded cool-downs.

    Parameters
    ----------
    aircraft : Aircraft, optional
        Whose landings they are: needed where weight and speed stand for the heat.

    Raises
    ------
    ScenarioError
        With all faults of the file, one a line.
    """
    faults = FaultList()
    rows = read_rows(path, COLUMNS, Headings(settable=False), faults) or []
    found = [_row(Cells(path.name, row, faults), str(row["position"])) for row in rows]
    groups: dict[tuple[str, str], list[_Row]] = {}
    for one in found:
        if one is not None:
            groups.setdefault((one.landing, one.position), []).append(one)
    if not (rows or faults.count):
        faults.add(path.name, None, "", "at least one reading", "none")
    records = [_record(group, aircraft) for group in groups.values()]
    faults.raise_if_any()
    return tuple(one for one in records if one is not None)


def _row(cells: Cells, position: str) -> _Row | None:
    """Values of one row; None where it has no usable reading."""
    landing = cells.required("landing")
    minutes = _needed(cells, "minutes_after_stop", (0.0, 1440.0, "minutes"))
    indicated_c = _needed(cells, "indicated_c", (-60.0, 1200.0, "°C"))
    conditions: dict[str, Any] = {
        name: cells.number(name, *limits) for name, limits in _NUMBERS.items()
    }
    conditions["reverse"] = cells.choice("reverse", Reverse)
    conditions["brakes_set"] = cells.yes_no("brakes_set")
    if landing is None or minutes is None or indicated_c is None:
        return None
    return _Row(
        cells=cells,
        landing=landing,
        position=position,
        minutes=minutes,
        indicated_c=indicated_c,
        conditions=conditions,
    )


def _needed(
    cells: Cells, column: str, limits: tuple[float, float, str]
) -> float | None:
    if cells.required(column) is None:
        return None
    return cells.number(column, *limits)


def _record(rows: Sequence[_Row], aircraft: Aircraft | None) -> CoolDown | None:
    """One cool-down from its rows; None where something is missing or contradicts."""
    first, given = rows[0].cells, _agreed(rows)
    energy = _energy(first, given, aircraft)
    ordered = _ordered(rows)
    fan = given["fan_from_minutes"], given["fan_to_minutes"]
    is_right = _is_fan_right(first, fan)
    if given["ambient_c"] is None:
        first.add("ambient_c", "a value in one row of the landing", "nothing")
        return None
    if energy is None or not is_right:
        return None
    energy_j, sd_fraction = energy
    return CoolDown(
        name=" ".join((rows[0].landing, rows[0].position)).strip(),
        energy_j=energy_j,
        ambient_k=float(kelvin(given["ambient_c"])),
        time_s=MINUTE_S * np.array([one.minutes for one in ordered]),
        indicated_k=kelvin([one.indicated_c for one in ordered]),
        energy_sd_fraction=sd_fraction,
        wind_m_per_s=given["wind_m_per_s"] or 0.0,
        fan_from_s=_scaled(fan[0], MINUTE_S),
        fan_to_s=_scaled(fan[1], MINUTE_S),
        wear=given["wear"] or 0.0,
        brakes_set=bool(given["brakes_set"]),
        **_where_given(given),
    )


def _where_given(given: dict[str, Any]) -> dict[str, Any]:
    """Fields whose defaults hold where nothing is given."""
    change: tuple[tuple[str, str, Callable[[float], float]], ...] = (
        ("pressure_hpa", "pressure_pa", lambda value: _HPA_PA * value),
        ("fan_m_per_s", "fan_m_per_s", float),
        ("residual_c", "residual_k", lambda value: float(kelvin(value))),
    )
    return {
        field: convert(given[column])
        for column, field, convert in change
        if given[column] is not None
    }


def _scaled(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _agreed(rows: Sequence[_Row]) -> dict[str, Any]:
    """Conditions of a landing; a row that contradicts an earlier one is a fault."""
    agreed: dict[str, Any] = dict.fromkeys(CONDITIONS)
    for row in rows:
        for name, value in row.conditions.items():
            if value is None:
                continue
            if agreed[name] is None:
                agreed[name] = value
            elif agreed[name] != value:
                row.cells.add(name, f"{_shown(agreed[name])} as before of this landing")
    return agreed


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _ordered(rows: Sequence[_Row]) -> list[_Row]:
    """Rows in order of time; a time that comes twice is a fault."""
    by_time: dict[float, _Row] = {}
    for row in rows:
        if row.minutes in by_time:
            row.cells.add("minutes_after_stop", "each time once in a landing")
        by_time[row.minutes] = row
    return [by_time[minutes] for minutes in sorted(by_time)]


def _is_fan_right(cells: Cells, fan: tuple[float | None, float | None]) -> bool:
    begin, end = fan
    if begin is None and end is None:
        return True
    if begin is None or end is None:
        missing = "fan_from_minutes" if begin is None else "fan_to_minutes"
        cells.add(missing, "both ends of the fan", "nothing")
        return False
    if not begin < end:
        cells.add("fan_to_minutes", f"after {begin:g}", f"{end:g}")
        return False
    return True


def _energy(
    cells: Cells, given: dict[str, Any], aircraft: Aircraft | None
) -> tuple[float, float] | None:
    """Heat of the brake and its uncertainty; from weight and speed where not given."""
    sd = given["energy_sd_percent"]
    if given["energy_mj"] is not None:
        return 1e6 * given["energy_mj"], 0.03 if sd is None else sd / 100.0
    weight_kg, speed_kt = given["weight_kg"], given["touchdown_speed_kt"]
    if weight_kg is None or speed_kt is None:
        expected = "a value (or weight_kg and touchdown_speed_kt) in one row"
        cells.add("energy_mj", expected, "nothing")
        return None
    if aircraft is None:
        cells.add("weight_kg", "an aircraft to go with it (--aircraft NAME)")
        return None
    reverse = given["reverse"]
    try:
        heat = landing_heat(
            aircraft,
            weight_kg,
            speed_kt * KNOT_M_PER_S,
            deceleration_m_per_s2=given["deceleration_m_per_s2"],
            reverse_fraction=None if reverse is None else _REVERSE[reverse],
        )
    except ThermalError as error:
        cells.add("weight_kg", f"a landing that can be ({error})")
        return None
    return heat.energy_j, heat.sd_fraction if sd is None else sd / 100.0
