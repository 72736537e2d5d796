"""Rules of what people want and of what comes next, one fault at a time."""

from dataclasses import replace

import pytest
from good_plan import (
    TAXI_OUT_MINUTES,
    claiming,
    codes_of,
    make_day,
    make_job,
    make_plan,
    moved,
    with_given,
    with_row,
    with_station,
)

from scheduler.day import Basis, Day, Departure, Pin, Pinned, PlugCheck, Task
from scheduler.plan import (
    Curve,
    Plan,
    PlannedDuty,
    Progress,
    Relaxation,
    Status,
    WaitsFor,
)
from scheduler.verify import Code

DAY = make_day()
PLAN = make_plan(DAY)
CREW_LIMIT = Departure(ctot_minute=745, crew_limit_minute=740)


def said(plan: Plan, name: str, rule: Relaxation, weight: int) -> Plan:
    """The plan with one broken rule named and weighed."""
    told = with_row(plan, name, relaxed=(rule,))
    _, *rest = plan.proof.objective
    return replace(claiming(told, weight, *rest), status=Status.RELAXED)


def pinned(name: str, kind: Pinned, **changes: object) -> Day:
    """The day with one pin."""
    return replace(DAY, pins=(Pin(turnaround_id=name, kind=kind, **changes),))


def rotating(minutes: int | None, day: Day = DAY) -> Day:
    """The day in which E5 is flown by the tail of A1 again."""
    given = with_given(day, "E5", tail="X-A1", rotation_minutes=minutes)
    return replace(given, tails=DAY.tails)


def test_rotation():
    """A1 leaves 40 minutes before its tail is back as E5."""
    plan = with_row(PLAN, "E5", tail="X-A1")
    assert codes_of(plan, rotating(None)) == []
    assert codes_of(plan, rotating(40)) == []
    assert codes_of(claiming(plan, 1, 40, 0, 51), rotating(41)) == [Code.ROTATION]
    told = said(plan, "A1", Relaxation.ROTATION, 1)
    assert codes_of(told, rotating(41)) == []
    assert Code.RELAXATION in codes_of(told, rotating(40))


def test_rotation_of_a_held_aircraft():
    """A tail that never leaves is not back in time."""
    plan = with_row(
        with_row(PLAN, "E5", tail="X-A1"),
        "A1",
        brake_ready_minute=None,
        brake_ready_still_air_minute=None,
        off_block_minute=None,
        take_off_minute=None,
        delay_minutes=None,
        waits_for=WaitsFor.BRAKES,
        relaxed=(Relaxation.HELD, Relaxation.STAND),
    )
    plan = claiming(plan, 6, 40, 0, 51, status=Status.RELAXED)
    assert codes_of(plan, rotating(0)) == [Code.ROTATION]
    relaxed = (*plan.of("A1").relaxed, Relaxation.ROTATION)
    assert codes_of(with_row(plan, "A1", relaxed=relaxed), rotating(0)) == []


def test_crew_limit():
    """The flight crew's limit is the last minute of take-off, else it is said."""
    assert codes_of(PLAN, with_given(DAY, "E5", departure=CREW_LIMIT)) == []
    day = with_given(DAY, "E5", departure=replace(CREW_LIMIT, crew_limit_minute=739))
    assert codes_of(claiming(PLAN, 1, 40, 0, 51), day) == [Code.CREW_LIMIT]
    assert codes_of(said(PLAN, "E5", Relaxation.CREW, 1), day) == []


@pytest.mark.parametrize(
    ("name", "kind", "kept", "broken"),
    [
        ("A1", Pinned.OFF_BLOCK, {"minute": 640}, {"minute": 641}),
        ("A1", Pinned.NOT_BEFORE, {"minute": 640}, {"minute": 641}),
        (
            "B2",
            Pinned.FAN,
            {"fan": "cart", "units": 2, "start_minute": 620},
            {"fan": "cart", "units": 2, "start_minute": 621},
        ),
        (
            "B2",
            Pinned.FAN,
            {"fan": "cart", "units": 2, "start_minute": 620, "end_minute": 645},
            {"fan": "cart", "units": 2, "start_minute": 620, "end_minute": 644},
        ),
        (
            "B2",
            Pinned.FAN,
            {"fan": "cart", "units": 2, "start_minute": 620},
            {"fan": "cart", "units": 1, "start_minute": 620},
        ),
    ],
)
def test_pin(name: str, kind: Pinned, kept: dict, broken: dict):
    """A pin is kept, or the plan says that it is not."""
    assert codes_of(PLAN, pinned(name, kind, **kept)) == []
    day = pinned(name, kind, **broken)
    assert codes_of(claiming(PLAN, 2, 40, 0, 51), day) == [Code.PIN]
    assert codes_of(said(PLAN, name, Relaxation.PIN, 2), day) == []


