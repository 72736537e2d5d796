"""One fault per rule: the verifier names exactly the rule that was broken."""

from dataclasses import replace
from functools import partial

import pytest
from good_plan import (
    acted,
    claiming,
    make_day,
    make_heat,
    make_job,
    make_plan,
    make_row,
    make_turnaround,
    moved,
    with_row,
)

from scheduler import verify
from scheduler.day import Basis, Curfew, CurfewEvent, Day, Departure, PlugCheck
from scheduler.options import Limit
from scheduler.plan import Plan, Progress, Relaxation, Status, WaitsFor
from scheduler.verify import Code, Violation

check_decisions = partial(verify.check_decisions, with_heat=False)

DAY = make_day()
PLAN = make_plan(DAY)


def check(day: Day, plan: Plan, published: Plan | None = None) -> tuple[Violation, ...]:
    """Check a plan whose actions follow its rows, unless a test has other actions."""
    told = acted(day, plan) if plan.actions == PLAN.actions else plan
    return verify.check(day, told, published, with_heat=False)


def codes(plan: Plan, day: Day = DAY, published: Plan | None = None) -> list[Code]:
    return sorted({fault.code for fault in check(day, plan, published)})


def with_given(name: str, **changes: object) -> Day:
    """The day with fields of one turnaround replaced."""
    given = tuple(
        replace(one, **changes) if one.id == name else one for one in DAY.turnarounds
    )
    return replace(DAY, turnarounds=given)


def with_station(**changes: object) -> Day:
    """The day with fields of the station replaced."""
    return replace(DAY, station=replace(DAY.station, **changes))


def with_job(**changes: object) -> Plan:
    """The plan with another fan job for B2, its effort claimed rightly."""
    job = make_job(**changes)
    effort = job.units * (job.end_minute - job.start_minute) + 1
    plan = with_row(PLAN, "B2", fan_jobs=(job,))
    return claiming(plan, 0, 40, 0, effort)


def held(*relaxed: Relaxation, name: str = "E5", **changes: object) -> Plan:
    """The plan with one aircraft held, E5 unless said otherwise."""
    row = {
        "brake_ready_minute": None,
        "brake_ready_still_air_minute": None,
        "off_block_minute": None,
        "take_off_minute": None,
        "delay_minutes": None,
        "waits_for": WaitsFor.BRAKES,
        "relaxed": relaxed,
    }
    plan = with_row(PLAN, name, **{**row, **changes})
    return claiming(plan, 4, 30, 0, 51, status=Status.RELAXED)


def test_the_good_plan_passes():
    """The plan worked out by hand has no fault."""
    assert check(DAY, PLAN) == ()


def test_decisions_alone_need_no_cautions():
    """A plan before its action list and cautions passes the check of its decisions."""
    bare = replace(PLAN, cautions=(), actions=())
    assert check_decisions(DAY, bare) == ()
    assert codes(replace(PLAN, cautions=())) == [Code.CAUTIONS]


@pytest.mark.parametrize("cautions", [(), ("",), (" ", "\n")])
def test_cautions_must_be_there(cautions: tuple[str, ...]):
    """A plan without a word of caution is a fault."""
    assert codes(replace(PLAN, cautions=cautions)) == [Code.CAUTIONS]


def test_missing_turnaround():
    """A turnaround of the day without a row is a fault."""
    rest = tuple(row for row in PLAN.turnarounds if row.id != "A1")
    assert codes(replace(PLAN, turnarounds=rest)) == [Code.MISSING]


def test_unknown_turnaround():
    """A row for a turnaround that the day does not have is a fault."""
    stranger = replace(PLAN.of("A1"), id="Z9")
    more = replace(PLAN, turnarounds=(*PLAN.turnarounds, stranger))
    assert codes(more) == [Code.UNKNOWN]


def test_duplicate_turnaround():
    """A second row of the same id is a fault, and only once."""
    twice = replace(PLAN, turnarounds=(*PLAN.turnarounds, PLAN.of("A1")))
    assert codes(twice) == [Code.DUPLICATE]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("tail", "X-Z9"),
        ("stand", "S3"),
        ("in_block_minute", 601),
        ("target_off_block_minute", 639),
    ],
)
def test_given_data_must_be_repeated_rightly(field: str, value: object):
    """A row that tells tail, stand, in-block or target otherwise is a fault."""
    assert codes(with_row(PLAN, "A1", **{field: value})) == [Code.IDENTITY]


