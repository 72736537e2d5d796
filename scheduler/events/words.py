"""An entry in plain words, as it is read back to whoever logged it."""

from collections.abc import Callable, Mapping

from scheduler.day import Pinned
from scheduler.events import wheel_words
from scheduler.events.entry import Entry, Event, spelled
from scheduler.events.state import State
from scheduler.events.told import Told, against, span, units_of
from thermal.units import KNOT_M_PER_S


def said(entry: Entry, before: State, after: State) -> str:
    """Say what was logged.

    Parameters
    ----------
    entry : Entry
        Any but an undo.
    before, after : State
        The day without and with it.

    Returns
    -------
    text : str
        One or two sentences.
    """
    told = Told(entry=entry, before=before, after=after)
    text = _WORDS[entry.event](told)
    if not entry.event.is_of_turnaround:
        return f"{text[:1].upper()}{text[1:]}."
    stay = told.now
    return f"{stay.given.id} (tail {stay.given.tail}), stand {stay.stand}: {text}."


def title(entry: Entry, state: State) -> str:
    """Name an entry in a few words, as in ``in-block TF101 14:02``."""
    what = entry.turnaround_id or entry.fan or entry.runway or ""
    at = "" if entry.minute is None else state.at(entry.minute)
    return " ".join(word for word in (entry.event.value, what, at) if word)


def _moved(told: Told, minute: int, before: int, *, happened: bool) -> str:
    """Compare with the plan or, for a correction, with what was logged before."""
    if happened:
        return f", instead of {told.short(before)}"
    apart = against(minute, before)
    return f", {apart}" if minute == before else f", {apart} than planned"


def _landed(told: Told) -> str:
    expected = "in-block" if told.now.is_in_block else "in-block expected at"
    return f"landed at {told.at}, {expected} {told.short(told.now.in_block_minute)}"


def _in_block(told: Told) -> str:
    was, minute = told.was, told.entry.at_minute
    if was.rejected and not was.is_in_block:
        return f"back in-block at {told.at}"
    moved = _moved(told, minute, was.in_block_minute, happened=was.is_in_block)
    text = f"in-block at {told.at}{moved}"
    if told.now.target_is_assumed:
        target = told.short(told.now.target_minute)
        text += f"; off-block not before {target} until its tobt is logged"
    return text


def _off_block(told: Told) -> str:
    was, minute = told.was, told.entry.at_minute
    text = f"off-block at {told.at}"
    text += _moved(told, minute, was.target_minute, happened=was.is_gone)
    if was.running is not None:
        text += f"; {was.running.fan} counts as off from then"
    return text


def _target(told: Told) -> str:
    was, minute = told.was, told.entry.at_minute
    if minute == was.target_minute:
        return f"target off-block {told.at}, as before"
    moved = against(minute, was.target_minute)
    return f"target off-block {told.at}, {moved} than before"


def _slot(told: Told) -> str:
    before = told.was.ctot_minute
    instead = "there was none" if before is None else f"instead of {told.short(before)}"
    return f"calculated take-off time {told.at}, {instead}"


def _stand(told: Told) -> str:
    return f"on this stand instead of {told.was.stand}"


def _rejected(told: Told) -> str:
    entry, stay = told.entry, told.now
    speed = ""
    if entry.speed_m_per_s is not None:
        speed = f" from {entry.speed_m_per_s / KNOT_M_PER_S:.0f} kt"
    back = "back in-block" if stay.is_in_block else "in-block expected at"
    return (
        f"take-off rejected at {told.at}{speed}, {back} "
        f"{told.short(stay.in_block_minute)}; off-block not before "
        f"{told.short(stay.target_minute)} until its tobt is logged"
    )


def _pin(told: Told) -> str:
    kind = told.entry.pinned
    pin = told.now.pins[kind] if kind else None
    if pin is None:
        return "pinned"
    if pin.kind is Pinned.NO_FAN:
        return "pinned: no fan"
    if pin.minute is not None:
        return f"pinned: {pin.kind} {told.short(pin.minute)} UTC"
    text = f"pinned: {units_of(pin.units, pin.fan)}"
    if pin.start_minute is not None:
        text += f" from {told.short(pin.start_minute)}"
    return text if pin.end_minute is None else f"{text} to {told.short(pin.end_minute)}"


def _unpin(told: Told) -> str:
    kind = told.entry.pinned
    return f"no longer pinned: {spelled(kind)}" if kind else "no pin any more"


def _runway_closed(told: Told) -> str:
    return f"no take-offs on runway {told.entry.runway} {span(told)}"


_WORDS: Mapping[Event, Callable[[Told], str]] = {
    Event.LANDED: _landed,
    Event.IN_BLOCK: _in_block,
    Event.OFF_BLOCK: _off_block,
    Event.AIRBORNE: lambda told: f"airborne at {told.at}",
    Event.REJECTED: _rejected,
    Event.TARGET: _target,
    Event.SLOT: _slot,
    Event.STAND: _stand,
    Event.CANCEL: lambda _: "departure cancelled, the stand stays taken",
    Event.READING: wheel_words.reading,
    Event.FAN_ON: wheel_words.fan_on,
    Event.FAN_OFF: wheel_words.fan_off,
    Event.PLUG_CHECK: wheel_words.plug_check,
    Event.WHEEL_CHANGE: lambda told: f"wheel changed at {told.at}",
    Event.FINDING: wheel_words.finding,
    Event.PIN: _pin,
    Event.UNPIN: _unpin,
    Event.FAN_OUT: wheel_words.fan_out,
    Event.FAN_BACK: wheel_words.fan_back,
    Event.RUNWAY_CLOSED: _runway_closed,
    Event.RUNWAY_OPEN: lambda told: (
        f"take-offs on runway {told.entry.runway} again from {told.at}"
    ),
}
