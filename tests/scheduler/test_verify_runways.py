"""Rules of the runways, one fault at a time on the plan worked out by hand.

Take-offs: A1 650, B2 660, D4 665 (gone), C3 730, E5 740; landings five minutes before
in-block: D4 555, A1 595, B2 600, C3 655, E5 675.
"""

from dataclasses import replace

import pytest
from good_plan import (
    claiming,
    codes_of,
    faults_of,
    make_day,
    make_plan,
    with_given,
    with_row,
    with_station,
)

from scheduler.day import Curfew, Day, Departure, Landing, SlotInterval, WakeTable
from scheduler.plan import Relaxation, Status
from scheduler.verify import Code

DAY = make_day()
PLAN = make_plan(DAY)


def with_runway(**changes: object) -> Day:
    """The day with its one runway changed."""
    return with_station(DAY, runways=(replace(DAY.station.runways[0], **changes),))


def with_wakes(light: str, *pairs: tuple[str, str, int]) -> Day:
    """The day with one light aircraft among heavy ones."""
    heron = DAY.aircraft[0]
    table = WakeTable(name="invented", source="invented", edition="1", pairs=pairs)
    tails = tuple(
        replace(tail, aircraft="Wren") if tail.registration == f"X-{light}" else tail
        for tail in DAY.tails
    )
    return replace(
        with_station(DAY, wake=table),
        aircraft=(heron, replace(heron, name="Wren")),
        tails=tails,
        wake_categories=(("Heron", "heavy"), ("Wren", "light")),
    )


@pytest.mark.parametrize(
    ("pair", "seconds", "found"),
    [
        (("heavy", "light"), 600, []),
        (("heavy", "light"), 601, [Code.WAKE]),
        (("light", "heavy"), 300, []),
        (("light", "heavy"), 301, [Code.WAKE]),
        (("light", "light"), 9999, []),
    ],
)
def test_wake_of_leader_and_follower(pair, seconds: int, found: list[Code]):
    """B2 is light, ten minutes behind A1 and five before D4; order counts."""
    assert codes_of(PLAN, with_wakes("B2", (*pair, seconds))) == found


def test_wake_is_checked_over_an_aircraft_between():
    """D4 follows B2 by five minutes and A1 by fifteen, which is less than it needs."""
    day = with_wakes("E5", ("heavy", "heavy", 60), ("heavy", "light", 901))
    assert codes_of(PLAN, day) == [Code.WAKE]
    rest = with_wakes("E5", ("heavy", "heavy", 60), ("heavy", "light", 600))
    assert codes_of(PLAN, rest) == []


def test_wake_counts_behind_all_that_went_before():
    """E5 keeps ten minutes behind C3, and C3 is not the only one in front."""
    heavy_first = with_wakes("E5", ("heavy", "light", 4500))
    faults = [f for f in faults_of(PLAN, heavy_first) if f.code is Code.WAKE]
    assert [fault.expected for fault in faults] == ["4500 s behind C3"]
    further = with_wakes("E5", ("heavy", "light", 4501))
    faults = [f for f in faults_of(PLAN, further) if f.code is Code.WAKE]
    assert [fault.expected for fault in faults] == [
        "4501 s behind C3",
        "4501 s behind D4",
    ]


def test_runways_do_not_disturb_each_other():
    """An aircraft on another runway needs no distance; on the same one it does."""
    other = replace(DAY.station.runways[0], name="18")
    day = with_station(DAY, runways=(*DAY.station.runways, other))
    same = with_given(day, "B2", departure=Departure(taxi_out_minutes=0))
    plan = with_row(PLAN, "B2", take_off_minute=650)
    assert codes_of(plan, same) == [Code.RUNWAY_SPACING]
    apart = Departure(taxi_out_minutes=0, runway="18")
    assert codes_of(plan, with_given(day, "B2", departure=apart)) == []
    landed = with_given(same, "B2", landing=Landing(runway="18"))
    assert codes_of(plan, landed) == []


@pytest.mark.parametrize(("spacing", "found"), [(10, []), (0, []), (11, [1])])
def test_spacing_counts_between_all(spacing: int, found: list[int]):
    """Ten minutes lie between A1 and B2, five to the one that has gone."""
    day = with_runway(spacing_minutes=spacing)
    gone = with_given(day, "D4", target_off_block_minute=600)
    plan = with_row(
        PLAN,
        "D4",
        target_off_block_minute=600,
        off_block_minute=600,
        take_off_minute=610,
    )
    expected = [Code.RUNWAY_SPACING] if found else []
    assert codes_of(plan, gone) == expected


