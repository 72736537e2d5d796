"""Entries in the order of the log → the day as it is.

An entry that is undone counts as never written. Where two entries say the same thing
of one turnaround, the later one counts: it is the correction.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from scheduler.day import Day, Runway, Station, Tail
from scheduler.errors import ScenarioError
from scheduler.events import brakes, departures, movements, station_facts
from scheduler.events.entry import Entry, Event
from scheduler.events.state import Contradiction, State, begin
from scheduler.events.whole_entry import is_whole

_HANDLERS: Mapping[Event, Callable[[State, Entry], None]] = {
    Event.LANDED: movements.landed,
    Event.IN_BLOCK: movements.in_block,
    Event.OFF_BLOCK: movements.off_block,
    Event.AIRBORNE: movements.airborne,
    Event.REJECTED: movements.rejected,
    Event.TARGET: departures.target,
    Event.SLOT: departures.slot,
    Event.STAND: departures.stand,
    Event.CANCEL: departures.cancel,
    Event.PIN: departures.pin,
    Event.UNPIN: departures.unpin,
    Event.READING: brakes.reading,
    Event.FAN_ON: brakes.fan_on,
    Event.FAN_OFF: brakes.fan_off,
    Event.PLUG_CHECK: brakes.check,
    Event.WHEEL_CHANGE: brakes.check,
    Event.FINDING: brakes.finding,
    Event.FAN_OUT: station_facts.fan_out,
    Event.FAN_BACK: station_facts.fan_back,
    Event.RUNWAY_CLOSED: station_facts.runway_closed,
    Event.RUNWAY_OPEN: station_facts.runway_open,
}


def apply_events(day: Day, events: Sequence[Entry]) -> Day:
    """Build the day as it is after what was logged.

    Parameters
    ----------
    day : Day
        As planned, before any of the entries.
    events : sequence of Entry
        In the order of the log.

    Returns
    -------
    day : Day

    Raises
    ------
    ScenarioError
        With a line for each entry that cannot be, after those before it.
    """
    state = replay(day, events)
    if state.faults:
        raise ScenarioError.of([fault.text for fault in state.faults])
    return state_day(state)


def replay(day: Day, events: Sequence[Entry]) -> State:
    """Go through the entries; those that cannot be are in ``faults`` and left out."""
    state = begin(day)
    for entry in _that_count(state, events):
        if is_whole(state, entry):
            _HANDLERS[entry.event](state, entry)
    return state


def state_day(state: State) -> Day:
    """Build the day from its state."""
    day, stays = state.day, tuple(state.stays.values())
    return replace(
        day,
        station=_station(state),
        tails=tuple(_tail(state, tail) for tail in day.tails),
        turnarounds=tuple(stay.turnaround() for stay in stays),
        readings=tuple(state.readings),
        checks=tuple(state.checks),
        findings=tuple(state.findings),
        rejected=(*day.rejected, *(one for stay in stays for one in stay.rejected)),
        fan_times=(
            *day.fan_times,
            *(run for stay in stays for run in stay.fan_times()),
        ),
        airborne=tuple(
            (stay.given.id, stay.airborne_minute)
            for stay in stays
            if stay.airborne_minute is not None
        ),
        pins=tuple(pin for stay in stays for pin in stay.pins_to_keep()),
        notes=(*day.notes, *_notes(state)),
    )


def _that_count(state: State, events: Iterable[Entry]) -> list[Entry]:
    """Entries that nobody took back; an undo that names no such entry is a fault."""
    standing: dict[int, Entry] = {}
    for entry in events:
        if entry.number in standing:
            other = standing[entry.number].line
            expected = f"a number used once (line {other} has it)"
            state.refuse(entry, "entry", expected, entry.number)
        elif entry.event is not Event.UNDO:
            standing[entry.number] = entry
        elif entry.undoes is None or standing.pop(entry.undoes, None) is None:
            expected = "the number of an entry that counts"
            state.refuse(entry, "undoes", expected, entry.undoes)
    return list(standing.values())


def _station(state: State) -> Station:
    """Station with outages and closures as logged."""
    station = state.day.station
    return replace(
        station,
        fans=tuple(
            replace(fan, outages=tuple(state.outages[fan.name])) for fan in station.fans
        ),
        runways=tuple(_runway(state, runway) for runway in station.runways),
    )


def _runway(state: State, runway: Runway) -> Runway:
    return replace(runway, closures=tuple(sorted(state.closures[runway.name])))


def _tail(state: State, tail: Tail) -> Tail:
    """Tail with new brakes where they were replaced."""
    wear = tuple(
        0.0 if (tail.registration, position) in state.replaced else worn
        for position, worn in zip(tail.positions, tail.wear, strict=True)
    )
    return replace(tail, wear=wear)


def _notes(state: State) -> list[str]:
    """Say what was assumed because the log does not say it."""
    return [
        f"{stay.given.id}: no target off-block later than in-block "
        f"{state.at(stay.in_block_minute)} is known; {state.at(stay.target_minute)} is "
        "assumed until its tobt is logged"
        for stay in state.stays.values()
        if stay.target_is_assumed and not stay.is_gone and not stay.is_cancelled
    ]


__all__ = ["Contradiction", "State", "apply_events", "replay", "state_day"]
