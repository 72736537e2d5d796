"""``[types.NAME]`` of fleet.toml to aircraft records.

A type is one of the catalogue (with any of its figures replaced) or all figures of
`thermal.Aircraft`. The keys are the record's field names with the units of the trade:
speeds in kt, thrust in kN, tyre pressure in kPa; everything else as in the record.
``brake_file`` names a brake file beside fleet.toml instead of a brake of the catalogue.
``wake`` is a key of the type that `fleet_file` reads.
"""

import re
from collections.abc import Mapping
from dataclasses import MISSING, fields, replace
from functools import cache
from typing import Annotated, Any, get_type_hints

from pydantic import BeforeValidator, Field, create_model

from scheduler.files.faults import one_of
from scheduler.files.toml_file import Keys, TomlFile, as_tuple
from thermal import Aircraft
from thermal.catalogue import known_aircraft, known_brakes, load_aircraft, load_brake
from thermal.errors import ParameterError, ThermalError
from thermal.units import KNOT_M_PER_S

_EDGE_UNITS = (
    ("_m_per_s", "_kt", KNOT_M_PER_S),
    ("_n", "_kn", 1000.0),
    ("_pa", "_kpa", 1000.0),
)
_ANY_SIGN = {"lift_coefficient_ground"}
_ABOVE_ZERO = ("_kg", "_m2", "_m_per_s", "_pa")


def edge_name(field: str) -> tuple[str, float]:
    """Key of a field in the files, and the factor from its unit to SI."""
    for suffix, edge, factor in _EDGE_UNITS:
        if field.endswith(suffix):
            return field.removesuffix(suffix) + edge, factor
    return field, 1.0


@cache
def type_keys() -> type[Keys]:
    """Build the key table of a type from the fields of the aircraft record."""
    annotations = get_type_hints(Aircraft)
    text = Annotated[str, Field(min_length=1)] | None
    keys: dict[str, Any] = {"catalogue": (str | None, None), "wake": (text, None)}
    keys["brake_file"] = (text, None)
    for item in fields(Aircraft):
        if item.name != "name":
            key, _ = edge_name(item.name)
            annotation = _key_type(item.name, annotations[item.name])
            keys[key] = (annotation | None, None)
    return create_model("TypeKeys", __base__=Keys, **keys)


def read_type(file: TomlFile, name: str, table: object) -> Aircraft | None:
    """Read one type; None where it has faults, which are noted."""
    keys = file.check(table, type_keys(), ("types", name))
    if keys is None:
        return None
    given = {
        key: value for key, value in keys.model_dump().items() if value is not None
    }
    own = given.pop("brake_file", None)
    if own is not None:
        given["brake"] = _brake_file(file, name, own, given.get("brake"))
    elif (brake := given.get("brake")) is not None and brake not in known_brakes():
        path = ("types", name, "brake")
        file.add(path, one_of(known_brakes(), brake), f'"{brake}"')
    catalogue = given.pop("catalogue", None)
    if catalogue is None:
        return _own(file, name, given)
    base = _from_catalogue(file, name, catalogue)
    return None if base is None else _changed(file, name, base, given)


def _brake_file(file: TomlFile, name: str, text: str, brake: str | None) -> str:
    """Path of a type's own brake file, beside the fleet; its faults are noted."""
    place = ("types", name, "brake_file")
    path = (file.folder / text).resolve()
    if brake is not None:
        file.add(place, "brake or brake_file, not both", f'"{text}"')
    elif path.suffix != ".toml":
        file.add(place, "a brake file (.toml)", f'"{text}"')
    else:
        try:
            load_brake(str(path))
        except ThermalError as error:
            file.add(place, "a brake file that can be read", error)
    return str(path)


def _key_type(name: str, annotation: Any) -> Any:
    if annotation is float:
        if name in _ANY_SIGN:
            return float
        lowest = Field(gt=0.0) if name.endswith(_ABOVE_ZERO) else Field(ge=0.0)
        return Annotated[float, lowest]
    if annotation in (int, str, bool):
        return annotation
    return Annotated[annotation, BeforeValidator(as_tuple)]


def _own(file: TomlFile, name: str, given: Mapping[str, Any]) -> Aircraft | None:
    """Build a type from its own figures alone."""
    missing = [
        key
        for item in fields(Aircraft)
        if item.default is MISSING
        and item.name != "name"
        and (key := edge_name(item.name)[0]) not in given
    ]
    if missing:
        expected = f"catalogue = a known type, or also {', '.join(missing)}"
        file.add(("types", name), expected, "nothing")
        return None
    try:
        return Aircraft(**{**_si(given), "name": name})
    except ParameterError as error:
        _add_range_fault(file, name, str(error), given)
        return None


def _changed(
    file: TomlFile, name: str, base: Aircraft, given: Mapping[str, Any]
) -> Aircraft | None:
    """Replace figures of a catalogue type; each one out of range is a fault."""
    values = _si(given)
    before = file.fault_count
    for item in fields(Aircraft):
        if item.name in values and not item.name.endswith("_kg"):
            _replaced(file, name, base, {item.name: values[item.name]}, given)
    weights = {key: value for key, value in values.items() if key.endswith("_kg")}
    _replaced(file, name, base, weights, given)
    if file.fault_count > before:
        return None
    return _replaced(file, name, base, values, given)


def _replaced(
    file: TomlFile,
    name: str,
    base: Aircraft,
    values: Mapping[str, Any],
    given: Mapping[str, Any],
) -> Aircraft | None:
    try:
        return replace(base, **{**values, "name": name})
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


def _from_catalogue(file: TomlFile, name: str, catalogue: str) -> Aircraft | None:
    path = ("types", name, "catalogue")
    if catalogue not in known_aircraft():
        file.add(path, one_of(known_aircraft(), catalogue), f'"{catalogue}"')
        return None
    try:
        return load_aircraft(catalogue)
    except ThermalError as error:
        file.add(path, "a type that can be read", error)
        return None


def _si(given: Mapping[str, Any]) -> dict[str, Any]:
    """Values by field name, in SI."""
    values: dict[str, Any] = {}
    for item in fields(Aircraft):
        key, factor = edge_name(item.name)
        if key in given:
            values[item.name] = given[key] if factor == 1.0 else given[key] * factor
    return values
