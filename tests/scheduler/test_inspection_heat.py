"""The inspection list of heated brakes, and what the ledger keeps of it."""

import json
from dataclasses import replace
from functools import cache

import pytest

from scheduler.day import (
    Basis,
    Day,
    Finding,
    Found,
    PlugCheck,
    Reading,
    RejectedTakeOff,
)
from scheduler.errors import UnknownTurnaroundError
from scheduler.inspection import Inspection, Reason, entries_of, inspect_day
from scheduler.ledger import Kind
from scheduler.readiness import HeatSettings, build_tables
from scheduler.report.inspection_data import COLUMNS, inspection_csv, inspection_record
from scheduler.report.inspection_text import aircraft_blocks, headline
from tests.scheduler.inspected_day import ID, landed_day

DAY = landed_day()
ONE = DAY.turnarounds[0]
POSITIONS = DAY.tail_of(ONE).positions
STOP = RejectedTakeOff(
    turnaround_id=ID, minute=ONE.in_block_minute + 60, in_block_minute=None
)


@cache
def usual() -> Inspection:
    """List of the day as it was planned."""
    return inspect_day(DAY)


@cache
def stopped() -> Inspection:
    """List of the day after a take-off rejected at V1, back in block ten minutes on."""
    back = replace(
        ONE,
        in_block_minute=STOP.minute + 10,
        target_off_block_minute=STOP.minute + 60,
    )
    reading = Reading(
        turnaround_id=ID,
        minute=STOP.minute + 40,
        indicated_k=330.0,
        position=POSITIONS[0],
    )
    return inspect_day(
        replace(DAY, turnarounds=(back,), rejected=(STOP,), readings=(reading,))
    )


@cache
def planned(day: Day):
    """Table and summary that the plan makes of the one turnaround."""
    return build_tables(day, HeatSettings(seed=1, sample_count=512))[0]


def test_approach_and_check_are_those_of_the_plan():
    """Same draws, same rule: the same approach minute, and a check where it is due."""
    table, heat = planned(DAY)
    (figures,) = usual().figures
    assert figures.approach_minute == table.approach_minute
    assert figures.plug_peak_minute == pytest.approx(heat.plug_peak_minute, abs=15)


def test_middle_figures_are_those_of_the_plan():
    """Plug and wheel peak of every brake as in the summary; the stack a little above.

    The summary begins in block, the list at touchdown.
    """
    _, heat = planned(DAY)
    (figures,) = usual().figures
    (stop,) = figures.stops
    for place, brake in enumerate(heat.brakes):
        assert figures.positions[place] == brake.position
        assert stop.plug_peak_c[place] == pytest.approx(brake.plug_peak_c, abs=1.0)
        assert brake.stack_peak_c <= stop.stack_peak_c[place] + 0.5
        assert stop.energy_mj[place] == pytest.approx(brake.energy_mj, rel=0.01)


def test_a_rejected_take_off_is_seen_at_every_brake():
    """All brakes are listed for the stop; the stack is beyond its inspection limit."""
    reasons = {(item.position, item.reason) for item in stopped().items}
    for position in POSITIONS:
        assert (position, Reason.ACCELERATE_STOP) in reasons
    (figures,) = stopped().figures
    landing, rejected = figures.stops
    assert min(rejected.stack_peak_c) > max(landing.stack_peak_c) + 100.0
    assert min(rejected.oxidation_dose) > max(landing.oxidation_dose)


def test_a_reading_far_below_a_hot_brake_does_not_fit():
    """57 °C indicated forty minutes after a rejected take-off is listed."""
    found = [item for item in stopped().items if item.reason is Reason.READING_COLD]
    assert [item.position for item in found] == [POSITIONS[0]]
    assert "57 °C indicated" in found[0].evidence