def test_plan_of_another_day():
    """A plan of another date is a fault; a folder may have been renamed."""
    assert codes(replace(PLAN, day="2026-07-15")) == [Code.WRONG_DAY]
    assert codes(replace(PLAN, scenario="renamed")) == []


def test_plan_of_another_confidence():
    """A plan computed with less confidence than the station asks for is a fault."""
    assert codes(replace(PLAN, limit_confidence=0.9)) == [Code.CONFIDENCE]


def test_off_block_before_target():
    """Leaving before ground handling ends is a fault."""
    early = moved(PLAN, "A1", 639, waits_for=WaitsFor.SLOT)
    assert codes(early) == [Code.TARGET]


@pytest.mark.parametrize("ready", [641, None])
def test_off_block_before_brake_ready(ready: int | None):
    """Leaving before the brakes let it, or though they never do, is a fault."""
    plan = with_row(
        PLAN, "A1", brake_ready_minute=ready, brake_ready_still_air_minute=ready
    )
    assert codes(plan) == [Code.BRAKE_READY]


def test_brake_ready_without_a_fan_is_the_still_air_one():
    """A row without a fan job cannot be ready before still air lets it."""
    plan = with_row(PLAN, "A1", brake_ready_still_air_minute=630)
    assert codes(plan) == [Code.STILL_AIR]


def test_brake_ready_never_before_the_operators_table():
    """The approved table counts where it is later than the model."""
    good = with_given("A1", departure=Departure(table_minutes=20))
    assert codes(PLAN, good) == []
    late = with_given("A1", departure=Departure(table_minutes=21))
    assert codes(PLAN, late) == [Code.TABLE]


def test_off_block_after_the_horizon():
    """An off-block that nobody looked at the limits for is a fault."""
    assert codes(PLAN, with_station(hold_minutes=60)) == []
    assert codes(PLAN, with_station(hold_minutes=59)) == [Code.HORIZON]


@pytest.mark.parametrize("changes", [{"take_off_minute": 651}, {"delay_minutes": 1}])
def test_arithmetic(changes: dict[str, int]):
    """A take-off or delay that does not follow from off-block is a fault."""
    assert codes(with_row(PLAN, "A1", **changes)) == [Code.ARITHMETIC]


def test_departed_aircraft_stays_as_it_left():
    """An aircraft that is gone cannot be moved."""
    assert codes(moved(PLAN, "D4", 656)) == [Code.DEPARTED]


def test_departed_aircraft_gets_no_fan():
    """A fan for an aircraft that is gone is a fault."""
    job = make_job(fan_type="pit", units=1, start_minute=600, end_minute=610)
    plan = claiming(with_row(PLAN, "D4", fan_jobs=(job,)), 0, 40, 0, 62)
    assert codes(plan) == [Code.DEPARTED]


def test_runway_spacing():
    """Two take-offs nearer than the spacing are a fault, two minutes are enough."""
    near = make_day((*DAY.turnarounds, make_turnaround("F6", "S3", 700, 731)))
    for off_block, found in ((731, [Code.RUNWAY_SPACING]), (732, [])):
        last = make_row(near.turnarounds[-1], off_block, 700)
        last = replace(
            last,
            waits_for=WaitsFor.SLOT if off_block == 732 else WaitsFor.NOTHING,
        )
        plan = make_plan(
            near, (*PLAN.turnarounds, last), (0, 40 + off_block - 731, 0, 51)
        )
        assert codes(plan, near) == found


def test_runway_spacing_holds_against_a_departed_aircraft():
    """A take-off that is a fact keeps its distance from planned ones."""
    close = with_given("D4", target_off_block_minute=651)
    row = make_row(close.turnarounds[3], 651, None)
    rows = tuple(row if one.id == "D4" else one for one in PLAN.turnarounds)
    assert codes(replace(PLAN, turnarounds=rows), close) == [Code.RUNWAY_SPACING]