def test_pin_against_fans():
    """No fan is wanted for B2, which has one, nor for A1, which has none."""
    assert codes_of(PLAN, pinned("A1", Pinned.NO_FAN)) == []
    day = pinned("B2", Pinned.NO_FAN)
    assert codes_of(claiming(PLAN, 2, 40, 0, 51), day) == [Code.PIN]
    assert codes_of(said(PLAN, "B2", Relaxation.PIN, 2), day) == []


def test_two_unkept_pins_of_one_flight_weigh_once():
    """Two pins of B2 that are not kept cost two, not four."""
    two = pinned("B2", Pinned.NO_FAN).pins + pinned("B2", Pinned.OFF_BLOCK).pins
    day = replace(DAY, pins=two)
    assert codes_of(said(PLAN, "B2", Relaxation.PIN, 2), day) == []
    assert codes_of(said(PLAN, "B2", Relaxation.PIN, 4), day) == [Code.OBJECTIVE]


def towing(minutes: int | None, buffer: int = 21) -> Day:
    """The day whose stands allow to tow, with a buffer that A1 does not keep.

    C3 arrives at 660, so the stand is due free at 639 and A1 leaves it at 640.
    """
    stands = tuple(replace(one, tow_off_minutes=minutes) for one in DAY.station.stands)
    return with_station(DAY, stands=stands, stand_buffer_minutes=buffer)


def towed(**changes: object) -> Plan:
    """The plan in which A1 is towed off."""
    plan = with_row(PLAN, "A1", **{"towed": True, **changes})
    return claiming(plan, 0, 40, 0, 61)


def test_towed_aircraft_frees_the_stand():
    """Towing takes ten minutes, people may be there by 629, and the stand is free."""
    assert codes_of(towed(), towing(10)) == []
    assert codes_of(towed(approach_minute=629), towing(10)) == []
    assert codes_of(claiming(PLAN, 1, 40, 0, 51), towing(10)) == [Code.STAND]
    both = replace(towed(relaxed=(Relaxation.STAND,)), status=Status.RELAXED)
    assert codes_of(both, towing(10)) == [Code.RELAXATION]


@pytest.mark.parametrize("approach", [630, None])
def test_nobody_tows_beside_hot_brakes(approach: int | None):
    """Towing sends people to the wheels: not before the figures allow it."""
    assert codes_of(towed(approach_minute=approach), towing(10)) == [Code.TOW]


def test_tow_off_needs_a_stand_that_allows_it():
    """A stand without towing minutes has no tow-off."""
    assert codes_of(towed(), towing(None)) == [Code.TOW]


def test_nobody_is_towed_for_nobody():
    """An aircraft that is away in time, or has no one behind it, is not towed."""
    assert codes_of(towed(), towing(10, buffer=20)) == [Code.TOW]
    plan = claiming(with_row(PLAN, "E5", towed=True), 0, 40, 0, 61)
    assert codes_of(plan, towing(10, buffer=20)) == [Code.TOW]


@pytest.mark.parametrize(("end", "found"), [(627, []), (628, [Code.TOW])])
def test_fan_is_away_before_towing(end: int, found: list[Code]):
    """Air until 627 and two minutes of removal end when towing begins."""
    job = make_job(fan_type="cart", units=1, start_minute=617, end_minute=end)
    plan = towed(fan_jobs=(job,), brake_ready_minute=631)
    spare = replace(DAY.station.fans[0], units=3)
    day = towing(10)
    day = with_station(day, fans=(spare, DAY.station.fans[1]))
    assert codes_of(claiming(plan, 0, 40, 0, 61 + end - 616), day) == found


@pytest.mark.parametrize(("takes", "found"), [(9, []), (10, [Code.TOW])])
def test_work_is_done_before_towing(takes: int, found: list[Code]):
    """A check of 20 minutes from 610 ends when towing of 9 minutes begins."""
    work = PlannedDuty(
        task=Task.PLUG_CHECK, crew=None, start_minute=610, end_minute=630
    )
    assert codes_of(towed(duties=(work,)), towing(takes)) == found


def cancelled(**changes: object) -> Plan:
    """The plan in which C3 does not depart."""
    row = {
        "off_block_minute": None,
        "take_off_minute": None,
        "delay_minutes": None,
        "waits_for": WaitsFor.NOTHING,
    }
    plan = with_row(PLAN, "C3", **{**row, **changes})
    return claiming(plan, 0, 15, 0, 51)