def test_never_two_in_one_minute():
    """Without any spacing two take-offs still have minutes of their own."""
    day = with_given(
        with_runway(spacing_minutes=0), "B2", departure=Departure(taxi_out_minutes=0)
    )
    plan = with_row(PLAN, "B2", take_off_minute=650)
    assert codes_of(plan, day) == [Code.RUNWAY_SPACING]


@pytest.mark.parametrize(
    ("closure", "found"),
    [
        ((650, 651), [Code.RUNWAY_CLOSED]),
        ((640, 651), [Code.RUNWAY_CLOSED]),
        ((651, 660), []),
        ((665, 666), []),
    ],
)
def test_runway_closed(closure: tuple[int, int], found: list[Code]):
    """Nobody takes off in a closure but who has gone; its end is open again."""
    assert codes_of(PLAN, with_runway(closures=(closure,))) == found


@pytest.mark.parametrize(("gap", "found"), [(5, []), (6, [Code.ARRIVAL_GAP])])
def test_gap_to_a_landing(gap: int, found: list[Code]):
    """A1 and B2 take off five minutes before and after the landing of C3."""
    assert codes_of(PLAN, with_runway(arrival_gap_minutes=gap)) == found


def test_landing_on_another_runway_does_not_matter():
    """C3 lands elsewhere, so A1 and B2 keep their distance from nobody."""
    first = replace(DAY.station.runways[0], arrival_gap_minutes=6)
    day = with_station(DAY, runways=(first, replace(first, name="18")))
    assert codes_of(PLAN, day) == [Code.ARRIVAL_GAP]
    elsewhere = with_given(
        day, "C3", landing=Landing(runway="18"), departure=Departure(runway="09")
    )
    assert codes_of(PLAN, elsewhere) == []


@pytest.mark.parametrize(
    ("interval", "found"),
    [
        ((640, 661, 2, None), []),
        ((640, 661, 1, None), [Code.SLOT_FULL]),
        ((640, 660, 1, "09"), []),
        ((655, 666, 1, "09"), [Code.SLOT_FULL]),
        ((665, 666, 0, None), []),
        ((730, 731, 0, None), [Code.SLOT_FULL]),
    ],
)
def test_slot_interval(interval, found: list[Code]):
    """Take-offs of an interval are counted, gone ones too but not on their own."""
    first, last, most, runway = interval
    slot = SlotInterval(
        from_minute=first, to_minute=last, take_offs=most, runway=runway
    )
    assert codes_of(PLAN, with_station(DAY, slots=(slot,))) == found


def test_slot_interval_of_another_runway():
    """An interval counts its own runway only, one without a runway all of them."""
    other = replace(DAY.station.runways[0], name="18")
    slot = SlotInterval(from_minute=640, to_minute=661, take_offs=1, runway="18")
    day = with_station(DAY, runways=(*DAY.station.runways, other), slots=(slot,))
    assert codes_of(PLAN, day) == []
    moved = with_given(day, "A1", departure=Departure(runway="18"))
    assert codes_of(PLAN, moved) == []
    both = with_station(moved, slots=(replace(slot, runway=None),))
    assert codes_of(PLAN, both) == [Code.SLOT_FULL]


@pytest.mark.parametrize(("last", "found"), [(741, []), (740, [Code.NO_SLOT])])
def test_take_off_needs_a_slot(last: int, found: list[Code]):
    """Where slots are needed E5 at 740 has one or not; D4 has gone without."""
    slots = tuple(
        SlotInterval(from_minute=a, to_minute=b, take_offs=9)
        for a, b in ((640, 661), (730, last))
    )
    assert codes_of(PLAN, with_station(DAY, slots=slots)) == []
    assert codes_of(PLAN, with_station(DAY, slots=slots, slots_only=True)) == found


def test_slot_of_another_runway_is_none():
    """A slot has to be on the runway of the take-off."""
    slot = SlotInterval(from_minute=600, to_minute=800, take_offs=9, runway="18")
    day = with_station(DAY, slots=(slot,), slots_only=True)
    assert codes_of(PLAN, day) == [Code.NO_SLOT]


def test_soft_curfew_is_broken_aloud():
    """A soft curfew costs three and is named; a hard one stays forbidden."""
    curfew = Curfew(from_minute=740, to_minute=741, soft=True)
    day = with_station(DAY, curfews=(curfew,))
    silent = claiming(PLAN, 3, 40, 0, 51)
    assert codes_of(silent, day) == [Code.CURFEW]
    said = with_row(silent, "E5", relaxed=(Relaxation.CURFEW_BROKEN,))
    said = replace(said, status=Status.RELAXED)
    assert codes_of(said, day) == []
    hard = with_station(DAY, curfews=(replace(curfew, soft=False),))
    assert Code.CURFEW in codes_of(said, hard)
    later = with_station(DAY, curfews=(replace(curfew, from_minute=741, to_minute=9),))
    assert codes_of(PLAN, later) == []
