"""From figures, log and history to the inspection list, without computing heat."""

from dataclasses import replace

import pytest

from scheduler.day import (
    Basis,
    Finding,
    Found,
    PlugCheck,
    RejectedTakeOff,
    Task,
)
from scheduler.errors import DayError
from scheduler.inspection import Reason, Thresholds
from scheduler.inspection.odd import Odd, OddKind
from scheduler.inspection.readings import Foretold
from scheduler.ledger import Past
from tests.scheduler.inspected_day import ID, calm_figures, landed_day, listed

DAY = landed_day()
ONE = DAY.turnarounds[0]
FIRST, SECOND, *_ = DAY.tail_of(ONE).positions
COUNT = len(DAY.tail_of(ONE).positions)
CALM = calm_figures()
LATE = CALM.plug_peak_minute + 10
STOP = RejectedTakeOff(turnaround_id=ID, minute=ONE.in_block_minute - 8)


def first(share: float, rest: float = 0.0) -> tuple[float, ...]:
    """A share for the first position, another one for all others."""
    return (share, *[rest] * (COUNT - 1))


def found(kind: Found, minute: int = LATE, position: str = FIRST, **more) -> Finding:
    """A logged finding."""
    return Finding(
        turnaround_id=ID, minute=minute, position=position, found=kind, **more
    )


def reasons(items) -> list[tuple[str, Reason]]:
    """Position and reason of each item."""
    return [(item.position, item.reason) for item in items]


def test_calm_brakes_are_not_listed():
    """A landing within all limits gives nothing to look at."""
    assert listed(DAY, CALM) == ()


def test_a_threatened_plug_is_checked_before_departure():
    """Where the plan asks for a check, plugs from 1 % on are listed as threatened."""
    figures = calm_figures(is_check_due=True, near_release=first(0.03, 0.004))
    (item,) = listed(DAY, figures)
    assert (item.position, item.reason) == (FIRST, Reason.PLUG_THREATENED)
    assert item.probability == 0.03
    assert (item.task, item.minutes) == (
        Task.PLUG_CHECK,
        DAY.station.plug_check_minutes,
    )
    assert item.is_before_departure
    assert item.approach_minute == CALM.approach_minute
    assert "within 15 K of it 3 %" in item.evidence


def test_a_due_check_always_names_a_brake():
    """No plug alone reaches 1 %, but the aircraft does: the hottest is named."""
    stop = replace(CALM.stops[0], plug_peak_c=first(150.0, 155.0))
    figures = calm_figures(
        is_check_due=True, near_release=first(0.004, 0.004), stops=(stop,)
    )
    assert reasons(listed(DAY, figures)) == [(SECOND, Reason.PLUG_THREATENED)]


def test_a_plug_that_let_go_more_likely_than_not_needs_a_wheel():
    """Beyond one in two it is listed as released, with a wheel change."""
    figures = calm_figures(
        is_check_due=True, released=first(0.6), near_release=first(0.9)
    )
    (item,) = listed(DAY, figures)
    assert item.reason is Reason.PLUG_RELEASED
    assert (item.task, item.probability) == (Task.WHEEL_CHANGE, 0.6)


@pytest.mark.parametrize(
    ("field", "reason"),
    [("stack_hot", Reason.STACK_HOT), ("wheel_hot", Reason.WHEEL_HOT)],
)
def test_a_limit_passed_is_listed_from_the_least_probability(field, reason):
    """5 % lists it for later, more likely than not asks for it before departure."""
    assert listed(DAY, calm_figures(**{field: first(0.04)})) == ()
    (later,) = listed(DAY, calm_figures(**{field: first(0.05)}))
    assert (later.reason, later.is_before_departure) == (reason, False)
    (now,) = listed(DAY, calm_figures(**{field: first(0.51)}))
    assert (now.position, now.is_before_departure) == (FIRST, True)


def test_what_has_left_is_for_where_it_lands_next():
    """Nothing is done before a departure that has been."""
    gone = replace(DAY, turnarounds=(replace(ONE, off_block_basis=Basis.ACTUAL),))
    (item,) = listed(gone, calm_figures(stack_hot=first(0.9)))
    assert item.has_left
    assert not item.is_before_departure