def test_two_departed_aircraft_need_no_spacing():
    """What has happened is no fault of the plan."""
    other = make_turnaround("F6", "S3", 520, 555, off_block_basis=Basis.ACTUAL)
    twin = make_turnaround("G7", "S2", 520, 555, off_block_basis=Basis.ACTUAL)
    day = make_day((*DAY.turnarounds, other, twin))
    rows = (*PLAN.turnarounds, make_row(other, 555, None), make_row(twin, 555, None))
    assert codes(make_plan(day, rows), day) == []


def test_runway_spacing_is_checked_on_all_pairs():
    """A gap that neighbours keep can be broken over one of them: every pair counts."""
    other = make_turnaround("F6", "S3", 520, 640, off_block_basis=Basis.ACTUAL)
    twin = make_turnaround("G7", "S3", 521, 641, off_block_basis=Basis.ACTUAL)
    day = make_day((*DAY.turnarounds, other, twin))
    day = replace(day, station=replace(day.station, stand_buffer_minutes=-999))
    rows = (*PLAN.turnarounds, make_row(other, 640, None), make_row(twin, 641, None))
    faults = check(day, make_plan(day, rows))
    assert [fault.code for fault in faults] == [Code.RUNWAY_SPACING] * 2
    assert {fault.expected for fault in faults} == {
        "2 minutes from F6",
        "2 minutes from G7",
    }


def test_take_off_before_the_slot():
    """Five minutes before the CTOT is the earliest take-off."""
    early = with_given("E5", departure=Departure(ctot_minute=746))
    assert codes(PLAN, early) == [Code.CTOT_EARLY]


def test_take_off_after_the_slot_must_be_said():
    """Eleven minutes after the CTOT needs a new slot, in words."""
    late = with_given("E5", departure=Departure(ctot_minute=729))
    silent = claiming(PLAN, 1, 40, 0, 51)
    assert codes(PLAN, with_given("E5", departure=Departure(ctot_minute=730))) == []
    assert codes(silent, late) == [Code.CTOT_LATE]
    said = with_row(silent, "E5", relaxed=(Relaxation.CTOT,))
    assert codes(said, late) == [Code.STATUS]
    assert codes(replace(said, status=Status.RELAXED), late) == []


@pytest.mark.parametrize("rule", [Relaxation.CTOT, Relaxation.STAND])
def test_relaxation_that_is_not_needed(rule: Relaxation):
    """A rule said to be broken that holds is a fault."""
    plan = with_row(PLAN, "E5", relaxed=(rule,))
    assert codes(replace(plan, status=Status.RELAXED)) == [Code.RELAXATION]


@pytest.mark.parametrize("rule", [Relaxation.HELD, Relaxation.CURFEW])
def test_flying_aircraft_is_not_held(rule: Relaxation):
    """A row with an off-block cannot be said to be held."""
    plan = with_row(PLAN, "E5", relaxed=(rule,))
    assert codes(replace(plan, status=Status.RELAXED)) == [Code.RELAXATION]


@pytest.mark.parametrize(
    ("event", "first", "last"),
    [(CurfewEvent.TAKE_OFF, 740, 740), (CurfewEvent.OFF_BLOCK, 730, 730)],
)
def test_curfew(event: CurfewEvent, first: int, last: int):
    """Neither the first nor the last minute of a curfew is open to its event."""
    for start, end, found in (
        (first, last + 1, [Code.CURFEW]),
        (first - 1, first, []),
        (last + 1, last + 2, []),
        (first - 5, last + 1, [Code.CURFEW]),
    ):
        curfew = Curfew(from_minute=start, to_minute=end, event=event)
        assert codes(PLAN, with_station(curfews=(curfew,))) == found


def test_stand_must_be_free_for_the_next_arrival():
    """The buffer before the next arrival counts, and a conflict must be said."""
    assert codes(PLAN, with_station(stand_buffer_minutes=20)) == []
    day = with_station(stand_buffer_minutes=21)
    silent = claiming(PLAN, 1, 40, 0, 51)
    assert codes(silent, day) == [Code.STAND]
    said = with_row(silent, "A1", relaxed=(Relaxation.STAND,))
    assert codes(replace(said, status=Status.RELAXED), day) == []


def test_held_aircraft_that_keeps_a_stand_says_so():
    """A held aircraft blocks the next arrival on its stand."""
    plan = held(Relaxation.HELD, name="A1", waits_for=WaitsFor.BRAKES)
    plan = claiming(plan, 5, 40, 0, 51)
    assert codes(plan) == [Code.STAND]
    both = with_row(plan, "A1", relaxed=(Relaxation.HELD, Relaxation.STAND))
    assert codes(both) == []


