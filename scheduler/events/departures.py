"""Entries that change what is planned of one turnaround: target, slot, stand, pins.

Each function changes the state, or notes why the entry cannot be and leaves it as is.
"""

from scheduler.day import Basis, FanType, Pin, Pinned
from scheduler.events.entry import Entry
from scheduler.events.state import State
from scheduler.events.stay import Stay

_FAN_KINDS = (Pinned.FAN, Pinned.NO_FAN)
_TIME_KINDS = (Pinned.OFF_BLOCK, Pinned.NOT_BEFORE)


def target(state: State, entry: Entry) -> None:
    """Set the target off-block."""
    stay, minute = state.stay(entry), entry.at_minute
    if not _is_here(state, entry, stay):
        return
    if minute <= stay.in_block_minute:
        state.refuse_time(entry, f"after in-block {state.at(stay.in_block_minute)}")
        return
    stay.target_minute, stay.off_block_basis = minute, Basis.ESTIMATED
    stay.target_is_assumed = False


def slot(state: State, entry: Entry) -> None:
    """Set the calculated take-off time."""
    stay, minute = state.stay(entry), entry.at_minute
    if not _is_here(state, entry, stay):
        return
    if minute <= stay.in_block_minute:
        state.refuse_time(entry, f"after in-block {state.at(stay.in_block_minute)}")
        return
    stay.ctot_minute = minute


def stand(state: State, entry: Entry) -> None:
    """Send it to another stand."""
    stay = state.stay(entry)
    if _is_here(state, entry, stay) and entry.stand:
        stay.stand = entry.stand


def cancel(state: State, entry: Entry) -> None:
    """Take the departure off the day."""
    stay = state.stay(entry)
    if _is_here(state, entry, stay):
        stay.is_cancelled = True


def pin(state: State, entry: Entry) -> None:
    """Keep something as it is; the pin takes the place of what contradicts it."""
    stay, kind = state.stay(entry), entry.pinned
    if kind is None or not _is_here(state, entry, stay):
        return
    if kind in _TIME_KINDS and not _has_good_minute(state, entry, stay):
        return
    fan = state.fan_of(entry) if kind is Pinned.FAN else None
    if kind is Pinned.FAN and (fan is None or not _is_good_job(state, entry, fan)):
        return
    for other in _FAN_KINDS if kind in _FAN_KINDS else (kind,):
        stay.pins.pop(other, None)
    at_time = kind in _TIME_KINDS
    stay.pins[kind] = Pin(
        turnaround_id=stay.given.id,
        kind=kind,
        minute=entry.minute if at_time else None,
        fan=fan.name if fan else None,
        units=entry.units or 1 if fan else 0,
        start_minute=entry.minute if fan else None,
        end_minute=entry.until_minute if fan else None,
        reason="as logged",
    )


def unpin(state: State, entry: Entry) -> None:
    """Let go of one pin, or of all."""
    stay = state.stay(entry)
    held = [entry.pinned] if entry.pinned else list(stay.pins)
    if not held or held[0] not in stay.pins:
        kinds = ", ".join(stay.pins) or "none"
        state.refuse(entry, "pin", f"a pin that there is ({kinds})", entry.pinned)
        return
    for kind in held:
        del stay.pins[kind]


def _is_here(state: State, entry: Entry, stay: Stay) -> bool:
    """Whether the departure can still be changed."""
    if stay.is_gone:
        left = state.at(stay.target_minute)
        expected = f"a flight that has not left (off-block {left})"
        state.refuse(entry, "event", expected, entry.event)
        return False
    if stay.is_cancelled:
        state.refuse(entry, "event", "a departure that is not cancelled", entry.event)
        return False
    return True


def _has_good_minute(state: State, entry: Entry, stay: Stay) -> bool:
    if entry.minute is None:
        state.refuse(entry, "time_utc", f"a time of the pin {entry.pinned}", None)
        return False
    if entry.minute <= stay.in_block_minute:
        state.refuse_time(entry, f"after in-block {state.at(stay.in_block_minute)}")
        return False
    return True


def _is_good_job(state: State, entry: Entry, fan: FanType) -> bool:
    if (entry.units or 1) > fan.units:
        state.refuse(entry, "units", f"at most {fan.units}", entry.units)
        return False
    start, end = entry.minute, entry.until_minute
    if end is not None and (start is None or end <= start):
        state.refuse(entry, "until_utc", "after the start", state.at(end))
        return False
    return True
