"""Whether an entry holds all that its event needs, and names what there is."""

from scheduler.events.entry import NEEDS, Entry
from scheduler.events.state import State

_FIELDS = {"indicated_c": "indicated_k", "finding": "found", "pin": "pinned"}


def is_whole(state: State, entry: Entry) -> bool:
    """Note what an entry lacks and what it names that is not there."""
    before = len(state.faults)
    if entry.event.is_of_turnaround and entry.turnaround_id not in state.stays:
        known = ", ".join(state.stays)
        state.refuse(entry, "turnaround", f"one of {known}", entry.turnaround_id)
        return False
    if entry.event.has_time and entry.minute is None:
        state.refuse(entry, "time_utc", "a value", None)
    for column in NEEDS.get(entry.event, ()):
        if getattr(entry, _FIELDS.get(column, column)) is None:
            state.refuse(entry, column, f"a value beside a {entry.event}", None)
    _check_names(state, entry)
    return len(state.faults) == before


def _check_names(state: State, entry: Entry) -> None:
    station = state.day.station
    named = [
        ("stand", entry.stand, [stand.name for stand in station.stands]),
        ("runway", entry.runway, list(state.closures)),
    ]
    if entry.event.is_of_turnaround:
        tail = state.day.tail_of(state.stay(entry).given)
        named.append(("position", entry.position, list(tail.positions)))
    for column, name, known in named:
        if name is not None and name not in known:
            state.refuse(entry, column, f"one of {', '.join(known)}", name)
