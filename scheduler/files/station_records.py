"""Checked keys of station.toml to records, in SI and UTC minutes."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from scheduler.clock import DAY_MINUTES, Clock
from scheduler.day import (
    ApproachRule,
    Crew,
    Curfew,
    CurfewEvent,
    Exit,
    FanType,
    Outage,
    Runway,
    Stand,
    Task,
    ZoneMove,
)
from scheduler.files import station_schema as schema
from thermal import RunwayCondition
from thermal.units import KNOT_M_PER_S, ZERO_CELSIUS_K

_ALWAYS = (-DAY_MINUTES, 3 * DAY_MINUTES)


def runway(keys: schema.RunwayKeys) -> Runway:
    """Build a runway with its exits."""
    return Runway(
        name=keys.name,
        heading_deg=keys.heading_deg,
        landing_distance_m=keys.landing_distance_m,
        slope_fraction=keys.slope_percent / 100.0,
        spacing_minutes=keys.spacing_minutes,
        condition=RunwayCondition(str(keys.condition)),
        exits=tuple(
            Exit(
                name=item.name,
                distance_m=item.distance_m,
                speed_m_per_s=item.speed_kt * KNOT_M_PER_S,
            )
            for item in keys.exits
        ),
        closures=tuple(_span(*hours) for hours in keys.closures_utc),
        arrival_gap_minutes=keys.arrival_gap_minutes,
    )


def stand(keys: schema.StandKeys) -> Stand:
    """Build a stand."""
    return Stand(**keys.model_dump())


def fan(keys: schema.FanKeys) -> FanType:
    """Build a fan type with its hours and outages."""
    from_minute, to_minute = _hours(keys.from_utc, keys.to_utc)
    return FanType(
        name=keys.name,
        units=keys.units,
        air_speed_m_per_s=keys.air_speed_m_per_s,
        setup_minutes=keys.setup_minutes,
        removal_minutes=keys.removal_minutes,
        move_minutes=keys.move_minutes,
        from_minute=from_minute,
        to_minute=to_minute,
        remote=keys.remote,
        brakes_per_unit=keys.brakes_per_unit,
        sets=tuple(sorted(set(keys.sets))),
        outages=tuple(_outage(item) for item in keys.outages),
        home=tuple(keys.home.items()),
    )


def crew(keys: schema.CrewKeys) -> Crew:
    """Build a kind of crew with its hours."""
    from_minute, to_minute = _hours(keys.from_utc, keys.to_utc)
    return Crew(
        name=keys.name,
        count=keys.count,
        tasks=tuple(Task(name) for name in dict.fromkeys(keys.tasks)),
        from_minute=from_minute,
        to_minute=to_minute,
        move_minutes=keys.move_minutes,
    )


def zone_moves(given: Iterable[schema.ZoneMoveKeys]) -> tuple[ZoneMove, ...]:
    """Build the moves; one that is given in one direction counts in both."""
    minutes = {(item.from_zone, item.to_zone): item.minutes for item in given}
    for (start, end), value in tuple(minutes.items()):
        minutes.setdefault((end, start), value)
    return tuple(
        ZoneMove(from_zone=start, to_zone=end, minutes=value)
        for (start, end), value in minutes.items()
    )


def approach(keys: schema.ApproachKeys | None) -> ApproachRule:
    """Build the approach rule; without one nobody is sent to a wheel."""
    if keys is None:
        return ApproachRule(max_plug_k=0.0, max_stack_k=0.0)
    return ApproachRule(
        max_plug_k=keys.max_plug_c + ZERO_CELSIUS_K,
        max_stack_k=keys.max_stack_c + ZERO_CELSIUS_K,
        minutes_after_in_block=keys.minutes_after_in_block,
        at_raised=keys.at_raised,
    )


def parking_brake_set(key: str | None) -> bool | None:
    """Whether the parking brake is set at the stand; None where that is not given."""
    return None if key is None else key == "set"


def curfews(keys: schema.CurfewKeys, zone: ZoneInfo, clock: Clock) -> list[Curfew]:
    """Curfew of the day before, the day and the day after, as UTC minutes.

    Where a clock change makes an hour happen twice or not at all, the longer reading
    counts.
    """
    length = (keys.to_local - keys.from_local) % DAY_MINUTES or DAY_MINUTES
    to_local = keys.from_local + length
    found: list[Curfew] = []
    for shift in (-1, 0, 1):
        day = clock.day + timedelta(days=shift)
        start = min(_utc_minutes(day, keys.from_local, zone, clock))
        end = max(_utc_minutes(day, to_local, zone, clock))
        event = CurfewEvent(keys.event)
        found.append(
            Curfew(from_minute=start, to_minute=end, event=event, soft=keys.soft)
        )
    return found


def _outage(keys: schema.OutageKeys) -> Outage:
    from_minute, to_minute = _span(keys.from_utc, keys.to_utc)
    return Outage(units=keys.units, from_minute=from_minute, to_minute=to_minute)


def _hours(from_utc: int | None, to_utc: int | None) -> tuple[int, int]:
    """Hours of service; without them, always."""
    return _ALWAYS if from_utc is None or to_utc is None else _span(from_utc, to_utc)


def _span(from_minute: int, to_minute: int) -> tuple[int, int]:
    """Minutes from … to; an end before the beginning is on the next day."""
    is_next_day = to_minute <= from_minute
    return from_minute, to_minute + DAY_MINUTES if is_next_day else to_minute


def _utc_minutes(day: date, minutes: int, zone: ZoneInfo, clock: Clock) -> list[int]:
    local = datetime.combine(day, time(), tzinfo=zone) + timedelta(minutes=minutes)
    return [clock.minute(local.replace(fold=fold)) for fold in (0, 1)]
