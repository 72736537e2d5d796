"""Random changes of one good plan, judged by a second evaluation written here."""

from dataclasses import replace
from functools import partial

from good_plan import TAXI_OUT_MINUTES, make_day, make_job, make_plan, moved, with_row
from hypothesis import example, given
from hypothesis import strategies as st

from scheduler import verify
from scheduler.day import Day, Departure
from scheduler.plan import Plan, Relaxation
from scheduler.verify import Code

check_decisions = partial(verify.check_decisions, with_heat=False)

BASE = make_day()
DAY = replace(
    BASE,
    turnarounds=(
        *BASE.turnarounds[:2],
        replace(BASE.turnarounds[2], departure=Departure(ctot_minute=730)),
        *BASE.turnarounds[3:],
    ),
)
PLAN = make_plan(DAY)
JUDGED = {
    Code.TARGET,
    Code.BRAKE_READY,
    Code.HORIZON,
    Code.CTOT_EARLY,
    Code.CTOT_LATE,
    Code.RELAXATION,
    Code.CURFEW,
    Code.STAND,
    Code.RUNWAY_SPACING,
    Code.FAN_APPROACH,
    Code.FAN_CAPACITY,
    Code.FAN_HOURS,
    Code.FAN_IN_BLOCK,
    Code.FAN_REMOVAL,
    Code.FAN_WINDOW,
}
PLANNED = ("A1", "B2", "C3", "E5")
MINUTES = st.integers(560, 860)


def found(day: Day, plan: Plan) -> set[Code]:
    """Codes of the verifier among those that are judged here."""
    return {fault.code for fault in check_decisions(day, plan)} & JUDGED


def broken(plan: Plan) -> set[Code]:
    """Rules of the invented day that a plan breaks, with that day's own numbers.

    Runway spacing 2, taxi 10, horizon in-block + 120, curfew 700 to 729, buffer 5,
    stands A1 before C3 and B2 before E5, slots C3 725 to 740 and E5 740 to 755, cart
    with 2 units from 500 to 1000, set-up 3, removal 2, move 5.
    """
    off = {row.id: row.off_block_minute for row in plan.turnarounds}
    up = {name: minute + TAXI_OUT_MINUTES for name, minute in off.items()}
    ready = {row.id: row.brake_ready_minute for row in plan.turnarounds}
    relaxed = {row.id: row.relaxed for row in plan.turnarounds}
    late = {"C3": up["C3"] > 740, "E5": up["E5"] > 755}
    taken = {"A1": off["A1"] > 655, "B2": off["B2"] > 675}
    said_late = {name: Relaxation.CTOT in relaxed[name] for name in off}
    said_taken = {name: Relaxation.STAND in relaxed[name] for name in off}
    rules = {
        Code.TARGET: any(
            off[name] < minute
            for name, minute in zip(PLANNED, (640, 645, 700, 720), strict=True)
        ),
        Code.BRAKE_READY: any(off[name] < ready[name] for name in PLANNED),
        Code.HORIZON: any(
            off[name] > minute
            for name, minute in zip(PLANNED, (720, 725, 780, 800), strict=True)
        ),
        Code.CTOT_EARLY: up["C3"] < 725 or up["E5"] < 740,
        Code.CTOT_LATE: any(late[name] and not said_late[name] for name in late),
        Code.CURFEW: any(700 <= up[name] < 730 for name in PLANNED),
        Code.STAND: any(taken[name] and not said_taken[name] for name in taken),
        Code.RELAXATION: any(
            (said_late[name] and not late.get(name, False))
            or (said_taken[name] and not taken.get(name, False))
            for name in off
        ),
        Code.RUNWAY_SPACING: len(set(up.values())) < 5
        or any(up[one] - up[two] == 1 for one in up for two in up),
    }
    fans = broken_by_fans(plan, ready["B2"], off["B2"])
    return {code for code, is_broken in rules.items() if is_broken} | fans