def test_a_reading_of_the_middle_fits():
    """What the figures foretell is nothing to look at, and the reading moves none."""
    (figures,) = usual().figures
    middle = Reading(
        turnaround_id=ID, minute=ONE.in_block_minute + 30, indicated_k=500.0
    )
    (told,) = inspect_day(replace(DAY, readings=(middle,))).figures[0].foretold
    fits = 0.5 * (told.low_c + told.high_c) + 273.15
    again = inspect_day(replace(DAY, readings=(replace(middle, indicated_k=fits),)))
    (same,) = again.figures[0].foretold
    assert (same.low_c, same.high_c) == (told.low_c, told.high_c)
    off = {Reason.READING_HOT, Reason.READING_COLD}
    assert not off & {item.reason for item in again.items}
    assert figures.foretold == ()


def test_a_dragging_brake_is_found_among_the_others():
    """One of four brakes reads as if it had taken most of the heat."""
    shown = (560.0, 560.0, 560.0, 760.0)
    readings = tuple(
        Reading(
            turnaround_id=ID,
            minute=ONE.in_block_minute + after,
            indicated_k=indicated_k,
            position=position,
        )
        for after in (20, 30)
        for position, indicated_k in zip(POSITIONS, shown, strict=True)
    )
    found = inspect_day(replace(DAY, readings=readings)).items
    dragging = [one for one in found if one.reason is Reason.DRAGGING]
    assert [one.position for one in dragging] == [POSITIONS[3]]
    assert dragging[0].probability > 0.5
    assert dragging[0].is_before_departure
    assert "of an even share of the heat" in dragging[0].evidence


def test_the_ledger_keeps_what_has_happened():
    """Landing and rejected take-off of each brake; nothing of an expected arrival."""
    entries = entries_of(stopped())
    kinds = [(entry.position, entry.kind) for entry in entries]
    assert sorted(kinds) == sorted(
        (position, kind)
        for position in POSITIONS
        for kind in (Kind.LANDING, Kind.ACCELERATE_STOP)
    )
    assert len({entry.key for entry in entries}) == len(entries)
    expected = replace(
        usual(),
        day=replace(DAY, turnarounds=(replace(ONE, in_block_basis=Basis.ESTIMATED),)),
    )
    assert entries_of(expected) == ()


def test_checks_of_the_whole_aircraft_are_kept_per_wheel():
    """Each wheel once, by its own finding where it has one."""
    late = ONE.in_block_minute + 40
    check = PlugCheck(turnaround_id=ID, minute=late)
    own = Finding(
        turnaround_id=ID,
        minute=late - 5,
        position=POSITIONS[0],
        found=Found.WHEEL_CHANGED,
    )
    day = replace(DAY, checks=(check,), findings=(own,))
    entries = entries_of(replace(usual(), day=day))
    found = {one.position: one.found for one in entries if one.kind is Kind.FINDING}
    assert len([one for one in entries if one.kind is Kind.FINDING]) == len(POSITIONS)
    assert found.pop(POSITIONS[0]) == Found.WHEEL_CHANGED
    assert set(found.values()) == {str(Found.CHECKED)}


def test_one_turnaround_can_be_asked_for():
    """An id that the day lacks is told with those that there are."""
    with pytest.raises(UnknownTurnaroundError, match=f"one of {ID}, got XX1"):
        inspect_day(DAY, only="XX1")


def test_json_holds_every_item_and_brake():
    """It can be written as JSON, with all cautions."""
    record = json.loads(json.dumps(inspection_record(stopped())))
    assert len(record["items"]) == len(stopped().items)
    assert [brake["position"] for brake in record["brakes"]] == list(POSITIONS)
    assert len(record["brakes"][0]["stops"]) == 2
    assert record["cautions"]


def test_csv_has_one_row_per_item():
    """Columns as documented, lines ended as RFC 4180 asks."""
    lines = inspection_csv(stopped()).split("\r\n")
    assert lines[0] == ",".join(COLUMNS)
    assert len(lines) == len(stopped().items) + 2


def test_text_names_aircraft_and_no_wheel_is_called_safe():
    """Heading with the threshold; the word safe is nowhere."""
    blocks = list(aircraft_blocks(stopped(), every=True, width=80))
    heading, _ = blocks[0]
    assert heading.startswith(f"{ID}  {ONE.tail}  stand {ONE.stand}: the figures")
    text = "".join(
        [headline(stopped()), heading, json.dumps(inspection_record(stopped()))]
    )
    assert "safe" not in text.lower().replace("stopping safely", "")