def test_held_aircraft_passes():
    """An aircraft whose brakes are never ready may be held."""
    assert codes(held(Relaxation.HELD)) == []


@pytest.mark.parametrize(
    "relaxed", [(), (Relaxation.HELD, Relaxation.CURFEW), (Relaxation.HELD,) * 2]
)
def test_held_aircraft_has_one_reason(relaxed: tuple[Relaxation, ...]):
    """Holding is named once, as held or as curfew."""
    assert Code.HELD in codes(held(*relaxed))


def test_held_aircraft_gets_no_fan():
    """A fan on a held aircraft helps nothing."""
    job = make_job(fan_type="pit", units=1, start_minute=690, end_minute=700)
    plan = with_row(held(Relaxation.HELD), "E5", fan_jobs=(job,))
    assert codes(claiming(plan, 4, 30, 0, 62)) == [Code.HELD]


def test_held_though_a_minute_is_free():
    """An aircraft with a free minute after its brakes are ready may not be held."""
    plan = held(
        Relaxation.HELD, brake_ready_minute=700, brake_ready_still_air_minute=700
    )
    faults = check(DAY, plan)
    assert [fault.code for fault in faults] == [Code.HELD]
    assert faults[0].got == "held, though 12:10 is free"


@pytest.mark.parametrize(("ready", "found"), [(800, [Code.HELD]), (801, [])])
def test_last_minute_of_the_horizon_is_free(ready: int, found: list[Code]):
    """The horizon's last minute counts as free, the one after it does not."""
    minutes = {"brake_ready_minute": ready, "brake_ready_still_air_minute": ready}
    assert codes(held(Relaxation.HELD, **minutes)) == found


def test_held_by_a_curfew_alone_is_called_so():
    """Where every minute falls into a curfew, the reason is the curfew."""
    day = with_station(curfews=(Curfew(from_minute=735, to_minute=2000),))
    ready = {"brake_ready_minute": 730, "brake_ready_still_air_minute": 730}
    assert codes(held(Relaxation.HELD, **ready), day) == [Code.HELD]
    called = held(Relaxation.CURFEW, waits_for=WaitsFor.SLOT, **ready)
    assert codes(called, day) == []


def test_curfew_that_is_not_near_is_no_reason():
    """A curfew outside the horizon holds nobody."""
    plan = held(Relaxation.CURFEW, waits_for=WaitsFor.SLOT)
    assert codes(plan) == [Code.HELD]


def test_held_with_a_full_runway_is_no_fault():
    """Where every minute is taken by another take-off, holding is right."""
    day = with_station(hold_minutes=60)
    day = replace(
        day,
        turnarounds=tuple(
            replace(one, departure=Departure()) if one.id == "E5" else one
            for one in day.turnarounds
        ),
    )
    ready = {"brake_ready_minute": 740, "brake_ready_still_air_minute": 740}
    assert codes(held(Relaxation.HELD, **ready), day) == [Code.HELD]
    other = make_turnaround("F6", "S3", 700, 740)
    full = replace(
        day,
        turnarounds=(*day.turnarounds, other),
        tails=(*day.tails, replace(day.tails[0], registration="X-F6")),
    )
    plan = held(Relaxation.HELD, **ready)
    plan = replace(plan, turnarounds=(*plan.turnarounds, make_row(other, 740, 720)))
    assert codes(plan, full) == []
    for off_block, found in ((741, []), (742, [Code.HELD])):
        other = make_turnaround("F6", "S3", 700, off_block)
        given = (*full.turnarounds[:-1], other)
        near = replace(full, turnarounds=given)
        rows = (*plan.turnarounds[:-1], make_row(other, off_block, 720))
        assert codes(replace(plan, turnarounds=rows), near) == found


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({"fan_type": "broom"}, Code.FAN_TYPE),
        ({"units": 0}, Code.FAN_WINDOW),
        ({"end_minute": 620}, Code.FAN_WINDOW),
        ({"units": 3}, Code.FAN_CAPACITY),
        ({"start_minute": 614}, Code.FAN_APPROACH),
        ({"end_minute": 649}, Code.FAN_REMOVAL),
        ({"fan_type": "pit", "units": 1, "start_minute": 604}, Code.FAN_IN_BLOCK),
    ],
)
def test_fan_job(changes: dict[str, object], found: Code):
    """A fan job with one fault is refused for that fault."""
    assert codes(with_job(**changes)) == [found]