def broken_by_fans(plan: Plan, ready: int, off_block: int) -> set[Code]:
    """Rules that the job of B2 (in-block 605) breaks, alone or with one on C3."""
    row = plan.of("B2")
    ((start, end, units),) = (
        (job.start_minute, job.end_minute, job.units) for job in row.fan_jobs
    )
    in_use = {
        minute: sum(
            job.units
            for other in plan.turnarounds
            for job in other.fan_jobs
            if job.start_minute - 3 <= minute < job.end_minute + 7
        )
        for minute in range(500, 900)
    }
    rules = {
        Code.FAN_APPROACH: start - 3 < row.approach_minute,
        Code.FAN_IN_BLOCK: start - 3 < 605,
        Code.FAN_HOURS: start - 3 < 500 or end + 2 > 1000,
        Code.FAN_REMOVAL: end + 2 > min(ready, off_block),
        Code.FAN_WINDOW: start >= end or units < 1,
        Code.FAN_CAPACITY: max(in_use.values()) > 2,
    }
    return {code for code, is_broken in rules.items() if is_broken}


def test_the_base_plan_breaks_nothing_by_either_judge():
    """Both evaluations agree that the unchanged plan is good."""
    assert broken(PLAN) == set()
    assert found(DAY, PLAN) == set()


@given(name=st.sampled_from(PLANNED), minute=MINUTES)
@example(name="C3", minute=730)
@example(name="C3", minute=731)
@example(name="A1", minute=655)
@example(name="A1", minute=656)
def test_moved_off_block(name: str, minute: int):
    """An off-block at any minute breaks exactly what the second judge says."""
    plan = moved(PLAN, name, minute)
    assert found(DAY, plan) == broken(plan)


@given(
    name=st.sampled_from(PLANNED),
    minute=MINUTES,
    relaxed=st.lists(
        st.sampled_from([Relaxation.CTOT, Relaxation.STAND]), unique=True
    ).map(tuple),
)
def test_moved_off_block_with_relaxations(
    name: str, minute: int, relaxed: tuple[Relaxation, ...]
):
    """Relaxations excuse what they name and are themselves checked."""
    plan = moved(PLAN, name, minute, relaxed=relaxed)
    assert found(DAY, plan) == broken(plan)


@given(name=st.sampled_from(PLANNED), ready=MINUTES)
def test_later_or_earlier_brake_ready(name: str, ready: int):
    """Another brake-ready breaks exactly what the second judge says."""
    plan = with_row(PLAN, name, brake_ready_minute=ready)
    assert found(DAY, plan) == broken(plan)


@given(
    start=st.integers(590, 660),
    minutes=st.integers(-2, 60),
    units=st.integers(0, 3),
    approach=st.integers(600, 640),
)
def test_changed_fan_job(start: int, minutes: int, units: int, approach: int):
    """Another fan job breaks exactly what the second judge says."""
    job = make_job(start_minute=start, end_minute=start + minutes, units=units)
    plan = with_row(PLAN, "B2", fan_jobs=(job,), approach_minute=approach)
    assert found(DAY, plan) == broken(plan)


@given(start=st.integers(670, 690), end=st.integers(640, 690), units=st.integers(1, 2))
def test_second_fan_job(start: int, end: int, units: int):
    """Two jobs share the units of a type, moves included."""
    first = make_job(end_minute=end)
    plan = moved(PLAN, "B2", 692, brake_ready_minute=692, fan_jobs=(first,))
    second = make_job(start_minute=start, end_minute=695, units=units)
    plan = with_row(plan, "C3", fan_jobs=(second,), brake_ready_minute=700)
    assert found(DAY, plan) == broken(plan)


@given(name=st.sampled_from(PLANNED), minute=MINUTES, shift=st.integers(-3, 3))
def test_shifted_take_off_or_delay(name: str, minute: int, shift: int):
    """A take-off or delay is wrong exactly when it is not off-block's."""
    plan = moved(PLAN, name, minute)
    row = plan.of(name)
    for field in ("take_off_minute", "delay_minutes"):
        shifted = with_row(plan, name, **{field: getattr(row, field) + shift})
        faults = {fault.code for fault in check_decisions(DAY, shifted)}
        assert (Code.ARITHMETIC in faults) is (shift != 0)
