"""What the keys of station.toml must be to each other: names, zones, hours, fan sets.

Single values are checked by `station_schema`; here every fault names two of them.
"""

from collections.abc import Iterator
from itertools import combinations_with_replacement

from scheduler.files.faults import one_of
from scheduler.files.station_schema import FanKeys, StationKeys
from scheduler.files.toml_file import TomlFile


def check_keys(file: TomlFile, keys: StationKeys) -> None:
    """Note every fault between keys at the line of the later one."""
    _check_names(file, keys)
    _check_exits(file, keys)
    _check_curfews(file, keys)
    _check_closures(file, keys)
    for index, fan in enumerate(keys.fans):
        _check_sets(file, fan, index)
        _check_outages(file, fan, index)
        _check_home(file, keys, index)
    _check_moves(file, keys)
    if keys.exact_moves:
        _check_exact_moves(file, keys)


def _check_names(file: TomlFile, keys: StationKeys) -> None:
    for key in ("runways", "stands", "fans", "crews"):
        seen: set[str] = set()
        for index, item in enumerate(getattr(keys, key)):
            if item.name in seen:
                file.add((key, index, "name"), "a name used once", f'"{item.name}"')
            seen.add(item.name)


def _check_exits(file: TomlFile, keys: StationKeys) -> None:
    for index, runway in enumerate(keys.runways):
        seen: set[str] = set()
        for number, item in enumerate(runway.exits):
            place = ("runways", index, "exits", number)
            if item.distance_m > runway.landing_distance_m:
                expected = f"at most {runway.landing_distance_m:g} (landing_distance_m)"
                file.add((*place, "distance_m"), expected, item.distance_m)
            if item.name in seen:
                expected = "a name used once on this runway"
                file.add((*place, "name"), expected, f'"{item.name}"')
            seen.add(item.name)


def _check_curfews(file: TomlFile, keys: StationKeys) -> None:
    for index, item in enumerate(keys.curfews):
        if item.from_local == item.to_local:
            expected = "another time than from_local"
            file.add(("curfews", index, "to_local"), expected, "the same")


def _check_closures(file: TomlFile, keys: StationKeys) -> None:
    for index, runway in enumerate(keys.runways):
        if any(start == end for start, end in runway.closures_utc):
            path = ("runways", index, "closures_utc")
            file.add(path, "two different times each", "the same time twice")


def _check_sets(file: TomlFile, fan: FanKeys, index: int) -> None:
    path = ("fans", index, "sets")
    for units in fan.sets:
        if units > fan.units:
            file.add(path, f"at most {fan.units} (units)", units)
    if fan.sets and fan.brakes_per_unit is None:
        file.add(path, "brakes_per_unit beside sets", "nothing")


def _check_outages(file: TomlFile, fan: FanKeys, index: int) -> None:
    for number, outage in enumerate(fan.outages):
        path = ("fans", index, "outages", number)
        if outage.units > fan.units:
            file.add((*path, "units"), f"at most {fan.units} (units)", outage.units)
        if outage.from_utc == outage.to_utc:
            file.add((*path, "to_utc"), "another time than from_utc", "the same")


def _check_home(file: TomlFile, keys: StationKeys, index: int) -> None:
    fan = keys.fans[index]
    path = ("fans", index, "home")
    zones = sorted(_zones(keys))
    for zone in fan.home:
        if zone not in zones:
            expected = one_of(zones, zone) if zones else "a zone that a stand has"
            file.add(path, expected, f'"{zone}"')
    count = sum(fan.home.values())
    if fan.home and count != fan.units:
        file.add(path, f"{fan.units} units in all", count)


def _check_moves(file: TomlFile, keys: StationKeys) -> None:
    seen: set[tuple[str, str]] = set()
    for index, move in enumerate(keys.zone_moves):
        pair = (move.from_zone, move.to_zone)
        if pair in seen:
            expected = f"one move from {pair[0]} to {pair[1]}"
            file.add(("zone_moves", index), expected, "a second one")
        seen.add(pair)


def _check_exact_moves(file: TomlFile, keys: StationKeys) -> None:
    """Every stand and fan has its zone, and every way between zones its minutes."""
    for index, stand in enumerate(keys.stands):
        if stand.zone is None:
            path = ("stands", index, "zone")
            file.add(path, "a zone, because exact_moves is true", "nothing")
    for index, fan in enumerate(keys.fans):
        if not fan.home:
            path = ("fans", index, "home")
            expected = "units by zone, because exact_moves is true"
            file.add(path, expected, "nothing")
    for first, second in _missing_moves(keys):
        expected = f"zone_moves between {first} and {second}"
        if first == second:
            expected = f"zone_moves within {first} (from {first} to {first})"
        file.add(("exact_moves",), expected, "nothing")


def _missing_moves(keys: StationKeys) -> Iterator[tuple[str, str]]:
    given = {frozenset((move.from_zone, move.to_zone)) for move in keys.zone_moves}
    for pair in combinations_with_replacement(sorted(_zones(keys)), 2):
        if frozenset(pair) not in given:
            yield pair


def _zones(keys: StationKeys) -> set[str]:
    """Zones of stands, and those that only moves name (where fans are kept)."""
    moves = {
        zone for item in keys.zone_moves for zone in (item.from_zone, item.to_zone)
    }
    return {item.zone for item in keys.stands if item.zone is not None} | moves