def test_fan_jobs_at_their_limits_pass():
    """Set-up at the approach minute and removal at off-block are allowed."""
    assert codes(with_job(start_minute=615, end_minute=648)) == []
    assert codes(with_job(fan_type="pit", units=1, start_minute=605)) == []


@pytest.mark.parametrize(
    ("opens", "closes", "found"),
    [(617, 647, []), (618, 647, [Code.FAN_HOURS]), (617, 646, [Code.FAN_HOURS])],
)
def test_fan_service_hours(opens: int, closes: int, found: list[Code]):
    """Set-up and removal lie within the service hours."""
    cart = replace(DAY.station.fans[0], from_minute=opens, to_minute=closes)
    day = with_station(fans=(cart, DAY.station.fans[1]))
    assert codes(PLAN, day) == found


def test_removal_after_brake_ready():
    """Brake-ready includes the removal, even where off-block is later."""
    plan = moved(PLAN, "B2", 652, brake_ready_minute=646, waits_for=WaitsFor.SLOT)
    assert codes(claiming(plan, 0, 42, 0, 51)) == [Code.FAN_REMOVAL]


def test_nobody_is_sent_where_approach_is_never_met():
    """Without an approach minute a fan with people is refused, a remote one not."""
    none = {"approach_minute": None}
    assert codes(with_row(PLAN, "B2", **none)) == [Code.FAN_APPROACH]
    remote = with_row(with_job(fan_type="pit", units=1), "B2", **none)
    assert codes(remote) == []


def test_approach_not_before_the_operators_minutes():
    """The minutes after in-block that the operator asks for are kept."""
    assert codes(with_row(PLAN, "A1", approach_minute=605)) == []
    assert codes(with_row(PLAN, "A1", approach_minute=604)) == [Code.APPROACH]


@pytest.mark.parametrize(
    ("probability", "at_raised", "is_sent"),
    [
        (0.005, False, True),
        (0.05, False, False),
        (0.05, True, True),
        (0.2, True, False),
    ],
)
def test_nobody_is_sent_at_plug_risk(
    probability: float, at_raised: bool, is_sent: bool
):
    """At raised risk only with the operator's leave, at high risk never."""
    day = with_station(approach=replace(DAY.station.approach, at_raised=at_raised))
    found = codes(with_row(PLAN, "B2", heat=make_heat(probability)), day)
    assert (Code.FAN_APPROACH not in found) is is_sent
    assert (Code.PLUG_RISK in found) is (probability >= 0.01)


def test_fan_capacity_counts_set_up_removal_and_move():
    """A unit is taken until it has moved on, and free in the next minute."""
    for start, found in ((654, [Code.FAN_CAPACITY]), (655, [])):
        job = make_job(units=1, start_minute=start, end_minute=665)
        plan = with_row(PLAN, "A1", fan_jobs=())
        row = replace(
            plan.of("C3"),
            approach_minute=640,
            fan_jobs=(replace(job, start_minute=start),),
        )
        day = with_given("C3", in_block_minute=646)
        row = replace(row, in_block_minute=646, approach_minute=651)
        rows = tuple(row if one.id == "C3" else one for one in plan.turnarounds)
        plan = claiming(replace(plan, turnarounds=rows), 0, 40, 0, 51 + 665 - start + 1)
        assert codes(plan, day) == found


