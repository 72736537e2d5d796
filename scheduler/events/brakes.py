"""Entries at the wheels: readings, fans on and off, checks and findings.

Each function changes the state, or notes why the entry cannot be and leaves it as is.
"""

from scheduler.day import Finding, Found, PlugCheck, Reading
from scheduler.events.entry import Entry, Event
from scheduler.events.state import State
from scheduler.events.stay import FanRun, Stay

_CLEARED = (Found.CHECKED, Found.WHEEL_CHANGED)


def reading(state: State, entry: Entry) -> None:
    """One indicated temperature."""
    if entry.indicated_k is None or not _has_landed(state, entry):
        return
    state.readings.append(
        Reading(
            turnaround_id=entry.turnaround_id,
            minute=entry.at_minute,
            indicated_k=entry.indicated_k,
            position=entry.position,
        )
    )


def fan_on(state: State, entry: Entry) -> None:
    """Fan units begin to blow."""
    stay, minute, units = state.stay(entry), entry.at_minute, entry.units or 1
    fan = state.fan_of(entry)
    if fan is None:
        return
    if stay.is_gone:
        left = state.at(stay.target_minute)
        expected = f"an aircraft on its stand (off-block {left})"
        state.refuse(entry, "event", expected, entry.event)
    elif minute < stay.in_block_minute:
        state.refuse_time(
            entry,
            f"in-block {state.at(stay.in_block_minute)} or later (if it came earlier, "
            "log in-block first)",
        )
    elif stay.running is not None:
        on = f"{stay.running.fan} on since {state.at(stay.running.start_minute)}"
        expected = f"fan-off first ({on})"
        state.refuse(entry, "event", expected, entry.event)
    elif any(run.end_minute is None or minute < run.end_minute for run in stay.fans):
        last = max(run.end_minute or 0 for run in stay.fans)
        state.refuse_time(entry, f"no earlier than the last fan-off {state.at(last)}")
    elif units > (free := _free(state, fan.name, minute)):
        state.refuse(entry, "units", _free_text(state, entry, free), units)
    else:
        run = FanRun(fan=fan.name, units=units, start_minute=minute)
        stay.fans.append(run)


def fan_off(state: State, entry: Entry) -> None:
    """Fan units stop blowing."""
    stay, minute = state.stay(entry), entry.at_minute
    run = stay.running
    if run is None:
        state.refuse(entry, "event", "a fan that is on", entry.event)
    elif entry.fan is not None and entry.fan != run.fan:
        state.refuse(entry, "fan", f"{run.fan}, which is on", entry.fan)
    elif entry.units not in (None, run.units):
        state.refuse(entry, "units", f"all {run.units} that are on", entry.units)
    elif minute <= run.start_minute:
        state.refuse_time(entry, f"after fan-on {state.at(run.start_minute)}")
    else:
        run.end_minute = minute


def check(state: State, entry: Entry) -> None:
    """Plugs and tyres checked, or a wheel changed.

    A check with a position is that of one wheel.
    """
    if not _has_landed(state, entry):
        return
    changed = entry.event is Event.WHEEL_CHANGE
    if entry.position is not None and not changed:
        _wheel(state, entry, Found.CHECKED)
        return
    state.checks.append(
        PlugCheck(
            turnaround_id=entry.turnaround_id,
            minute=entry.at_minute,
            wheel_changed=changed,
        )
    )


def finding(state: State, entry: Entry) -> None:
    """Note what was found or done at one wheel."""
    found, position = entry.found, entry.position
    if found is None or position is None or not _has_landed(state, entry):
        return
    if (found is Found.WEAR_PIN) is not (entry.wear_pin_mm is not None):
        needed = "a length" if found is Found.WEAR_PIN else "nothing"
        got = None if entry.wear_pin_mm is None else f"{entry.wear_pin_mm:g}"
        state.refuse(entry, "wear_pin_mm", f"{needed} with {found}", got)
        return
    state.findings.append(
        Finding(
            turnaround_id=entry.turnaround_id,
            minute=entry.at_minute,
            position=position,
            found=found,
            wear_pin_mm=entry.wear_pin_mm,
        )
    )
    if found is Found.BRAKE_REPLACED:
        state.replaced.add((state.stay(entry).given.tail, position))
    if found in _CLEARED:
        _wheel(state, entry, found)


def unchecked(state: State, stay: Stay) -> tuple[str, ...]:
    """Wheels of an aircraft that nobody has said to be checked."""
    positions = state.day.tail_of(stay.given).positions
    return tuple(name for name in positions if name not in stay.wheels)


def _wheel(state: State, entry: Entry, found: Found) -> None:
    """Note one wheel; once all are noted the aircraft counts as checked.

    It counts from the earliest of the latest notes of the wheels: before that, one of
    them had not been looked at.
    """
    stay = state.stay(entry)
    stay.wheels[entry.position or ""] = (entry.at_minute, found)
    if unchecked(state, stay):
        return
    noted = list(stay.wheels.values())
    state.checks.append(
        PlugCheck(
            turnaround_id=stay.given.id,
            minute=min(minute for minute, _ in noted),
            wheel_changed=any(one is Found.WHEEL_CHANGED for _, one in noted),
        )
    )


def _has_landed(state: State, entry: Entry) -> bool:
    """Whether the aircraft is on the ground here, by the times known so far."""
    stay, minute = state.stay(entry), entry.at_minute
    if minute < stay.landing_minute:
        landing = state.at(stay.landing_minute)
        hint = "" if stay.is_in_block else " (if it came earlier, log in-block first)"
        state.refuse_time(entry, f"after landing {landing}{hint}")
        return False
    if stay.airborne_minute is not None and minute >= stay.airborne_minute:
        state.refuse_time(entry, f"before airborne {state.at(stay.airborne_minute)}")
        return False
    return True


def _free(state: State, fan: str, minute: int) -> int:
    units = state.day.fan(fan).units
    return units - state.units_out(fan, minute) - state.units_on(fan, minute)


def _free_text(state: State, entry: Entry, free: int) -> str:
    name, minute = entry.fan or "", entry.at_minute
    units = state.day.fan(name).units
    where = [
        f"{run.units} on {stay.given.id}"
        for stay in state.stays.values()
        for run in stay.fans
        if run.fan == name and run.is_on(minute)
    ]
    out = state.units_out(name, minute)
    taken = [*where, f"{out} out of service"] if out else where
    used = f", {', '.join(taken)}" if taken else ""
    return f"at most {max(free, 0)} (of {units} {name}{used})"
