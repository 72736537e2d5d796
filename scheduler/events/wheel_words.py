"""Entries at the wheels, and of the fans, in plain words."""

from scheduler.day import Found
from scheduler.events.brakes import unchecked
from scheduler.events.told import Told, span, units_of
from thermal.units import ZERO_CELSIUS_K

_FOUND = {
    Found.NO_FINDING: "no finding",
    Found.CHECKED: "plug and tyre checked",
    Found.WHEEL_CHANGED: "wheel changed",
    Found.BRAKE_REPLACED: "brake replaced, its wear is 0 from now on",
}


def _brake(told: Told) -> str:
    position = told.entry.position
    return "hottest brake" if position is None else f"brake {position}"


def reading(told: Told) -> str:
    """Say a reading."""
    indicated_c = (told.entry.indicated_k or 0.0) - ZERO_CELSIUS_K
    return f"{indicated_c:g} °C indicated at {told.at}, {_brake(told)}"


def fan_on(told: Told) -> str:
    """Say which units are on."""
    entry = told.entry
    return f"{units_of(entry.units or 1, entry.fan)} on at {told.at}"


def fan_off(told: Told) -> str:
    """Say which units are off, and how long they blew."""
    run, minute = told.was.running, told.entry.at_minute
    if run is None:
        return f"fan off at {told.at}"
    lasted = minute - run.start_minute
    return f"{units_of(run.units, run.fan)} off at {told.at}, after {lasted} min"


def plug_check(told: Told) -> str:
    """Say whose plugs and tyres were checked."""
    if told.entry.position is not None:
        return _one_wheel(told, Found.CHECKED)
    return f"plugs and tyres of all wheels checked at {told.at}"


def finding(told: Told) -> str:
    """Say what was found at a wheel."""
    found = told.entry.found or Found.NO_FINDING
    if found is Found.WEAR_PIN:
        pin = f"wear pin {told.entry.wear_pin_mm:g} mm"
        wear = "the wear in fleet.toml stays as it is"
        return f"{_brake(told)}: {pin} at {told.at}; {wear}"
    return _one_wheel(told, found)


def _one_wheel(told: Told, found: Found) -> str:
    text = f"{_brake(told)}: {_FOUND[found]} at {told.at}"
    if found not in {Found.CHECKED, Found.WHEEL_CHANGED}:
        return text
    left = unchecked(told.after, told.now)
    if not left:
        return f"{text}; all wheels are logged as checked"
    return f"{text}; not logged as checked yet: {', '.join(left)}"


def _left(told: Told) -> str:
    fan, minute = told.entry.fan or "", told.entry.at_minute
    units = told.after.day.fan(fan).units
    return f"{units - told.after.units_out(fan, minute)} of {units} are there"


def fan_out(told: Told) -> str:
    """Say which units are not there, and until when."""
    entry = told.entry
    units = units_of(entry.units or 1, entry.fan)
    return f"{units} out of service {span(told)}; {_left(told)}"


def fan_back(told: Told) -> str:
    """Say which units are there again."""
    entry = told.entry
    units = units_of(entry.units or 1, entry.fan)
    return f"{units} back in service at {told.at}; {_left(told)}"
