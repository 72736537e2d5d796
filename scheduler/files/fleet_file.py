"""fleet.toml to aircraft and tail records.

A type is one of the catalogue (with any of its figures replaced) or all figures of
`thermal.Aircraft`. The keys are the record's field names with the units of the trade:
speeds in kt, thrust in kN, tyre pressure in kPa; everything else as in the record.
"""

import re
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from functools import cache
from pathlib import Path
from typing import Annotated, Any, get_type_hints

from pydantic import BeforeValidator, Field, create_model

from scheduler.day import Tail
from scheduler.errors import DayError
from scheduler.files.faults import FaultList, one_of
from scheduler.files.toml_file import Keys, TomlFile, as_tuple
from thermal import Aircraft
from thermal.errors import ParameterError, ThermalError
from thermal.units import KNOT_M_PER_S

_EDGE_UNITS = (
    ("_m_per_s", "_kt", KNOT_M_PER_S),
    ("_n", "_kn", 1000.0),
    ("_pa", "_kpa", 1000.0),
)
_ANY_SIGN = {"lift_coefficient_ground"}
_UNKNOWN = "unknown"

Names = Annotated[tuple[str, ...], BeforeValidator(as_tuple)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """All types and tails of a scenario, in file order.

    ``registrations`` names every tail of the file, those with faults too.
    """

    registrations: tuple[str, ...]
    aircraft: tuple[Aircraft, ...]
    tails: tuple[Tail, ...]

    def aircraft_of(self, tail: Tail) -> Aircraft | None:
        """Type record of a tail; None where the type has faults."""
        by_name = {aircraft.name: aircraft for aircraft in self.aircraft}
        return by_name.get(tail.aircraft)

    def tail(self, registration: str) -> Tail | None:
        """Tail by its registration; None where there is none."""
        by_name = {tail.registration: tail for tail in self.tails}
        return by_name.get(registration)


class TailKeys(Keys):
    """One tail."""

    type: str
    positions: Annotated[Names, Field(min_length=1)] | None = None
    wear: Any = None
    inoperative: Names = ()
    reverser_inoperative: bool = False


def edge_name(field: str) -> tuple[str, float]:
    """Key of a field in the files, and the factor from its unit to SI."""
    for suffix, edge, factor in _EDGE_UNITS:
        if field.endswith(suffix):
            return field.removesuffix(suffix) + edge, factor
    return field, 1.0


class FleetKeys(Keys):
    """The two tables of tables of fleet.toml."""

    types: dict[str, Any]
    tails: dict[str, Any]


def read_fleet(path: Path, faults: FaultList) -> Fleet | None:
    """Read and check fleet.toml.

    Returns
    -------
    fleet : Fleet or None
        None where the file cannot be read; single types and tails with faults are
        left out of the records, and the faults are in ``faults``.
    """
    file = TomlFile(path, faults)
    if file.values is None:
        return None
    keys = file.check(file.values, FleetKeys)
    if keys is None:
        return None
    aircraft = {name: _aircraft(file, name, item) for name, item in keys.types.items()}
    tails = {
        name: _tail(file, name, item, aircraft) for name, item in keys.tails.items()
    }
    return Fleet(
        registrations=tuple(tails),
        aircraft=tuple(item for item in aircraft.values() if item is not None),
        tails=tuple(item for item in tails.values() if item is not None),
    )


@cache
def type_keys() -> type[Keys]:
    """Build the key table of a type from the fields of the aircraft record."""
    annotations = get_type_hints(Aircraft)
    keys: dict[str, Any] = {"catalogue": (str | None, None)}
    for item in fields(Aircraft):
        if item.name != "name":
            key, _ = edge_name(item.name)
            annotation = _key_type(item.name, annotations[item.name])
            keys[key] = (annotation | None, None)
    return create_model("TypeKeys", __base__=Keys, **keys)


def _key_type(name: str, annotation: Any) -> Any:
    if annotation is float:
        if name in _ANY_SIGN:
            return float
        above_zero = name.endswith(("_kg", "_m2", "_m_per_s", "_pa"))
        return Annotated[float, Field(gt=0.0) if above_zero else Field(ge=0.0)]
    if annotation in (int, str, bool):
        return annotation
    return Annotated[annotation, BeforeValidator(as_tuple)]


def _aircraft(file: TomlFile, name: str, table: object) -> Aircraft | None:
    keys = file.check(table, type_keys(), ("types", name))
    if keys is None:
        return None
    given = {
        key: value for key, value in keys.model_dump().items() if value is not None
    }
    values = _catalogue_values(file, name, given.pop("catalogue", None))
    if values is None:
        return None
    values |= _si(given)
    missing = [
        edge_name(item.name)[0]
        for item in fields(Aircraft)
        if item.default is MISSING and item.name not in values and item.name != "name"
    ]
    for key in missing:
        file.add(
            ("types", name, key), "this key (or catalogue = a known type)", "nothing"
        )
    if missing:
        return None
    try:
        return Aircraft(**{**values, "name": name})
    except ParameterError as error:
        _add_range_fault(file, name, str(error), given)
        return None


def _add_range_fault(
    file: TomlFile, name: str, message: str, given: Mapping[str, Any]
) -> None:
    """Note what the record refused, in the units of the file."""
    place, _, rest = message.partition(": expected ")
    expected, _, got = rest.rpartition(", got ")
    key, factor = edge_name(place.rpartition(": ")[2])
    limits = re.match(r"(\S+) to (\S+)", expected)
    if limits and factor != 1.0:
        low, high = (float(limit) / factor for limit in limits.groups())
        expected, got = f"{low:.4g} to {high:.4g}", given.get(key, got)
    file.add(("types", name, key), expected, got)


def _catalogue_values(
    file: TomlFile, name: str, catalogue: str | None
) -> dict[str, Any] | None:
    """SI values of a catalogue type; empty without one, None where it is unknown."""
    if catalogue is None:
        return {}
    from thermal.catalogue import known_aircraft, load_aircraft

    if catalogue not in known_aircraft():
        path = ("types", name, "catalogue")
        file.add(path, one_of(known_aircraft(), catalogue), f'"{catalogue}"')
        return None
    try:
        record = load_aircraft(catalogue)
    except ThermalError as error:
        file.add(("types", name, "catalogue"), "a type that can be read", error)
        return None
    return {item.name: getattr(record, item.name) for item in fields(record)}


def _si(given: Mapping[str, Any]) -> dict[str, Any]:
    """Values by field name, in SI."""
    values: dict[str, Any] = {}
    for item in fields(Aircraft):
        key, factor = edge_name(item.name)
        if key in given:
            values[item.name] = given[key] if factor == 1.0 else given[key] * factor
    return values


def _tail(
    file: TomlFile,
    name: str,
    table: object,
    aircraft: Mapping[str, Aircraft | None],
) -> Tail | None:
    place = ("tails", name)
    keys = file.check(table, TailKeys, place)
    if keys is None:
        return None
    if keys.type not in aircraft:
        file.add((*place, "type"), one_of(aircraft, keys.type), f'"{keys.type}"')
        return None
    record = aircraft[keys.type]
    if record is None:
        return None
    positions = _positions(file, name, keys, record.brake_count)
    wear = _wear(file, name, keys, record.brake_count)
    for position in keys.inoperative:
        if position not in positions:
            expected = one_of(positions, position)
            file.add((*place, "inoperative"), expected, f'"{position}"')
    try:
        return Tail(
            registration=name,
            aircraft=keys.type,
            positions=positions,
            wear=wear,
            inoperative=tuple(p for p in keys.inoperative if p in positions),
            reverser_inoperative=keys.reverser_inoperative,
        )
    except DayError:
        return None  # a list of the wrong length, already noted


def _positions(
    file: TomlFile, name: str, keys: TailKeys, count: int
) -> tuple[str, ...]:
    if keys.positions is None:
        return tuple(str(number) for number in range(1, count + 1))
    path = ("tails", name, "positions")
    if len(keys.positions) != count:
        expected = f"{count} names (brake_count of {keys.type})"
        file.add(path, expected, len(keys.positions))
    if len(set(keys.positions)) != len(keys.positions):
        file.add(path, "every name once", keys.positions)
    return tuple(keys.positions)


def _wear(
    file: TomlFile, name: str, keys: TailKeys, count: int
) -> tuple[float | None, ...]:
    is_list = isinstance(keys.wear, list)
    given: list[Any] = keys.wear if is_list else [keys.wear] * count
    path = ("tails", name, "wear")
    if len(given) != count:
        file.add(path, f"{count} entries (brake_count of {keys.type})", len(given))
    wear: list[float | None] = []
    for value in given:
        is_number = type(value) in {int, float} and 0.0 <= value <= 1.0
        if not (is_number or value is None or value == _UNKNOWN):
            file.add(path, '0 (new) to 1 (fully worn), or "unknown"', value)
        wear.append(float(value) if is_number else None)
    return tuple(wear)
