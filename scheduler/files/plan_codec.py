"""Plan record ↔ the entries of ``plan.json``.

A field ``…_minute`` is the key ``…_utc``, an ISO 8601 time; the proof stands at the
top of the file, and of the heat summary what people look for stands beside the
minutes. Every other field keeps its name, so a new field needs a line in
`plan_schema` only.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import datetime
from typing import Any, ClassVar, Protocol, TypeVar

from pydantic import BaseModel

from scheduler.clock import Clock
from scheduler.files.plan_schema import CurveEntry, PlanEntry, TurnaroundEntry
from scheduler.plan import (
    Action,
    BrakeHeat,
    Curve,
    DelayShare,
    FanFleet,
    FanJob,
    HeatSummary,
    LimitLine,
    Plan,
    PlannedDuty,
    PlannedTurnaround,
    Proof,
    TradePoint,
    WhatIf,
)

Record = TypeVar("Record")
_LISTS = {
    "actions": Action,
    "shares": DelayShare,
    "what_ifs": WhatIf,
    "fans": FanFleet,
}
_ROW_LISTS = {
    "fan_jobs": FanJob,
    "duties": PlannedDuty,
    "limits": LimitLine,
    "load_trade": TradePoint,
}
_HEAT_ASIDE = ("not_assessed", "most_valuable_input")


class _IsRecord(Protocol):
    __dataclass_fields__: ClassVar[dict[str, Any]]


def values_of(plan: Plan, clock: Clock) -> dict[str, Any]:
    """Values of a plan under the keys of the file."""
    proof = _values(plan.proof, clock)
    gap = plan.proof.gap if math.isfinite(plan.proof.gap) else None
    return {
        **_values(plan, clock, "proof", "turnarounds", *_LISTS),
        **proof,
        **_list_values(plan, _LISTS, clock),
        "gap": gap,
        "turnarounds": tuple(
            _turnaround_values(row, clock) for row in plan.turnarounds
        ),
    }


def plan_of(entry: PlanEntry, clock: Clock) -> Plan:
    """Plan record of a checked entry."""
    gap = math.inf if entry.gap is None else entry.gap
    rows = tuple(_turnaround(row, clock) for row in entry.turnarounds)
    proof = _record(Proof, entry, clock, {"gap": gap})
    lists = _lists(entry, _LISTS, clock)
    return _record(Plan, entry, clock, {"proof": proof, "turnarounds": rows, **lists})


def _key(name: str) -> str:
    """Key of a field: minutes become UTC times."""
    if name == "minute":
        return "time_utc"
    stem = name.removesuffix("_minute")
    return name if stem == name else f"{stem}_utc"


def _values(record: _IsRecord, clock: Clock, *skip: str) -> dict[str, Any]:
    """Fields of a record under their keys, minutes as times."""
    return {
        _key(field.name): _written(field.name, getattr(record, field.name), clock)
        for field in fields(record)
        if field.name not in skip
    }


def _written(name: str, value: Any, clock: Clock) -> Any:
    is_minute = _key(name) != name and value is not None
    return clock.text(value) if is_minute else value


def _record(
    kind: type[Record], entry: BaseModel, clock: Clock, given: Mapping[str, Any]
) -> Record:
    """Build a record from its entry; ``given`` fields are taken as they are."""
    names = [field.name for field in fields(kind)]  # type: ignore[arg-type]
    read = {
        name: _read(name, getattr(entry, _key(name)), clock)
        for name in names
        if name not in given
    }
    return kind(**read, **given)


def _read(name: str, value: Any, clock: Clock) -> Any:
    is_minute = _key(name) != name and value is not None
    return clock.minute(datetime.fromisoformat(value)) if is_minute else value


def _list_values(
    record: _IsRecord, names: Iterable[str], clock: Clock
) -> dict[str, Any]:
    """Fields that hold records, as values."""
    return {
        name: tuple(_values(item, clock) for item in getattr(record, name))
        for name in names
    }


def _lists(
    entry: BaseModel, kinds: Mapping[str, type[Any]], clock: Clock
) -> dict[str, Any]:
    """Fields that hold records, from their entries."""
    return {
        name: tuple(_record(kind, item, clock, {}) for item in getattr(entry, name))
        for name, kind in kinds.items()
    }


def _turnaround_values(row: PlannedTurnaround, clock: Clock) -> dict[str, Any]:
    return {
        **_values(row, clock, "heat", "cooled", *_ROW_LISTS),
        **_list_values(row, _ROW_LISTS, clock),
        **_heat_values(row.heat, clock),
        "cooled": tuple(_curve_values(curve, clock) for curve in row.cooled),
    }


def _heat_values(heat: HeatSummary | None, clock: Clock) -> dict[str, Any]:
    if heat is None:
        absent = dict.fromkeys(("plug", "stack_peak_c", "heat"))
        empty = dict.fromkeys(("assumed", "inspection", "brakes", "curves"), ())
        return {**absent, **empty}
    return {
        "plug": {
            "release_probability": heat.release_probability,
            "risk": heat.risk,
            "peak_c": heat.plug_peak_c,
            "peak_utc": clock.text(heat.plug_peak_minute),
        },
        "stack_peak_c": heat.stack_peak_c,
        "heat": {
            "binding_position": heat.binding_position,
            "binding_sample": heat.binding_sample,
            **{name: getattr(heat, name) for name in _HEAT_ASIDE},
        },
        "assumed": heat.assumed,
        "inspection": heat.inspection,
        "brakes": tuple(_values(brake, clock) for brake in heat.brakes),
        "curves": tuple(_curve_values(curve, clock) for curve in heat.curves),
    }


def _curve_values(curve: Curve, clock: Clock) -> dict[str, Any]:
    start = curve.minutes[0] if curve.minutes else None
    return {
        **_values(curve, clock, "minutes"),
        "start_utc": None if start is None else clock.text(start),
        "minutes_after_start": tuple(minute - start for minute in curve.minutes)
        if start is not None
        else (),
    }


def _turnaround(entry: TurnaroundEntry, clock: Clock) -> PlannedTurnaround:
    lists = _lists(entry, _ROW_LISTS, clock)
    cooled = tuple(_curve(curve, clock) for curve in entry.cooled)
    given = {"heat": _heat(entry, clock), "cooled": cooled, **lists}
    return _record(PlannedTurnaround, entry, clock, given)


def _heat(entry: TurnaroundEntry, clock: Clock) -> HeatSummary | None:
    if entry.plug is None or entry.heat is None or entry.stack_peak_c is None:
        return None
    given = {
        "release_probability": entry.plug.release_probability,
        "plug_peak_c": entry.plug.peak_c,
        "plug_peak_minute": _read("plug_peak_minute", entry.plug.peak_utc, clock),
        "stack_peak_c": entry.stack_peak_c,
        "assumed": entry.assumed,
        "inspection": entry.inspection,
        "brakes": tuple(_record(BrakeHeat, b, clock, {}) for b in entry.brakes),
        "curves": tuple(_curve(curve, clock) for curve in entry.curves),
        "rollouts": (),
    }
    return _record(HeatSummary, entry.heat, clock, given)


def _curve(entry: CurveEntry, clock: Clock) -> Curve:
    start = _read("start_minute", entry.start_utc, clock)
    minutes = tuple(start + after for after in entry.minutes_after_start)
    return _record(Curve, entry, clock, {"minutes": minutes})