def test_a_brake_without_such_a_limit_is_not_judged_by_it():
    """Where the data give no limit nothing is said."""
    assert listed(DAY, calm_figures(stack_hot=None, wheel_hot=None)) == ()


def test_an_accelerate_stop_lists_every_serving_brake():
    """All brakes but the one locked out, before departure, certain."""
    tail = replace(DAY.tail_of(ONE), inoperative=(SECOND,))
    others = tuple(one for one in DAY.tails if one.registration != ONE.tail)
    day = replace(DAY, tails=(*others, tail), rejected=(STOP,))
    items = listed(day, calm_figures(stops=CALM.stops * 2))
    assert {item.reason for item in items} == {Reason.ACCELERATE_STOP}
    assert {item.position for item in items} == {*tail.positions} - {SECOND}
    assert all(item.is_before_departure and item.probability == 1.0 for item in items)


@pytest.mark.parametrize(
    ("above", "reason", "before"),
    [
        (0.004, Reason.READING_HOT, True),
        (0.006, None, None),
        (0.994, None, None),
        (0.996, Reason.READING_COLD, False),
    ],
)
def test_a_reading_that_does_not_fit_is_listed(above, reason, before):
    """One in two hundred on either side; too hot is looked at before departure."""
    one = Foretold(
        position=SECOND,
        minute=LATE,
        indicated_c=400.0,
        low_c=200.0,
        high_c=300.0,
        above=above,
    )
    items = listed(DAY, calm_figures(foretold=(replace(one, above=0.5), one)))
    if reason is None:
        assert items == ()
        return
    (item,) = items
    assert (item.position, item.reason) == (SECOND, reason)
    assert item.is_before_departure is before
    assert item.probability > 0.99


@pytest.mark.parametrize(
    ("kind", "reason", "before"),
    [
        (OddKind.DRAGGING, Reason.DRAGGING, True),
        (OddKind.IDLE, Reason.IDLE, True),
        (OddKind.WARMING, Reason.WARMING, True),
        (OddKind.READING, Reason.READING_ODD, False),
    ],
)
def test_what_is_odd_is_listed(kind, reason, before):
    """A brake that differs is looked at before departure, its indicator later."""
    odd = Odd(position=SECOND, kind=kind, probability=0.8, evidence="so it reads")
    (item,) = listed(DAY, calm_figures(odd=(odd,)))
    assert (item.position, item.reason) == (SECOND, reason)
    assert (item.probability, item.evidence) == (0.8, "so it reads")
    assert item.is_before_departure is before
    day = landed_day(findings=(found(Found.BRAKE_REPLACED, position=SECOND),))
    assert not listed(day, calm_figures(odd=(odd,)))[0].is_open


def test_hot_stops_add_up_with_the_ledger():
    """Two hot stops before and one today make three."""
    hot = replace(CALM.stops[0], stack_peak_c=first(740.0, 400.0))
    past = {(ONE.tail, FIRST): Past(hot_stops=2), (ONE.tail, SECOND): Past(hot_stops=2)}
    assert listed(DAY, CALM, past) == ()
    (item,) = listed(DAY, calm_figures(stops=(hot,)), past)
    assert (item.position, item.reason) == (FIRST, Reason.HOT_STOPS)
    assert item.evidence == "3 hot stops in 30 days"
    assert not item.is_before_departure


def test_oxidation_adds_up_since_the_brake_was_replaced():
    """0.95 before and 0.1 today pass a threshold of one; 0.85 do not."""
    past = {(ONE.tail, FIRST): Past(oxidation_dose=0.95, since="2026-06-01T00:00:00Z")}
    (item,) = listed(DAY, CALM, past)
    assert (item.position, item.reason) == (FIRST, Reason.OXIDATION)
    assert "dose 1.05 since 2026-06-01" in item.evidence
    assert listed(DAY, CALM, {(ONE.tail, FIRST): Past(oxidation_dose=0.85)}) == ()


def test_a_new_brake_begins_anew():
    """A brake replaced before the landing of today carries no history."""
    day = landed_day(
        findings=(found(Found.BRAKE_REPLACED, DAY.landing_minute(ONE) - 60),)
    )
    past = {(ONE.tail, FIRST): Past(oxidation_dose=5.0, hot_stops=9)}
    assert listed(day, CALM, past) == ()