def test_cancelled_departure_takes_nothing():
    """It is not held, breaks nothing and has no price."""
    day = with_given(DAY, "C3", cancelled=True)
    assert codes_of(cancelled(), day) == []
    leaves = {"off_block_minute": 720, "take_off_minute": 730, "delay_minutes": 20}
    assert codes_of(cancelled(**leaves), day) == [Code.CANCELLED]
    job = make_job(fan_type="pit", units=1, start_minute=670, end_minute=680)
    assert codes_of(claiming(cancelled(fan_jobs=(job,)), 0, 15, 0, 62), day) == [
        Code.CANCELLED
    ]
    assert codes_of(
        replace(cancelled(relaxed=(Relaxation.STAND,)), status=Status.RELAXED), day
    ) == [Code.CANCELLED, Code.RELAXATION]
    assert codes_of(cancelled(waits_for=WaitsFor.BRAKES), day) == [Code.WAITS_FOR]


def test_cancelled_departure_keeps_its_stand_in_silence():
    """Who follows on its stand makes it no broken rule."""
    day = with_given(DAY, "A1", cancelled=True)
    row = {"off_block_minute": None, "take_off_minute": None, "delay_minutes": None}
    assert codes_of(with_row(PLAN, "A1", **row), day) == []


def test_only_a_cancelled_departure_is_missing_without_a_reason():
    """The same row without the cancellation is held for no reason."""
    assert Code.HELD in codes_of(cancelled(), DAY)


@pytest.mark.parametrize(
    ("name", "basis", "progress"),
    [
        ("A1", {}, Progress.EXPECTED),
        ("A1", {"in_block_basis": Basis.ACTUAL}, Progress.IN_BLOCK),
        ("D4", {}, Progress.OFF_BLOCK),
    ],
)
def test_progress(name: str, basis: dict, progress: Progress):
    """Progress is what the day has logged and nothing else."""
    day = with_given(DAY, name, **basis)
    for told in Progress:
        found = [] if told is progress else [Code.PROGRESS]
        assert codes_of(with_row(PLAN, name, progress=told), day) == found


def test_airborne():
    """An aircraft that is logged airborne is told so."""
    day = replace(DAY, airborne=(("D4", 667),))
    assert codes_of(PLAN, day) == [Code.PROGRESS]
    assert codes_of(with_row(PLAN, "D4", progress=Progress.AIRBORNE), day) == []


def asked(deadline: int | None) -> Plan:
    """The plan in which B2 is to roll out longer; it lands at 600."""
    plan = with_row(PLAN, "B2", rollout="full length", rollout_deadline_minute=deadline)
    return claiming(plan, 0, 40, 0, 56)


def test_rollout_is_asked_for_before_landing():
    """Twenty minutes before landing is the deadline; a landed one is not asked."""
    assert codes_of(asked(580), DAY) == []
    assert codes_of(asked(581), DAY) == [Code.ROLLOUT]
    assert codes_of(asked(575), with_station(DAY, rollout_request_minutes=25)) == []
    landed = with_given(DAY, "B2", in_block_basis=Basis.ACTUAL)
    plan = with_row(asked(580), "B2", progress=Progress.IN_BLOCK)
    assert codes_of(plan, landed) == [Code.ROLLOUT]


def test_a_longer_rollout_may_be_ready_sooner_without_a_fan():
    """Still air after the planned rollout is not still air after a longer one."""
    plan = with_row(asked(580), "B2", fan_jobs=(), waits_for=WaitsFor.BRAKES)
    assert codes_of(claiming(plan, 0, 40, 0, 5), DAY) == []
    short = with_row(plan, "B2", rollout=None, rollout_deadline_minute=None)
    assert codes_of(claiming(short, 0, 40, 0, 0), DAY) == [Code.STILL_AIR]


def test_nothing_is_planned_in_the_past():
    """No off-block before now; a job only where it had been there before."""
    assert codes_of(PLAN, replace(DAY, now_minute=617)) == []
    now = replace(DAY, now_minute=641)
    assert codes_of(PLAN, now) == [Code.PAST]
    begun = replace(DAY, now_minute=640)
    assert codes_of(PLAN, begun, PLAN) == []
    before = with_row(PLAN, "B2", fan_jobs=())
    changed = claiming(PLAN, 0, 45, 1, 51)
    assert codes_of(changed, begun, before) == [Code.PAST]
    pin = Pin(
        turnaround_id="B2",
        kind=Pinned.FAN,
        fan="cart",
        units=2,
        start_minute=620,
    )
    assert codes_of(changed, replace(begun, pins=(pin,)), before) == []


