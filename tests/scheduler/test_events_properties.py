"""Any sequence of entries gives a day, or a named error; the log only grows."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.cli import log as log_command
from scheduler.cli.application import main
from scheduler.day import Basis, Found, Pinned
from scheduler.errors import ScenarioError
from scheduler.events import Entry, Event, apply_events, replay, said, state_day, title
from scheduler.files import read_scenario
from tests.scheduler.logged_day import planned
from tests.scheduler.scenario_folder import write_folder


def entry(number: int, seed: int) -> Entry:
    """Entry of any kind; an undo names an earlier line."""
    pick = random.Random(seed)
    event = pick.choice(list(Event))
    minute = pick.randint(530, 760)
    return Entry(
        number=number,
        line=number,
        event=event,
        turnaround_id=pick.choice(["A1", "A2"]) if event.is_of_turnaround else "",
        minute=minute if event.has_time else pick.choice([None, minute]),
        until_minute=pick.choice([None, pick.randint(530, 760)]),
        position=pick.choice([None, "1", "2", "L1"]),
        indicated_k=600.0,
        stand=pick.choice(["1", "2"]),
        fan=pick.choice(["trolley", "trolley", "cart"]),
        units=pick.choice([None, 1, 2, 3]),
        runway=pick.choice(["24", "06"]),
        weight_kg=pick.choice([None, 70000.0]),
        found=pick.choice(list(Found)),
        wear_pin_mm=pick.choice([None, 4.0]),
        pinned=pick.choice(list(Pinned)),
        undoes=pick.randint(2, max(number - 1, 2)),
    )


SEEDS = st.lists(st.integers(0, 2**32 - 1), min_size=1, max_size=14)
LOGS = SEEDS.map(
    lambda seeds: tuple(entry(number, seed) for number, seed in enumerate(seeds, 2))
)


@settings(max_examples=300, deadline=None)
@given(LOGS)
def test_any_log_gives_a_day_or_named_faults(log: tuple[Entry, ...]) -> None:
    """Refused entries are named with their line, and the rest makes a valid day."""
    state = replay(planned(), log)
    day = state_day(state)
    assert len(day.turnarounds) == 2
    if state.faults:
        with pytest.raises(ScenarioError, match=r"^events\.csv:\d+: \w+: expected "):
            apply_events(planned(), log)
    else:
        assert apply_events(planned(), log) == day


@settings(max_examples=300, deadline=None)
@given(LOGS)
def test_a_day_of_the_log_is_free_of_contradictions(log: tuple[Entry, ...]) -> None:
    """Fans blow on aircraft that are there, within the units; pins are of the living.

    Whatever was refused on the way.
    """
    state = replay(planned(), log)
    day = state_day(state)
    gone = {
        one.id
        for one in day.turnarounds
        if one.off_block_basis is Basis.ACTUAL or one.cancelled
    }
    assert not gone & {pin.turnaround_id for pin in day.pins}
    for one in day.turnarounds:
        assert one.target_off_block_minute > one.in_block_minute
    leaving = dict(day.airborne)
    for one in day.turnarounds:
        if one.id in leaving:
            assert one.off_block_basis is Basis.ACTUAL
            assert leaving[one.id] > one.target_off_block_minute
    for run in day.fan_times:
        units = sum(
            other.units
            for other in day.fan_times
            if other.start_minute <= run.start_minute
            and (other.end_minute is None or run.start_minute < other.end_minute)
        )
        logged_in_order = [r.start_minute for r in day.fan_times]
        if logged_in_order == sorted(logged_in_order):
            assert units <= day.fan(run.fan).units


@settings(max_examples=300, deadline=None)
@given(LOGS)
def test_refused_entries_change_nothing(log: tuple[Entry, ...]) -> None:
    """The log without its refused entries gives the same day."""
    state = replay(planned(), log)
    refused = {fault.entry.line for fault in state.faults}
    kept = tuple(entry for entry in log if entry.line not in refused)
    assert apply_events(planned(), kept) == state_day(state)


@settings(max_examples=60, deadline=None)
@given(LOGS)
def test_every_accepted_entry_is_read_back(log: tuple[Entry, ...]) -> None:
    """An entry that can be is one or two sentences, whatever came before it."""
    kept: tuple[Entry, ...] = ()
    for one in log:
        before, after = replay(planned(), kept), replay(planned(), (*kept, one))
        if after.faults:
            continue
        kept = (*kept, one)
        if one.event is not Event.UNDO:
            assert said(one, before, after).endswith(".")
            assert one.event.value in title(one, after)


@settings(max_examples=300, deadline=None)
@given(LOGS)
def test_undoing_everything_gives_the_planned_day(log: tuple[Entry, ...]) -> None:
    """Each entry taken back, last first: the day is as it was planned."""
    facts = tuple(entry for entry in log if entry.event is not Event.UNDO)
    undos = tuple(
        replace(facts[0], number=100 + place, line=100 + place, event=Event.UNDO)
        for place in range(len(facts))
    )
    taken_back = tuple(
        replace(undo, undoes=fact.number)
        for undo, fact in zip(undos, reversed(facts), strict=True)
    )
    if facts:
        assert apply_events(planned(), (*facts, *taken_back)) == planned()


WORDS = st.sampled_from(
    [
        *("in-block A1", "off-block A1", "airborne A1", "rto A1 90", "landed A2"),
        *("fan-on A1 2", "fan-on A2 1", "fan-off A1", "fan-off A2", "tobt A1"),
        *("reading A1 300", "plug-check A2", "finding A1 1 brake replaced"),
        *("fan-out trolley 1", "fan-back trolley 1", "runway-closed 24"),
        *("pin A1 off-block", "runway-open 24", "cancel A2", "undo 2", "undo 3"),
    ]
)
CLOCKS = st.integers(540, 640).map(lambda at: f"{at // 60:02d}:{at % 60:02d}")


@settings(max_examples=12, deadline=None)
@given(st.lists(st.tuples(WORDS, CLOCKS), min_size=1, max_size=8))
def test_any_commands_leave_a_log_that_reads(
    tmp_path_factory: pytest.TempPathFactory, commands: list[tuple[str, str]]
) -> None:
    """After each command the scenario reads; accepted ones only add to the file."""
    folder = write_folder(tmp_path_factory.mktemp("log"))
    path = folder / "events.csv"
    for words, clock in commands:
        before = path.read_bytes() if path.exists() else b""
        given_words = words.split() if "undo" in words else [*words.split(), clock]
        code = main(["log", str(folder), *given_words])
        after = path.read_bytes() if path.exists() else b""
        assert after.startswith(before)
        assert (code == 0) is (after != before)
        read_scenario(folder)


def test_the_clock_of_the_command_is_utc() -> None:
    """Now is UTC, whatever the machine's zone."""
    assert log_command.utc_now().utcoffset().total_seconds() == 0
