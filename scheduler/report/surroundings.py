"""What stands around a plan's minutes, so that it can be drawn from its file alone.

Enters: a plan and its day. Leaves: the same plan with its time zone, fans, age of data,
and per row aircraft type, landing, CTOT and the limits that are plain temperatures.
Nothing that was decided changes.
"""

from collections.abc import Iterator
from dataclasses import replace
from importlib.metadata import PackageNotFoundError, version
from math import ceil

from scheduler.day import Day, Turnaround
from scheduler.plan import FanFleet, LimitLine, Plan, PlannedTurnaround
from thermal import Brake, load_brake
from thermal.units import MINUTE_S, celsius

_REPORT = "report"


def with_surroundings(plan: Plan, day: Day) -> Plan:
    """Add to a plan what a reader of its file needs to draw it.

    Parameters
    ----------
    plan : Plan
        The plan.
    day : Day
        The day it was made for; rows of other days stay as they are.

    Returns
    -------
    plan : Plan
        The same decisions.
    """
    given = {one.id: one for one in day.turnarounds}
    return replace(
        plan,
        time_zone=day.station.time_zone,
        data_minute=_newest_minute(day),
        program=_program(),
        fans=tuple(_fleet(day)),
        turnarounds=tuple(
            _row(day, row, given[row.id]) if row.id in given else row
            for row in plan.turnarounds
        ),
    )


def _newest_minute(day: Day) -> int | None:
    """Minute of the newest weather report or logged fact, none after now."""
    minutes = [row.minute for row in day.weather if row.source == _REPORT]
    minutes += [one.minute for one in day.readings]
    minutes += [one.minute for one in day.checks]
    minutes += [one.minute for one in day.findings]
    minutes += [one.start_minute for one in day.fan_times]
    minutes += [one.end_minute for one in day.fan_times if one.end_minute is not None]
    minutes += [minute for _, minute in day.airborne]
    now = day.now_minute
    return max((m for m in minutes if now is None or m <= now), default=None)


def _program() -> str:
    try:
        return f"heatslot {version('heatslot')}"
    except PackageNotFoundError:
        return "heatslot"


def _fleet(day: Day) -> Iterator[FanFleet]:
    for fan in day.station.fans:
        yield FanFleet(
            name=fan.name,
            units=fan.units,
            setup_minutes=fan.setup_minutes,
            removal_minutes=fan.removal_minutes,
            move_minutes=fan.move_minutes,
            from_minute=fan.from_minute,
            to_minute=fan.to_minute,
            remote=fan.remote,
        )


def _row(day: Day, row: PlannedTurnaround, given: Turnaround) -> PlannedTurnaround:
    aircraft, landing = day.aircraft_of(given), day.landing_minute(given)
    brake = load_brake(aircraft.brake)
    lag = ceil(brake.limits.indicated_valid_after_s / MINUTE_S)
    return replace(
        row,
        aircraft=aircraft.name,
        landing_minute=landing,
        ctot_minute=given.departure.ctot_minute,
        indication_minute=max(landing + lag, row.in_block_minute),
        indication_fan_minutes=ceil(brake.limits.fan_invalid_s / MINUTE_S),
        limits=tuple(_limits(brake)),
    )


def _limits(brake: Brake) -> Iterator[LimitLine]:
    """Limits of a brake that can be drawn as a line, the highest first."""
    limits, plug = brake.limits, brake.plug
    lines = [
        ("stack", "inspect above", limits.inspect_above_k),
        ("stack", "wheel-well limit", limits.wheel_well_k),
        ("indicated", "indicated limit", limits.indicated_k),
        ("plug", "plug limit", plug.release_k - plug.margin_k),
    ]
    for curve, name, limit_k in lines:
        if limit_k is not None:
            value = round(float(celsius(limit_k)), 1)
            yield LimitLine(curve=curve, name=name, limit_c=value)