HOT_PLUG = calm_figures(is_check_due=True, near_release=first(0.2))
HOT_STACK = calm_figures(stack_hot=first(0.9))
HOT_WHEEL = calm_figures(wheel_hot=first(0.9))


@pytest.mark.parametrize(
    ("figures", "kind", "closes"),
    [
        (HOT_PLUG, Found.CHECKED, True),
        (HOT_PLUG, Found.WHEEL_CHANGED, True),
        (HOT_PLUG, Found.NO_FINDING, False),
        (HOT_PLUG, Found.BRAKE_REPLACED, False),
        (HOT_STACK, Found.NO_FINDING, True),
        (HOT_STACK, Found.BRAKE_REPLACED, True),
        (HOT_STACK, Found.CHECKED, False),
        (HOT_STACK, Found.WHEEL_CHANGED, False),
        (HOT_WHEEL, Found.WHEEL_CHANGED, True),
        (HOT_WHEEL, Found.NO_FINDING, True),
        (HOT_WHEEL, Found.CHECKED, False),
    ],
)
def test_a_finding_closes_what_it_answers(figures, kind, closes):
    """Each kind of finding answers its own items and no others."""
    day = landed_day(findings=(found(kind),))
    (item,) = listed(day, figures)
    assert item.is_open is not closes
    other = landed_day(findings=(found(kind, position=SECOND),))
    assert listed(other, figures)[0].is_open


def test_a_wear_pin_answers_nothing():
    """Its length is a note."""
    pin = found(Found.WEAR_PIN, wear_pin_mm=12.0)
    assert listed(landed_day(findings=(pin,)), HOT_STACK)[0].is_open


def test_a_finding_before_the_cause_answers_nothing():
    """A plug is answered after its peak, an accelerate-stop after the stop."""
    early = landed_day(findings=(found(Found.CHECKED, CALM.plug_peak_minute - 1),))
    assert listed(early, HOT_PLUG)[0].is_open
    before = found(Found.NO_FINDING, STOP.minute - 1)
    day = landed_day(rejected=(STOP,), findings=(before,))
    assert all(item.is_open for item in listed(day, calm_figures(stops=CALM.stops * 2)))


def test_a_check_of_the_whole_aircraft_answers_every_plug():
    """It is logged without a position, and closes plugs only."""
    day = landed_day(checks=(PlugCheck(turnaround_id=ID, minute=LATE),))
    assert not listed(day, HOT_PLUG)[0].is_open
    assert listed(day, HOT_STACK)[0].is_open


def test_wheel_and_brake_both_new_answer_an_accelerate_stop():
    """One of the two alone does not."""
    wheel, brake = found(Found.WHEEL_CHANGED), found(Found.BRAKE_REPLACED, LATE + 5)
    two = calm_figures(stops=CALM.stops * 2)
    one = landed_day(rejected=(STOP,), findings=(wheel,))
    assert all(item.is_open for item in listed(one, two))
    both = landed_day(rejected=(STOP,), findings=(wheel, brake))
    closed = [item for item in listed(both, two) if not item.is_open]
    assert [item.position for item in closed] == [FIRST]
    assert closed[0].closed_by.startswith("wheel and brake new")


def test_a_reading_of_the_hottest_brake_needs_every_position():
    """Without a position the item is closed once all wheels were looked at."""
    one = Foretold(
        position=None,
        minute=LATE,
        indicated_c=500.0,
        low_c=1.0,
        high_c=2.0,
        above=0.0,
    )
    positions = CALM.positions
    some = tuple(found(Found.NO_FINDING, position=name) for name in positions[:-1])
    figures = calm_figures(foretold=(one,))
    assert listed(landed_day(findings=some), figures)[0].is_open
    every = (*some, found(Found.NO_FINDING, position=positions[-1]))
    assert not listed(landed_day(findings=every), figures)[0].is_open


def test_thresholds_refuse_what_cannot_be():
    """Shares above one and counts below one are faults."""
    with pytest.raises(DayError, match="least_probability: expected above 0 to 1"):
        Thresholds(least_probability=1.5)
    with pytest.raises(DayError, match="hot_stops: expected 1 or more"):
        Thresholds(hot_stops=0)
    with pytest.raises(DayError, match="oxidation_dose: expected above 0"):
        Thresholds(oxidation_dose=float("nan"))
