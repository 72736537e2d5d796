"""Entries about the station: fan units out of service, runways closed.

Each function changes the state, or notes why the entry cannot be and leaves it as is.
"""

from scheduler.day import Outage
from scheduler.events.entry import Entry
from scheduler.events.state import LAST_MINUTE, State


def fan_out(state: State, entry: Entry) -> None:
    """Fan units out of service, to a time or until they are back."""
    fan, start, units = state.fan_of(entry), entry.at_minute, entry.units or 1
    end = _end(state, entry)
    if fan is None or end is None:
        return
    busy = [one.from_minute for one in state.outages[fan.name]]
    at = [start, *(minute for minute in busy if start < minute < end)]
    there = min(fan.units - state.units_out(fan.name, minute) for minute in at)
    free = there - state.units_on(fan.name, start)
    if units > there:
        expected = f"at most {max(there, 0)} (of {fan.units} {fan.name})"
        state.refuse(entry, "units", expected, units)
    elif units > free:
        on = state.units_on(fan.name, start)
        expected = f"at most {max(free, 0)} ({on} are blowing: log fan-off first)"
        state.refuse(entry, "units", expected, units)
    else:
        outage = Outage(units=units, from_minute=start, to_minute=end)
        state.outages[fan.name].append(outage)


def fan_back(state: State, entry: Entry) -> None:
    """Fan units that were out of service are there again from a minute on."""
    fan, minute, units = state.fan_of(entry), entry.at_minute, entry.units or 1
    if fan is None:
        return
    out = state.units_out(fan.name, minute)
    if units > out:
        expected = f"at most {out}, out of service at {state.at(minute)}"
        state.refuse(entry, "units", expected, units)
        return
    kept: list[Outage] = []
    for one in reversed(state.outages[fan.name]):
        back = min(units, one.units) if one.from_minute <= minute < one.to_minute else 0
        units -= back
        kept += _split(one, back, minute)
    state.outages[fan.name] = kept[::-1]


def runway_closed(state: State, entry: Entry) -> None:
    """No take-offs on a runway, to a time or until it opens."""
    end = _end(state, entry)
    if end is not None and entry.runway in state.closures:
        state.closures[entry.runway].append((entry.at_minute, end))


def runway_open(state: State, entry: Entry) -> None:
    """Take-offs on a runway again from a minute on."""
    name, minute = entry.runway or "", entry.at_minute
    spans = state.closures.get(name, [])
    if not any(start <= minute < end for start, end in spans):
        state.refuse_time(entry, f"a time at which {name} is closed")
        return
    shut = [(a, min(b, minute) if a <= minute else b) for a, b in spans]
    state.closures[name] = [(a, b) for a, b in shut if a < b]


def _end(state: State, entry: Entry) -> int | None:
    """End of what begins at the entry's time; None, and a fault, if it is before."""
    end = LAST_MINUTE if entry.until_minute is None else entry.until_minute
    if end <= entry.at_minute:
        got, start = state.at(end), state.at(entry.at_minute)
        state.refuse(entry, "until_utc", f"after the beginning {start}", got)
        return None
    return end


def _split(one: Outage, back: int, minute: int) -> list[Outage]:
    """Take some units of an outage back at a minute."""
    stay_out, came_back = one.units - back, minute > one.from_minute and back > 0
    parts: list[Outage] = []
    if came_back:
        span = (one.from_minute, minute)
        parts.append(Outage(units=back, from_minute=span[0], to_minute=span[1]))
    if stay_out > 0:
        span = (one.from_minute, one.to_minute)
        parts.append(Outage(units=stay_out, from_minute=span[0], to_minute=span[1]))
    return parts