def test_fan_capacity_names_users_and_stretch():
    """One stretch of too many units is one fault with its users and minutes."""
    cart = replace(DAY.station.fans[0], units=1)
    faults = check(DAY, PLAN)
    assert faults == ()
    (fault,) = check(with_station(fans=(cart, DAY.station.fans[1])), PLAN)
    assert str(fault) == (
        "the day: fan cart from 10:17 to 10:52: expected at most 1 units, "
        "got 2 for B2 (fan capacity)"
    )


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("A1", {"waits_for": WaitsFor.BRAKES}),
        ("B2", {"waits_for": WaitsFor.SLOT}),
        ("B2", {"waits_for": WaitsFor.NOTHING}),
        ("B2", {"waits_for": WaitsFor.CHECK}),
        ("C3", {"waits_for": WaitsFor.FAN}),
        ("C3", {"waits_for": WaitsFor.STAND}),
        ("D4", {"waits_for": WaitsFor.SLOT}),
        ("B2", {"binding_limit": Limit.PLUG_CHECK}),
    ],
)
def test_waits_for(name: str, changes: dict[str, object]):
    """A reason that the minutes contradict is a fault."""
    assert codes(with_row(PLAN, name, **changes)) == [Code.WAITS_FOR]


def test_nothing_but_a_fan_needs_a_fan_that_can_be_sent():
    """Waiting for a fan is refused where none could be sent and it has landed."""
    remote_only = replace(DAY.station.fans[1], name="cart", units=2)
    row = {"approach_minute": None, "waits_for": WaitsFor.FAN}
    plan = with_row(PLAN, "B2", **row)
    assert codes(plan, with_station(fans=(remote_only,))) == []
    manned = with_station(fans=(DAY.station.fans[0],))
    assert codes(plan, manned) == [Code.FAN_APPROACH]
    landed = with_given("B2", in_block_basis=Basis.ACTUAL)
    landed = replace(landed, station=manned.station)
    there = with_row(plan, "B2", progress=Progress.IN_BLOCK)
    assert codes(there, landed) == [Code.FAN_APPROACH, Code.WAITS_FOR]


@pytest.mark.parametrize(
    ("limit", "relaxed", "reason"),
    [
        (Limit.STOPPING, Relaxation.HELD, WaitsFor.BRAKES),
        (Limit.PLUG_CHECK, Relaxation.HELD, WaitsFor.CHECK),
    ],
)
def test_held_aircraft_waits_for(limit: Limit, relaxed: Relaxation, reason: WaitsFor):
    """A held aircraft waits for a check if that binds, else for its brakes."""
    plan = held(relaxed, binding_limit=limit)
    right = with_row(plan, "E5", waits_for=reason)
    assert codes(right) == []
    for other in set(WaitsFor) - {reason}:
        assert codes(with_row(plan, "E5", waits_for=other)) == [Code.WAITS_FOR]


def test_flight_that_waits_for_brakes_names_the_limit():
    """Waiting for brakes without saying which limit binds is a fault."""
    assert codes(with_row(PLAN, "B2", binding_limit=None)) == [Code.LIMIT]
    assert codes(with_row(PLAN, "A1", binding_limit=None)) == []


@pytest.mark.parametrize("probability", [0.01, 0.1, 0.5])
def test_plug_risk(probability: float):
    """Nobody leaves at raised risk or worse without a logged check."""
    plan = with_row(PLAN, "A1", heat=make_heat(probability))
    assert codes(plan) == [Code.PLUG_RISK]
    checked = replace(DAY, checks=(PlugCheck(turnaround_id="A1", minute=640),))
    assert codes(plan, checked) == []
    late = replace(DAY, checks=(PlugCheck(turnaround_id="A1", minute=641),))
    assert codes(plan, late) == [Code.PLUG_RISK]
    other = replace(DAY, checks=(PlugCheck(turnaround_id="C3", minute=640),))
    assert codes(plan, other) == [Code.PLUG_RISK]


def test_plug_risk_of_one_brake_counts():
    """A summary that is lower than one of its brakes hides nothing."""
    heat = replace(make_heat(0.001), brakes=make_heat(0.3).brakes)
    assert codes(with_row(PLAN, "A1", heat=heat)) == [Code.PLUG_RISK]


@pytest.mark.parametrize("status", [Status.RELAXED])
def test_status_relaxed_needs_a_relaxation(status: Status):
    """Saying relaxed where every rule holds is a fault."""
    assert codes(replace(PLAN, status=status)) == [Code.STATUS]


@pytest.mark.parametrize("status", [Status.OPTIMAL, Status.FEASIBLE, Status.FALLBACK])
def test_a_relaxed_plan_says_so(status: Status):
    """A plan that breaks a rule has no other status than relaxed."""
    plan = held(Relaxation.HELD)
    assert codes(replace(plan, status=status)) == [Code.STATUS]


