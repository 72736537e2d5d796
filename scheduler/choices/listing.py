"""The choices of a day, turnaround by turnaround.

Off-block is not before the target, nor before the earliest ready minute and the end of
the work that must be done, nor after the horizon; take-off is not earlier than five
minutes before the CTOT, never inside a hard curfew or a closure, and spaced from
landings and from aircraft that have gone.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduler import windows
from scheduler.choices.record import Choices, Cooling, DutyWays
from scheduler.choices.usable import cooling_of, usable_options
from scheduler.day import Day, Duty, Pin, Task, Turnaround
from scheduler.errors import DayError
from scheduler.options import Option, OptionTable

_NO_HEAT = Option(ready_minute=None, binding=None)
_FINE_MINUTES = 60
_COARSE_STEP = 5


def choices_of(day: Day, tables: Iterable[OptionTable]) -> tuple[Choices, ...]:
    """List what each turnaround of the day may choose.

    Parameters
    ----------
    day : Day
        The day.
    tables : iterable of OptionTable
        One per turnaround; one that has gone or is cancelled needs none.

    Returns
    -------
    choices : tuple of Choices
        In the order of ``day.turnarounds``.

    Raises
    ------
    DayError
        If a turnaround that is still to depart has no table.
    """
    table_of = {table.turnaround_id: table for table in tables}
    stand_minutes = windows.stand_minutes(day)
    back = windows.rotation_minutes(day)
    return tuple(
        _with_limits(
            day,
            _choices(day, one, table_of.get(one.id)),
            table_of.get(one.id),
            stand_minutes[one.id],
            back.get(one.id),
        )
        for one in day.turnarounds
    )


def _choices(day: Day, turnaround: Turnaround, table: OptionTable | None) -> Choices:
    gone = windows.is_gone(turnaround)
    fixed = gone or turnaround.cancelled
    if table is None and not fixed:
        raise DayError.of("option tables", f"one for {turnaround.id}", "none")
    coolings: tuple[Cooling, ...] = ()
    duties: tuple[DutyWays, ...] = ()
    if table is not None and not fixed:
        options = usable_options(day, turnaround, table)
        coolings = tuple(cooling_of(day, option) for option in options)
        duties = _duties(day, turnaround, table)
    releases = _releases(coolings, duties)
    minutes = windows.open_minutes(day, turnaround, releases)
    allowed = windows.outside_curfews(day, turnaround, minutes)
    slots = windows.with_free_runway(day, turnaround, allowed)
    return Choices(
        turnaround=turnaround,
        still_air=_NO_HEAT if table is None else table.still_air,
        runway=day.departure_runway_of(turnaround).name,
        wake=day.wake_of(turnaround),
        taxi_out_minutes=day.taxi_out_minutes(turnaround),
        gone=gone,
        stand_minute=None,
        held_as=windows.held_as(minutes, allowed, releases),
        slots=slots,
        coolings=coolings if slots else (),
        duties=_until(duties, slots[-1]) if slots else (),
        pins=tuple(
            pin
            for pin in day.pins
            if pin.turnaround_id == turnaround.id
            and not (pin.yields and _is_too_early(pin, slots))
        ),
        soft_curfews=tuple(one for one in day.station.curfews if one.soft),
    )


def _is_too_early(pin: Pin, slots: Sequence[int]) -> bool:
    """Whether the pinned minute lies before the first one that is open."""
    minute = pin.minute
    return minute is not None and (not slots or slots[0] > minute)


def _with_limits(
    day: Day,
    one: Choices,
    table: OptionTable | None,
    stand_minute: int | None,
    rotation_minute: int | None,
) -> Choices:
    """Add the last minutes that free the stand and bring the tail back."""
    tow = day.stand_of(one.turnaround).tow_off_minutes
    approach = None if table is None else table.approach_minute
    begin = None if tow is None or stand_minute is None else stand_minute - tow
    can_tow = begin is not None and approach is not None and approach <= begin
    return replace(
        one,
        stand_minute=stand_minute,
        tow_minute=begin if can_tow and not one.gone else None,
        rotation_minute=rotation_minute,
    )


def _releases(
    coolings: Sequence[Cooling], duties: Sequence[DutyWays]
) -> tuple[int, ...]:
    """Minutes from which each way to cool lets the aircraft go, work done."""
    if any(not way.starts for way in duties if not way.by_option):
        return ()
    always = max((way.first_end for way in duties if not way.by_option), default=0)
    checks = [way for way in duties if way.by_option]
    checked = max((way.first_end for way in checks if way.starts), default=0)
    return tuple(
        max(way.release_minute, always, checked if way.option.needs_check else 0)
        for way in coolings
        if not (way.option.needs_check and any(not one.starts for one in checks))
    )


def _duties(
    day: Day, turnaround: Turnaround, table: OptionTable
) -> tuple[DutyWays, ...]:
    """List work with all starts that approach, crews and horizon allow."""
    asked = [(duty, False) for duty in turnaround.duties]
    asked += [(duty, duty.task is Task.PLUG_CHECK) for duty in table.duties]
    last, approach = day.last_minute(turnaround), table.approach_minute
    return tuple(
        DutyWays(
            duty=duty,
            starts=() if approach is None else _starts(day, duty, approach, last),
            by_option=by_option,
        )
        for duty, by_option in asked
    )


def _starts(
    day: Day, duty: Duty, approach: int, last: int
) -> tuple[tuple[str | None, int], ...]:
    """List starts by the minute for the first hour, then every five."""
    crews = [crew for crew in day.station.crews if duty.task in crew.tasks]
    earliest = max(duty.earliest_minute, approach, day.now_minute or 0)
    if not crews:
        return ((None, earliest),)
    fine = range(earliest, earliest + _FINE_MINUTES)
    coarse = range(earliest + _FINE_MINUTES, last + 1, _COARSE_STEP)
    return tuple(
        (crew.name, start)
        for start in (*fine, *coarse)
        for crew in crews
        if crew.from_minute <= start
        and start + duty.minutes <= min(crew.to_minute, last)
    )


def _until(duties: Iterable[DutyWays], last_slot: int) -> tuple[DutyWays, ...]:
    """Leave out starts that end after the last off-block."""
    return tuple(
        replace(
            way,
            starts=tuple(
                (crew, start)
                for crew, start in way.starts
                if way.end(start) <= last_slot
            ),
        )
        for way in duties
    )
