"""Catalogue files → checked records: brakes, aircraft, and ranges of what is unknown.

Each number in ``data/**/*.toml`` states ``value, unit, low, high, source``. Units must
be the ones their field ends in; ``_c`` fields become kelvin. An operator's own file of
the same form is read the same way.
"""

import tomllib
from dataclasses import MISSING, Field, dataclass, fields
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeVar

from thermal.aircraft import Aircraft
from thermal.arrays import Record
from thermal.brake import Brake, FusePlug, Limits, Probe
from thermal.errors import ParameterError
from thermal.plausibility import check_plausible
from thermal.units import ZERO_CELSIUS_K

UNITS = (
    ("_w_per_m2_k", "W/(m2 K)"),
    ("_m_per_s2", "m/s2"),
    ("_m_per_s", "m/s"),
    ("_j_per_kg", "J/kg"),
    ("_m2", "m2"),
    ("_kg", "kg"),
    ("_pa", "Pa"),
    ("_n", "N"),
    ("_m", "m"),
    ("_s", "s"),
    ("_c", "degC"),
    ("_k", "K"),
)
_Kind = TypeVar("_Kind", bound=Record)
_KEYS = {"value", "unit", "low", "high", "source"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """An uncertain input: what it is drawn from, and why.

    A factor is drawn uniformly between ``low`` and ``high``; ``per_brake`` says that
    every brake of an aircraft gets its own draw.
    """

    name: str
    low: float
    high: float
    unit: str
    reason: str
    per_brake: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One number of a catalogue file as it is written there."""

    key: str
    value: float
    unit: str
    low: float
    high: float
    source: str


def known_brakes() -> tuple[str, ...]:
    """Names of the brakes in the catalogue."""
    return _known("brakes")


def known_aircraft() -> tuple[str, ...]:
    """Names of the aircraft in the catalogue."""
    return _known("aircraft")


@cache
def load_brake(name: str) -> Brake:
    """Brake of the catalogue by its name, or of an operator's own file (``*.toml``).

    Raises
    ------
    ParameterError
        If the name is unknown (the message lists the known ones) or its file is bad.
    """
    return read_brake(brake_path(name))


def brake_path(name: str) -> Path:
    """File of a brake: of the catalogue, or the path that ``name`` is (``*.toml``).

    Raises
    ------
    ParameterError
        If the name is no path and unknown.
    """
    if name.endswith(".toml"):
        return Path(name)
    return _file("brakes", name, known_brakes())


@cache
def load_aircraft(name: str) -> Aircraft:
    """Aircraft of the catalogue by its name; errors as `load_brake`."""
    return read_aircraft(_file("aircraft", name, known_aircraft()))


@cache
def load_ranges() -> tuple[Range, ...]:
    """Ranges of the inputs that are sampled, in the order of their draws."""
    path = Path(str(files("thermal") / "data" / "uncertainty.toml"))
    table = tomllib.loads(path.read_text("utf-8"))
    ranges = tuple(Range(name=name, **entry) for name, entry in table.items())
    for item in ranges:
        if not (item.low < item.high and item.reason):
            raise ParameterError.of(item.name, "low < high and a reason", item)
    return ranges


def read_brake(path: Path) -> Brake:
    """Read and check one brake file.

    Raises
    ------
    ParameterError
        Naming file and key: an unknown or missing key, a unit that differs, a value
        outside its own range, dimensions that do not fit or make no brake
        (`thermal.plausibility`).
    """
    table = _read(path)
    parts = {
        "plug": _record(path, table.pop("plug", {}), FusePlug),
        "probe": _record(path, table.pop("probe", {}), Probe),
        "limits": _record(path, table.pop("limits", {}), Limits),
    }
    brake = _build(path, Brake, {**_values(path, table, Brake), **parts})
    check_plausible(brake, path.name)
    return brake


def read_aircraft(path: Path) -> Aircraft:
    """Read and check one aircraft file; errors as `read_brake`."""
    table = _read(path)
    values = _values(path, table, Aircraft)
    levels = values.get("automatic_decelerations_m_per_s2")
    if isinstance(levels, list):
        values["automatic_decelerations_m_per_s2"] = tuple(levels)
    return _build(path, Aircraft, values)


def entries(kind: str, name: str) -> tuple[Entry, ...]:
    """Every number of a catalogue file with its unit, range and source.

    A brake may be an operator's own file, as in `load_brake`.
    """
    brake = kind == "brakes"
    path = brake_path(name) if brake else _file(kind, name, known_aircraft())
    table = _read(path)
    rows: list[Entry] = []
    for key, entry in table.items():
        inner = entry if isinstance(entry, dict) and "value" not in entry else None
        found = {key: entry} if inner is None else inner
        prefix = "" if inner is None else f"{key}."
        rows += [
            Entry(key=f"{prefix}{name}", **value)
            for name, value in found.items()
            if isinstance(value, dict)
        ]
    return tuple(rows)


def _known(kind: str) -> tuple[str, ...]:
    folder = Path(str(files("thermal") / "data" / kind))
    return tuple(sorted(path.stem for path in folder.glob("*.toml")))


def _file(kind: str, name: str, known: tuple[str, ...]) -> Path:
    if name not in known:
        raise ParameterError.of(f"{kind} catalogue", f"one of {', '.join(known)}", name)
    return Path(str(files("thermal") / "data" / kind / f"{name}.toml"))


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text("utf-8"))
    except (OSError, tomllib.TOMLDecodeError) as error:
        raise ParameterError(f"{path}: {error}") from error


def _record(path: Path, table: dict[str, Any], kind: type[_Kind]) -> _Kind:
    return _build(path, kind, _values(path, table, kind))


def _build(path: Path, kind: type[_Kind], values: dict[str, Any]) -> _Kind:
    needed = [item.name for item in fields(kind) if _is_needed(item)]
    missing = [name for name in needed if name not in values]
    if missing:
        where = f"{path.name}: {', '.join(missing)}"
        raise ParameterError.of(where, "a value", "nothing")
    try:
        return kind(**values)
    except TypeError as error:
        raise ParameterError(f"{path.name}: {error}") from error
    except ParameterError as error:
        raise ParameterError(f"{path.name}: {error}") from error


def _is_needed(item: Field[Any]) -> bool:
    return item.default is MISSING and item.default_factory is MISSING


def _values(path: Path, table: dict[str, Any], kind: type[Any]) -> dict[str, Any]:
    known = {item.name for item in fields(kind)}
    values: dict[str, Any] = {}
    for key, entry in table.items():
        field = key[:-2] + "_k" if key.endswith("_c") else key
        if field not in known:
            raise ParameterError.of(f"{path.name}: {key}", "a known key", key)
        values[field] = _number(path, key, entry) if isinstance(entry, dict) else entry
    return values


def _number(path: Path, key: str, entry: dict[str, Any]) -> Any:
    where = f"{path.name}: {key}"
    if set(entry) != _KEYS:
        raise ParameterError.of(where, f"keys {sorted(_KEYS)}", sorted(entry))
    unit = next((unit for suffix, unit in UNITS if key.endswith(suffix)), "1")
    if entry["unit"] != unit:
        raise ParameterError.of(f"{where}: unit", unit, entry["unit"])
    if not entry["source"]:
        raise ParameterError.of(f"{where}: source", "a source", "nothing")
    value = entry["value"]
    inside = value if isinstance(value, list) else [value]
    if not all(entry["low"] <= number <= entry["high"] for number in inside):
        expected = f"{entry['low']} to {entry['high']} (its own range)"
        raise ParameterError.of(where, expected, value)
    return value + ZERO_CELSIUS_K if key.endswith("_c") else value