def test_optimal_needs_a_bound():
    """Optimal with an open gap is a fault, feasible is not."""
    proof = replace(PLAN.proof, bound=(0, 39, 0, 0))
    assert codes(replace(PLAN, proof=proof)) == [Code.STATUS]
    assert codes(replace(PLAN, proof=proof, status=Status.FEASIBLE)) == []


@pytest.mark.parametrize(
    "objective",
    [(1, 40, 0, 51), (0, 39, 0, 51), (0, 41, 0, 51), (0, 40, 0, 50), (0, 40, 6, 51)],
)
def test_objective_is_computed_again(objective: tuple[int, ...]):
    """A stage that is not what the rows amount to is a fault."""
    assert codes(claiming(PLAN, *objective)) == [Code.OBJECTIVE]


@pytest.mark.parametrize("stages", [(), (0, 40, 0), (0, 40, 0, 51, 0)])
def test_objective_has_four_stages(stages: tuple[int, ...]):
    """Too few or too many stages are a fault."""
    assert codes(claiming(PLAN, *stages)) == [Code.OBJECTIVE]


def test_changes_are_counted_against_the_published_plan():
    """A moved off-block and another fan job are a change each, in one row one."""
    before = moved(PLAN, "A1", 641)
    before = moved(before, "B2", 651, fan_jobs=())
    before = with_row(before, "C3", fan_jobs=(make_job(),))
    assert codes(claiming(PLAN, 0, 40, 3, 51), published=before) == []
    assert codes(PLAN, published=before) == [Code.OBJECTIVE]


def test_a_flight_that_is_new_is_no_change():
    """A turnaround that the published plan did not have has not changed."""
    before = replace(PLAN, turnarounds=PLAN.turnarounds[1:])
    assert codes(PLAN, published=before) == []


@pytest.mark.parametrize("stage", range(4))
def test_bound_above_objective(stage: int):
    """A bound that is worse than what was found is a fault."""
    bound = list(PLAN.proof.objective)
    bound[stage] += 1
    proof = replace(PLAN.proof, bound=tuple(bound))
    plan = replace(PLAN, proof=proof, status=Status.FEASIBLE)
    assert codes(plan) == [Code.BOUND]


@pytest.mark.parametrize(
    ("delay", "cost"), [(14, 14), (15, 15), (16, 17), (29, 43), (30, 95), (31, 97)]
)
def test_delay_cost_with_a_jump(delay: int, cost: int):
    """Rates by hand: 1 up to 15 minutes, then 2, and 50 on top from 30 minutes on."""
    off_block = 640 + delay
    rows = (make_row(DAY.turnarounds[0], off_block, off_block),)
    day = replace(DAY, turnarounds=DAY.turnarounds[:1], tails=DAY.tails[:1])
    row = replace(rows[0], waits_for=WaitsFor.BRAKES)
    plan = make_plan(day, (row,), (0, cost, 0, 0))
    plan = replace(plan, actions=())
    found = {fault.code for fault in check(day, plan)}
    assert Code.OBJECTIVE not in found
    wrong = claiming(plan, 0, cost + 1, 0, 0)
    assert Code.OBJECTIVE in {fault.code for fault in check(day, wrong)}


@pytest.mark.parametrize(
    "changes", [{"turnaround_id": "Z9"}, {"stand": "S2"}, {"do_by_minute": 611}]
)
def test_action(changes: dict[str, object]):
    """An action of nobody, at another stand or due before it starts is a fault."""
    action = replace(PLAN.actions[-1], turnaround_id="A1", stand="S1")
    action = replace(action, minute=612, do_by_minute=612)
    assert codes(replace(PLAN, actions=(*PLAN.actions, action))) == []
    wrong = replace(action, **changes)
    assert codes(replace(PLAN, actions=(*PLAN.actions, wrong))) == [Code.ACTION]


@pytest.mark.parametrize("what", ["start the fan", "take the fan away"])
def test_fan_job_is_somebodys_task(what: str):
    """A fan that nobody starts or takes away is a fault."""
    rest = tuple(action for action in PLAN.actions if action.what != what)
    assert len(rest) == len(PLAN.actions) - 1
    assert codes(replace(PLAN, actions=rest)) == [Code.ACTION]


