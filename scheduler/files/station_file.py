"""station.toml to the station record and the headings of exports.

Two steps, because local hours need a date: `read_station` checks the keys;
`StationFile.station` builds the record for a day.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from scheduler.clock import Clock
from scheduler.day import DelayCost, Runway, Stand, Station
from scheduler.errors import DayError
from scheduler.files import station_records as records
from scheduler.files import station_schema as schema
from scheduler.files.csv_table import Headings
from scheduler.files.faults import FaultList, one_of
from scheduler.files.toml_file import TomlFile


@dataclass(frozen=True, slots=True, kw_only=True)
class StationFile:
    """The checked keys of station.toml, ready for any date."""

    keys: schema.StationKeys
    delay_cost: DelayCost
    zone: ZoneInfo

    @property
    def runways(self) -> tuple[Runway, ...]:
        """Runways in file order."""
        return tuple(records.runway(keys) for keys in self.keys.runways)

    def station(self, clock: Clock) -> Station:
        """Build the record, with local hours as UTC minutes around the clock's day."""
        keys = self.keys
        return Station(
            name=keys.name,
            elevation_m=keys.elevation_m,
            time_zone=keys.time_zone,
            runways=self.runways,
            stands=tuple(Stand(**item.model_dump()) for item in keys.stands),
            fans=tuple(records.fan(item) for item in keys.fans),
            approach=records.approach(keys.approach),
            curfews=tuple(
                curfew
                for item in keys.curfews
                for curfew in records.curfews(item, self.zone, clock)
            ),
            delay_cost=self.delay_cost,
            stand_buffer_minutes=keys.stand_buffer_minutes,
            plug_check_minutes=keys.plug_check_minutes,
            wind_credit=keys.wind_credit,
            parking_brake_set=records.parking_brake_set(keys.parking_brake),
            onboard_fan_minutes=keys.onboard_fan_minutes,
            limit_confidence=keys.limit_confidence,
            bound_confidence=keys.bound_confidence,
            hold_minutes=keys.hold_minutes,
            stop_factor=keys.stop_factor,
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What was assumed because station.toml does not say it."""
        manned = any(not fan.remote for fan in self.keys.fans)
        if self.keys.approach is None and manned:
            return (
                "station.toml has no [approach] rule: nobody is sent to a wheel, "
                "so only remote fans are planned",
            )
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """What other files refer to, read even where station.toml has faults."""

    headings: Headings = field(default_factory=Headings)
    day: date | None = None
    stands: tuple[str, ...] = ()
    runways: tuple[tuple[str, tuple[str, ...]], ...] = ()


def read_station(
    path: Path, known_columns: Iterable[str], faults: FaultList
) -> tuple[StationFile | None, Outline]:
    """Read and check station.toml.

    Returns
    -------
    station : StationFile or None
        None where the file has faults; they are in ``faults``.
    outline : Outline
        Names and headings, as far as they can be read.
    """
    file = TomlFile(path, faults)
    if file.values is None:
        return None, Outline()
    outline = _outline(file, tuple(known_columns))
    keys = file.check(file.values, schema.StationKeys)
    if keys is None:
        return None, outline
    delay_cost = _delay_cost(file, keys)
    zone = _zone(file, keys)
    _check_names(file, keys)
    _check_exits(file, keys)
    _check_curfews(file, keys)
    if delay_cost is None or zone is None:
        return None, outline
    return StationFile(keys=keys, delay_cost=delay_cost, zone=zone), outline


def _outline(file: TomlFile, known_columns: tuple[str, ...]) -> Outline:
    values = file.values or {}
    day = values.get("day")
    runways = _tables(values.get("runways"))
    return Outline(
        headings=_headings(file, known_columns),
        day=day if isinstance(day, date) and not isinstance(day, datetime) else None,
        stands=_names(values.get("stands")),
        runways=tuple(
            (str(item.get("name")), _names(item.get("exits"))) for item in runways
        ),
    )


def _tables(value: object) -> list[dict[str, Any]]:
    items = value if isinstance(value, list) else []
    return [item for item in items if isinstance(item, dict)]


def _names(value: object) -> tuple[str, ...]:
    return tuple(str(item.get("name")) for item in _tables(value))


def _headings(file: TomlFile, known: tuple[str, ...]) -> Headings:
    columns = (file.values or {}).get("columns")
    renamed: dict[str, str] = {}
    ignored: list[str] = []
    for title, target in columns.items() if isinstance(columns, dict) else ():
        if title == "ignore" and isinstance(target, list):
            ignored += [str(item) for item in target]
        elif target in known:
            renamed[title] = target
        else:
            expected = one_of(sorted(known), str(target))
            file.add(("columns", title), expected, f'"{target}"')
    return Headings(renamed=renamed, ignored=frozenset(ignored))


def _delay_cost(file: TomlFile, keys: schema.StationKeys) -> DelayCost | None:
    cost = keys.delay_cost
    try:
        return DelayCost(rates=tuple(cost.rates), jumps=tuple(cost.jumps))
    except DayError as error:
        expected, got = str(error).split("expected ", 1)[1].rsplit(", got ", 1)
        file.add(
            ("delay_cost", "jumps" if "jumps" in expected else "rates"), expected, got
        )
        return None


def _zone(file: TomlFile, keys: schema.StationKeys) -> ZoneInfo | None:
    name = keys.time_zone
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        expected = "an IANA time zone as UTC or Europe/Lisbon"
        file.add(("time_zone",), expected, f'"{name}"')
        return None


def _check_names(file: TomlFile, keys: schema.StationKeys) -> None:
    for key in ("runways", "stands", "fans"):
        seen: set[str] = set()
        for index, item in enumerate(getattr(keys, key)):
            if item.name in seen:
                file.add((key, index, "name"), "a name used once", f'"{item.name}"')
            seen.add(item.name)


def _check_exits(file: TomlFile, keys: schema.StationKeys) -> None:
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


def _check_curfews(file: TomlFile, keys: schema.StationKeys) -> None:
    for index, item in enumerate(keys.curfews):
        if item.from_local == item.to_local:
            expected = "another time than from_local"
            file.add(("curfews", index, "to_local"), expected, "the same")
