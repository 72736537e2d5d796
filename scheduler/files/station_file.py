"""station.toml to the station record and the headings of exports.

Two steps, because local hours need a date: `read_station` checks the keys;
`StationFile.station` builds the record for a day.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from scheduler.clock import Clock
from scheduler.day import DelayCost, Runway, SlotInterval, Station
from scheduler.errors import DayError
from scheduler.files import station_records as records
from scheduler.files import station_schema as schema
from scheduler.files.csv_table import Headings
from scheduler.files.faults import FaultList, one_of
from scheduler.files.station_checks import check_keys
from scheduler.files.toml_file import TomlFile
from scheduler.files.wake_table import Wake, read_wake

_SAME_NAME = (
    "name",
    "elevation_m",
    "time_zone",
    "stand_buffer_minutes",
    "plug_check_minutes",
    "inspection_minutes",
    "wheel_change_minutes",
    "wind_credit",
    "onboard_fan_minutes",
    "limit_confidence",
    "bound_confidence",
    "hold_minutes",
    "stop_factor",
    "slots_only",
    "exact_moves",
    "freeze_minutes",
    "stability_minutes",
    "tolerance_minutes",
    "rollout_request_minutes",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StationFile:
    """The checked keys of station.toml, ready for any date."""

    keys: schema.StationKeys
    delay_cost: DelayCost
    zone: ZoneInfo
    wake: Wake | None = None

    @property
    def runways(self) -> tuple[Runway, ...]:
        """Runways in file order."""
        return tuple(records.runway(keys) for keys in self.keys.runways)

    def station(self, clock: Clock, slots: tuple[SlotInterval, ...] = ()) -> Station:
        """Build the record, with local hours as UTC minutes around the clock's day."""
        keys = self.keys
        return Station(
            runways=self.runways,
            stands=tuple(records.stand(item) for item in keys.stands),
            fans=tuple(records.fan(item) for item in keys.fans),
            approach=records.approach(keys.approach),
            curfews=tuple(
                curfew
                for item in keys.curfews
                for curfew in records.curfews(item, self.zone, clock)
            ),
            delay_cost=self.delay_cost,
            parking_brake_set=records.parking_brake_set(keys.parking_brake),
            crews=tuple(records.crew(item) for item in keys.crews),
            wake=None if self.wake is None else self.wake.table,
            slots=slots,
            zone_moves=records.zone_moves(keys.zone_moves),
            **{name: getattr(keys, name) for name in _SAME_NAME},
        )

    @property
    def notes(self) -> tuple[str, ...]:
        """What was assumed because station.toml does not say it."""
        return (*self._approach_notes(), *self._wake_notes())

    def _approach_notes(self) -> Iterator[str]:
        manned = any(not fan.remote for fan in self.keys.fans)
        if self.keys.approach is None and manned:
            yield (
                "station.toml has no [approach] rule: nobody is sent to a wheel, "
                "so only remote fans are planned"
            )

    def _wake_notes(self) -> Iterator[str]:
        """Say where neighbours in the row of take-offs are not all that counts."""
        for runway in self.runways if self.wake else ():
            broken = self.wake.breaks_triangle(runway) if self.wake else None
            if self.wake and broken:
                yield (
                    f"wake table {self.wake.table.name}, runway {runway.name}: "
                    f"{broken[0]} before {broken[2]} takes longer than with "
                    f"{broken[1]} between; every pair of take-offs is kept apart"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """What other files refer to, read even where station.toml has faults."""

    headings: Headings = field(default_factory=Headings)
    day: date | None = None
    stands: tuple[str, ...] = ()
    runways: tuple[tuple[str, tuple[str, ...]], ...] = ()
    wake: Wake | None = None


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
    check_keys(file, keys)
    if delay_cost is None or zone is None:
        return None, outline
    station = StationFile(
        keys=keys, delay_cost=delay_cost, zone=zone, wake=outline.wake
    )
    return station, outline


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
        wake=read_wake(file),
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