@pytest.mark.parametrize("rule", [Relaxation.HELD, Relaxation.STAND])
def test_what_goes_wrong_is_somebodys_task(rule: Relaxation):
    """A held aircraft or a stand in use that nobody is told of is a fault."""
    day = with_station(stand_buffer_minutes=21)
    plan = claiming(PLAN, 1, 40, 0, 51, status=Status.RELAXED)
    plan = with_row(plan, "A1", relaxed=(Relaxation.STAND,))
    name = "A1"
    if rule is Relaxation.HELD:
        day, plan, name = DAY, held(Relaxation.HELD), "E5"
    plan = acted(day, plan)
    assert codes(plan, day) == []
    rest = tuple(action for action in plan.actions if action.turnaround_id != name)
    assert codes(replace(plan, actions=rest), day) == [Code.ACTION]


def test_an_aircraft_held_past_its_horizon_has_its_task():
    """An action due at a target after the horizon is one to hold the aircraft."""
    day = replace(DAY, station=replace(DAY.station, hold_minutes=60))
    day = replace(
        day,
        turnarounds=tuple(
            replace(one, target_off_block_minute=790) if one.id == "E5" else one
            for one in day.turnarounds
        ),
    )
    plan = held(Relaxation.HELD, target_off_block_minute=790)
    assert codes(plan, day) == []


def test_all_faults_are_reported_at_once():
    """Three faults in three rows are three violations."""
    plan = moved(PLAN, "A1", 639, waits_for=WaitsFor.SLOT)
    plan = with_row(plan, "B2", waits_for=WaitsFor.NOTHING)
    plan = with_row(plan, "C3", take_off_minute=731)
    assert [(fault.turnaround_id, fault.code) for fault in check(DAY, plan)] == [
        ("A1", Code.TARGET),
        ("C3", Code.ARITHMETIC),
        ("B2", Code.WAITS_FOR),
    ]


def test_unreadable_minutes_are_told_alone():
    """Nothing else is judged of decisions whose minutes cannot be read."""
    plan = with_row(PLAN, "A1", off_block_minute="640", waits_for=WaitsFor.CREW)
    assert [fault.code for fault in check_decisions(DAY, plan)] == [Code.NUMBER]


def test_messages_name_the_last_minute_of_a_slot():
    """The slot ends ten minutes after the CTOT."""
    late = with_given("E5", departure=Departure(ctot_minute=729))
    fault = next(f for f in check(late, PLAN) if f.code is Code.CTOT_LATE)
    assert fault.expected == "12:19 or earlier, or said to need a new slot"


def test_held_without_a_reason_reads_so():
    """A held aircraft without a reason is told with the two reasons there are."""
    fault = next(f for f in check(DAY, held()) if f.code is Code.HELD)
    assert (fault.expected, fault.got) == ("either held or curfew", "neither")


def test_violation_reads_as_one_line():
    """A violation says who, where, what was expected, what is there and which rule."""
    (fault,) = check(DAY, moved(PLAN, "A1", 639, waits_for=WaitsFor.SLOT))
    assert str(fault) == (
        "A1: off-block: expected 10:40 or later, got 10:39 (off-block before target)"
    )


@pytest.mark.parametrize(
    ("ready", "reason"),
    [(646, WaitsFor.SLOT), (648, WaitsFor.SLOT), (649, WaitsFor.BRAKES)],
)
def test_the_larger_share_of_a_delay_has_to_be_named(ready: int, reason: WaitsFor):
    """B2 could go at 645 and leaves at 653; from the middle on it is the brakes."""
    plan = with_row(
        moved(PLAN, "B2", 653, brake_ready_minute=ready),
        "B2",
        fan_jobs=(),
        brake_ready_still_air_minute=ready,
    )
    for other in (WaitsFor.SLOT, WaitsFor.BRAKES, WaitsFor.CHECK):
        found = [Code.WAITS_FOR] if other is not reason else []
        told = codes(with_row(plan, "B2", waits_for=other))
        assert [code for code in told if code is Code.WAITS_FOR] == found


def test_the_operators_table_is_the_brakes():
    """No fan makes an approved table shorter, so nobody waits for one."""
    told = with_row(PLAN, "B2", binding_limit=Limit.TABLE, waits_for=WaitsFor.FAN)
    assert codes(told) == [Code.WAITS_FOR]