@pytest.mark.parametrize(("stability", "cost"), [(0, 40), (5, 45), (16, 57)])
def test_a_change_on_a_begun_day_costs_delay(stability: int, cost: int):
    """One change is charged with a delay of the stability minutes, jumps included."""
    day = with_station(DAY, stability_minutes=stability)
    before = with_row(PLAN, "B2", fan_jobs=())
    plan = claiming(PLAN, 0, cost, 1, 51)
    assert codes_of(plan, replace(day, now_minute=600), before) == []
    assert codes_of(plan, replace(day, now_minute=600)) == []
    wrong = claiming(PLAN, 0, cost + 1, 1, 51)
    assert codes_of(wrong, replace(day, now_minute=600), before) == [Code.OBJECTIVE]
    assert codes_of(wrong, replace(day, now_minute=600)) == [Code.OBJECTIVE]
    told = replace(plan, now_minute=600)
    assert codes_of(told, day) == codes_of(told, day, before) == []
    assert codes_of(replace(wrong, now_minute=600), day) == [Code.OBJECTIVE]
    assert codes_of(claiming(PLAN, 0, 40, 1, 51), day, before) == []


@pytest.mark.parametrize(("tolerance", "changes"), [(0, 1), (1, 1), (2, 0)])
def test_small_moves_are_no_change(tolerance: int, changes: int):
    """A1 was published two minutes later."""
    day = with_station(DAY, tolerance_minutes=tolerance)
    for before in (moved(PLAN, "A1", 642), moved(PLAN, "A1", 638)):
        assert codes_of(claiming(PLAN, 0, 40, changes, 51), day, before) == []
        wrong = claiming(PLAN, 0, 40, 1 - changes, 51)
        assert codes_of(wrong, day, before) == [Code.OBJECTIVE]


def test_what_counts_as_a_change():
    """Held or not, another job, rollout or beginning of work is one, a tow is none."""
    day = with_station(DAY, tolerance_minutes=600)
    work = PlannedDuty(
        task=Task.PLUG_CHECK, crew=None, start_minute=610, end_minute=630
    )
    held = {"off_block_minute": None, "take_off_minute": None, "delay_minutes": None}
    for name, changes, count in (
        ("A1", held, 1),
        ("B2", {"fan_jobs": (make_job(end_minute=644),)}, 1),
        ("B2", {"fan_jobs": (make_job(units=1),)}, 1),
        ("A1", {"rollout": "full length"}, 1),
        ("A1", {"duties": (work,)}, 1),
        ("A1", {"towed": True}, 0),
        ("A1", {"off_block_minute": 700}, 0),
    ):
        before = with_row(PLAN, name, **changes)
        assert codes_of(claiming(PLAN, 0, 40, count, 51), day, before) == []


@pytest.mark.parametrize("minute", [612, 619])
def test_held_where_leaving_costs_as_much(minute: int):
    """Being held is no fault where each minute breaks rules of the same weight."""
    limit = Departure(ctot_minute=620, crew_limit_minute=minute)
    day = with_given(DAY, "E5", departure=limit)
    pins = (
        Pin(turnaround_id="E5", kind=Pinned.NOT_BEFORE, minute=900),
        Pin(turnaround_id="E5", kind=Pinned.NO_FAN),
    )
    plan = with_row(
        PLAN,
        "E5",
        brake_ready_minute=700,
        off_block_minute=None,
        take_off_minute=None,
        delay_minutes=None,
        waits_for=WaitsFor.BRAKES,
        relaxed=(Relaxation.HELD,),
    )
    plan = claiming(plan, 4, 30, 0, 51, status=Status.RELAXED)
    assert codes_of(plan, replace(day, pins=pins)) == []
    assert codes_of(plan, replace(day, pins=pins[1:])) == [Code.HELD]


def test_peaks_follow_from_brakes_and_curves():
    """A peak below its own curve, or another one than its brakes have, is a fault."""
    heat = PLAN.of("A1").heat
    assert heat is not None
    curve = Curve(
        position="2",
        minutes=(600, 610),
        stack_c=(400.0, 410.0),
        wheel_c=(60.0, 140.0),
        plug_c=(50.0, 120.0),
        indicated_c=(300.0, 390.0),
    )
    shown = replace(heat, curves=(curve,))
    assert codes_of(with_row(PLAN, "A1", heat=shown), DAY) == []
    for changes in (
        {"stack_c": (400.0, 410.2)},
        {"wheel_c": (140.2, 100.0)},
        {"plug_c": (50.0, 121.0)},
    ):
        above = replace(heat, curves=(replace(curve, **changes),))
        assert codes_of(with_row(PLAN, "A1", heat=above), DAY) == [Code.FIGURE]
    other = replace(heat, stack_peak_c=409.0)
    assert codes_of(with_row(PLAN, "A1", heat=other), DAY) == [Code.FIGURE]


def test_wishes_leave_the_rest_alone():
    """A check logged at A1 and a taxi time as given change nothing."""
    day = replace(DAY, checks=(PlugCheck(turnaround_id="A1", minute=630),))
    given = Departure(taxi_out_minutes=TAXI_OUT_MINUTES)
    assert codes_of(PLAN, with_given(day, "A1", departure=given)) == []
