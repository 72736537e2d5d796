"""fleet.toml to aircraft and tail records."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from scheduler.day import Tail, WakeTable
from scheduler.errors import DayError
from scheduler.files.aircraft_types import read_type
from scheduler.files.faults import FaultList, one_of
from scheduler.files.toml_file import Keys, TomlFile, as_tuple
from scheduler.files.wake_table import Wake
from thermal import Aircraft

_UNKNOWN = "unknown"

Names = Annotated[tuple[str, ...], BeforeValidator(as_tuple)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """All types and tails of a scenario, in file order.

    ``registrations`` names every tail of the file, those with faults too.
    ``wake_categories`` has the types that state one.
    """

    registrations: tuple[str, ...]
    aircraft: tuple[Aircraft, ...]
    tails: tuple[Tail, ...]
    wake_categories: tuple[tuple[str, str], ...] = ()

    def notes(self, wake: WakeTable | None) -> tuple[str, ...]:
        """Say that stated categories have no table to count in."""
        if wake is not None or not self.wake_categories:
            return ()
        return (
            "fleet.toml states wake categories, but station.toml has no wake table: "
            "take-offs keep the spacing of the runway alone",
        )

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
    onboard_fan_inoperative: bool = False
    anti_skid_inoperative: bool = False
    automatic_braking_inoperative: bool = False


class FleetKeys(Keys):
    """The two tables of tables of fleet.toml."""

    types: dict[str, Any]
    tails: dict[str, Any]


def read_fleet(path: Path, faults: FaultList, wake: Wake | None = None) -> Fleet | None:
    """Read and check fleet.toml, with wake categories as the station's table has them.

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
    aircraft = {name: read_type(file, name, item) for name, item in keys.types.items()}
    tails = {
        name: _tail(file, name, item, aircraft) for name, item in keys.tails.items()
    }
    categories = {
        name: _wake_category(file, name, item, aircraft[name], wake)
        for name, item in keys.types.items()
    }
    return Fleet(
        registrations=tuple(tails),
        aircraft=tuple(item for item in aircraft.values() if item is not None),
        tails=tuple(item for item in tails.values() if item is not None),
        wake_categories=tuple(
            (name, category) for name, category in categories.items() if category
        ),
    )


def _wake_category(
    file: TomlFile,
    name: str,
    table: object,
    aircraft: Aircraft | None,
    wake: Wake | None,
) -> str | None:
    """Category that a type states; one that the table cannot tell is a fault.

    No single category is the worst both before and behind another aircraft, so nothing
    is assumed.
    """
    given = table.get("wake") if isinstance(table, dict) else None
    stated = given if isinstance(given, str) and given else None
    path = ("types", name, "wake")
    if wake is None or aircraft is None:
        return stated
    if stated is not None and stated not in wake.categories:
        file.add(path, one_of(wake.categories, stated), f'"{stated}"')
    by_weight = wake.table.category(aircraft.maximum_take_off_kg)
    if stated is None and by_weight is None:
        expected = f"{one_of(wake.categories)} (wake table {wake.table.name})"
        file.add(path, expected, "nothing")
    return stated


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
            onboard_fan_inoperative=keys.onboard_fan_inoperative,
            anti_skid_inoperative=keys.anti_skid_inoperative,
            automatic_braking_inoperative=keys.automatic_braking_inoperative,
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
