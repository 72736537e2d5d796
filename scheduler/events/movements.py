"""Entries that move an aircraft: landed, in-block, off-block, airborne, rejected.

Each function changes the state, or notes why the entry cannot be and leaves it as is.
"""

from scheduler.day import Basis, RejectedTakeOff
from scheduler.events.entry import Entry
from scheduler.events.state import State
from scheduler.events.stay import FanRun, Stay

LONGEST_TAXI_MINUTES = 120


def landed(state: State, entry: Entry) -> None:
    """Touchdown; in-block is then expected a taxi-in later."""
    stay, minute = state.stay(entry), entry.at_minute
    if stay.rejected or stay.is_gone:
        state.refuse(entry, "event", "a flight that has not left", entry.event)
        return
    if not stay.is_in_block:
        stay.touchdown_minute = minute
        stay.arrive(minute + stay.taxi_in_minutes, Basis.ESTIMATED)
        return
    taxi = stay.in_block_minute - minute
    if not 1 <= taxi <= LONGEST_TAXI_MINUTES:
        in_block = state.at(stay.in_block_minute)
        limit = f"1 to {LONGEST_TAXI_MINUTES} minutes before in-block {in_block}"
        state.refuse_time(entry, limit)
        return
    stay.touchdown_minute = minute
    stay.taxi_in_minutes, stay.is_taxi_logged = taxi, True


def in_block(state: State, entry: Entry) -> None:
    """On the stand: of the arrival, or again after a rejected take-off."""
    stay, minute = state.stay(entry), entry.at_minute
    if stay.is_gone and minute >= stay.target_minute:
        state.refuse_time(entry, f"before off-block {state.at(stay.target_minute)}")
    elif stay.rejected and minute <= stay.rejected[-1].minute:
        stopped = state.at(stay.rejected[-1].minute)
        state.refuse_time(entry, f"after the rejected take-off {stopped}")
    elif _is_before_landing(stay, minute):
        landing = state.at(stay.landing_minute)
        limit = f"1 to {LONGEST_TAXI_MINUTES} minutes after landing {landing}"
        state.refuse_time(entry, limit)
    elif any(run.start_minute < minute for run in _present(stay)):
        on = state.at(min(run.start_minute for run in _present(stay)))
        state.refuse_time(entry, f"no later than fan-on {on}")
    else:
        if stay.touchdown_minute is not None and not stay.rejected:
            stay.taxi_in_minutes = minute - stay.touchdown_minute
            stay.is_taxi_logged = True
        stay.arrive(minute, Basis.ACTUAL)


def off_block(state: State, entry: Entry) -> None:
    """Gone from the stand; a fan that was still on is off."""
    stay, minute = state.stay(entry), entry.at_minute
    started = [run.start_minute for run in _present(stay)]
    ended = [
        run.end_minute
        for run in _present(stay)
        if run.end_minute is not None and not run.is_cleared
    ]
    if stay.is_cancelled:
        state.refuse(entry, "event", "a departure that is not cancelled", entry.event)
    elif minute <= stay.in_block_minute:
        state.refuse_time(entry, f"after in-block {state.at(stay.in_block_minute)}")
    elif started and minute <= max(started):
        state.refuse_time(entry, f"after fan-on {state.at(max(started))}")
    elif ended and minute < max(ended):
        state.refuse_time(entry, f"no earlier than fan-off {state.at(max(ended))}")
    elif stay.airborne_minute is not None and minute >= stay.airborne_minute:
        limit = f"before airborne {state.at(stay.airborne_minute)}"
        state.refuse_time(entry, limit)
    else:
        stay.target_minute, stay.off_block_basis = minute, Basis.ACTUAL
        stay.target_is_assumed = False
        for run in _present(stay):
            if run.end_minute is None or run.is_cleared:
                run.end_minute, run.is_cleared = minute, True


def airborne(state: State, entry: Entry) -> None:
    """Off the ground; off-block comes first."""
    stay, minute = state.stay(entry), entry.at_minute
    if not stay.is_gone:
        state.refuse(entry, "event", "off-block to be logged first", entry.event)
    elif minute <= stay.target_minute:
        state.refuse_time(entry, f"after off-block {state.at(stay.target_minute)}")
    else:
        stay.airborne_minute = minute


def rejected(state: State, entry: Entry) -> None:
    """Bring an aircraft back from a rejected take-off; its departure is open again."""
    stay, minute = state.stay(entry), entry.at_minute
    back = entry.until_minute
    if not stay.is_gone:
        state.refuse(entry, "event", "off-block to be logged first", entry.event)
    elif stay.airborne_minute is not None:
        state.refuse(entry, "event", "a flight that is not airborne", entry.event)
    elif minute <= stay.target_minute:
        state.refuse_time(entry, f"after off-block {state.at(stay.target_minute)}")
    elif back is not None and back <= minute:
        got = state.at(back)
        state.refuse(entry, "until_utc", f"after it, {state.at(minute)}", got)
    elif _has_possible_weight(state, entry, stay):
        _come_back(state, entry, stay)


def _come_back(state: State, entry: Entry, stay: Stay) -> None:
    stay.touchdown_minute = stay.landing_minute
    stay.rejected.append(
        RejectedTakeOff(
            turnaround_id=stay.given.id,
            minute=entry.at_minute,
            speed_m_per_s=entry.speed_m_per_s,
            weight_kg=entry.weight_kg,
            in_block_minute=stay.in_block_minute,
            off_block_minute=stay.target_minute,
        )
    )
    back, basis = entry.until_minute, Basis.ACTUAL
    if back is None:
        back, basis = entry.at_minute + stay.taxi_in_minutes, Basis.ESTIMATED
    stay.in_block_minute, stay.in_block_basis = back, basis
    stay.handling_minutes = max(state.day.station.inspection_minutes, 1)
    stay.target_minute = back + stay.handling_minutes
    stay.off_block_basis = Basis.ESTIMATED
    stay.target_is_assumed = True
    stay.wheels.clear()


def _has_possible_weight(state: State, entry: Entry, stay: Stay) -> bool:
    aircraft = state.day.aircraft_of(stay.given)
    low, high = aircraft.operating_empty_kg, aircraft.maximum_take_off_kg
    if entry.weight_kg is None or low <= entry.weight_kg <= high:
        return True
    state.refuse(
        entry,
        "weight_kg",
        f"{low:g} to {high:g} kg (operating empty to maximum take-off weight)",
        f"{entry.weight_kg:g}",
    )
    return False


def _is_before_landing(stay: Stay, minute: int) -> bool:
    if stay.touchdown_minute is None or stay.rejected:
        return False
    return not 1 <= minute - stay.touchdown_minute <= LONGEST_TAXI_MINUTES


def _present(stay: Stay) -> list[FanRun]:
    """Fans of the stay on the stand that counts now, not of one before a return."""
    since = stay.rejected[-1].minute if stay.rejected else None
    return [run for run in stay.fans if since is None or run.start_minute > since]
