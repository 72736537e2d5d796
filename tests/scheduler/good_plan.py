"""A small invented day and a plan of it that keeps every rule, worked out by hand.

Minutes are written as in a timetable: 640 is 10:40.

A1  leaves on time at 640.
B2  gets a fan (approach from 612, set up 617 to 620, air 620 to 645, away 647) and
    leaves when its brakes let it, at 650.
C3  follows A1 on its stand; its take-off falls into a curfew until 730.
D4  left at 655 and took off at 665: a fact.
E5  follows B2 on its stand and waits for its slot (740 at the earliest).
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from scheduler.clock import Clock
from scheduler.day import (
    ApproachRule,
    Basis,
    Curfew,
    Day,
    DelayCost,
    Departure,
    FanType,
    Runway,
    Stand,
    Station,
    Tail,
    Turnaround,
    WeatherRow,
)
from scheduler.options import Limit
from scheduler.plan import (
    Action,
    BrakeHeat,
    FanJob,
    HeatSummary,
    Plan,
    PlannedTurnaround,
    Progress,
    Proof,
    Relaxation,
    Status,
    WaitsFor,
)
from scheduler.verify import Code, Violation, check
from thermal import Aircraft

TAXI_OUT_MINUTES = 10


def make_aircraft() -> Aircraft:
    """An invented two-engined aircraft."""
    return Aircraft(
        name="Heron",
        brake="steel-5",
        brake_count=4,
        maximum_take_off_kg=70e3,
        maximum_landing_kg=62e3,
        operating_empty_kg=40e3,
        wing_area_m2=120.0,
        drag_coefficient_ground=0.1,
        lift_coefficient_ground=0.2,
        rolling_fraction=0.015,
        approach_speed_m_per_s=68.0,
        v1_m_per_s=70.0,
        touchdown_fraction=0.97,
        engine_count=2,
        idle_n=10e3,
        reverse_n=60e3,
        tyre_pressure_pa=1.3e6,
        automatic_decelerations_m_per_s2=(1.5, 2.5),
        default_deceleration_m_per_s2=2.0,
        dry_friction=0.4,
    )


def make_station() -> Station:
    """One runway, three stands, one fan with people and one without."""
    return Station(
        name="Saltmarsh",
        elevation_m=12.0,
        time_zone="Etc/UTC",
        runways=(Runway(name="09", heading_deg=90.0, landing_distance_m=2400.0),),
        stands=tuple(
            Stand(name=name, taxi_in_minutes=5, taxi_out_minutes=TAXI_OUT_MINUTES)
            for name in ("S1", "S2", "S3")
        ),
        fans=(
            FanType(
                name="cart",
                units=2,
                air_speed_m_per_s=8.0,
                setup_minutes=3,
                removal_minutes=2,
                move_minutes=5,
                from_minute=500,
                to_minute=1000,
            ),
            FanType(
                name="pit",
                units=1,
                air_speed_m_per_s=6.0,
                setup_minutes=0,
                removal_minutes=0,
                move_minutes=0,
                from_minute=0,
                to_minute=1440,
                remote=True,
            ),
        ),
        approach=ApproachRule(
            max_plug_k=400.0, max_stack_k=600.0, minutes_after_in_block=5
        ),
        curfews=(Curfew(from_minute=700, to_minute=730),),
        delay_cost=DelayCost(rates=((0, 1), (15, 2)), jumps=((30, 50),)),
        stand_buffer_minutes=5,
        hold_minutes=120,
    )


def make_turnaround(
    name: str, stand: str, in_block: int, target: int, **changes: object
) -> Turnaround:
    """A turnaround with estimated times."""
    given = Turnaround(
        id=name,
        tail=f"X-{name}",
        stand=stand,
        in_block_minute=in_block,
        in_block_basis=Basis.ESTIMATED,
        target_off_block_minute=target,
        off_block_basis=Basis.ESTIMATED,
    )
    return replace(given, **changes)


def make_day(turnarounds: tuple[Turnaround, ...] | None = None) -> Day:
    """The day of the module's docstring, or other turnarounds at the same station."""
    given = turnarounds or (
        make_turnaround("A1", "S1", 600, 640),
        make_turnaround("B2", "S2", 605, 645),
        make_turnaround("C3", "S1", 660, 700),
        make_turnaround("D4", "S3", 560, 655, off_block_basis=Basis.ACTUAL),
        make_turnaround("E5", "S2", 680, 720, departure=Departure(ctot_minute=745)),
    )
    return Day(
        name="saltmarsh",
        clock=Clock(day=date(2026, 7, 14)),
        station=make_station(),
        aircraft=(make_aircraft(),),
        tails=tuple(
            Tail(
                registration=record.tail,
                aircraft="Heron",
                positions=("1", "2", "3", "4"),
                wear=(0.2, 0.2, 0.2, 0.2),
            )
            for record in given
        ),
        weather=(
            WeatherRow(
                minute=0,
                temperature_k=295.0,
                wind_m_per_s=2.0,
                wind_direction_deg=80.0,
                pressure_pa=101e3,
                source="report",
            ),
        ),
        turnarounds=given,
    )


def make_heat(probability: float = 0.001) -> HeatSummary:
    """A heat summary with one brake."""
    return HeatSummary(
        release_probability=probability,
        plug_peak_c=120.0,
        plug_peak_minute=630,
        stack_peak_c=410.0,
        binding_position="2",
        binding_sample=7,
        brakes=(
            BrakeHeat(
                position="2",
                energy_mj=22.0,
                stack_peak_c=410.0,
                wheel_peak_c=140.0,
                plug_peak_c=120.0,
                plug_peak_minute=630,
                release_probability=probability,
            ),
        ),
        curves=(),
        assumed=("wear of brake 2",),
    )


def make_row(
    given: Turnaround, off_block: int | None, ready: int | None, **changes: object
) -> PlannedTurnaround:
    """A row whose take-off and delay follow from its off-block."""
    is_held = off_block is None
    row = PlannedTurnaround(
        id=given.id,
        tail=given.tail,
        stand=given.stand,
        in_block_minute=given.in_block_minute,
        target_off_block_minute=given.target_off_block_minute,
        brake_ready_minute=ready,
        brake_ready_still_air_minute=ready,
        binding_limit=Limit.STOPPING,
        waits_for=WaitsFor.NOTHING,
        approach_minute=given.in_block_minute + 7,
        off_block_minute=off_block,
        take_off_minute=None if is_held else off_block + TAXI_OUT_MINUTES,
        delay_minutes=None if is_held else off_block - given.target_off_block_minute,
        fan_jobs=(),
        relaxed=(),
        heat=make_heat(),
        progress=progress_of(given),
    )
    return replace(row, **changes)


def progress_of(given: Turnaround) -> Progress:
    """Progress of an aircraft that is not logged airborne."""
    if given.off_block_basis is Basis.ACTUAL:
        return Progress.OFF_BLOCK
    is_there = given.in_block_basis is Basis.ACTUAL
    return Progress.IN_BLOCK if is_there else Progress.EXPECTED


def make_plan(
    day: Day,
    rows: tuple[PlannedTurnaround, ...] | None = None,
    objective: tuple[int, int, int, int] = (0, 40, 0, 51),
    status: Status = Status.OPTIMAL,
) -> Plan:
    """The plan of the module's docstring, or of other rows.

    Its objective: no rule broken; delays of 5, 20 and 10 minutes cost 5, 15 + 2 x 5
    and 10; no change; two units for 25 minutes and one job.
    """
    return Plan(
        scenario=day.name,
        day="2026-07-14",
        status=status,
        proof=Proof(
            objective=objective,
            bound=objective,
            gap=0.0,
            seconds=0.1,
            solver="by hand",
        ),
        limit_confidence=0.99,
        seed=1,
        sample_count=256,
        turnarounds=good_rows(day) if rows is None else rows,
        actions=make_actions(day, rows or good_rows(day)),
        cautions=("Advisory only.",),
    )


def make_actions(day: Day, rows: tuple[PlannedTurnaround, ...]) -> tuple[Action, ...]:
    """One action for whatever a row demands, in the row's own minutes."""
    stands = {given.id: given.stand for given in day.turnarounds}
    return tuple(
        replace(_action(row, minute, do_by, what), stand=stands[row.id])
        for row in rows
        if row.id in stands
        and row.progress not in (Progress.OFF_BLOCK, Progress.AIRBORNE)
        for minute, do_by, what in _tasks(row)
    )


def _action(row: PlannedTurnaround, minute: int, do_by: int, what: str) -> Action:
    return Action(
        minute=minute,
        do_by_minute=do_by,
        what=what,
        who="fan crew" if "fan" in what else "controller",
        stand=row.stand,
        turnaround_id=row.id,
        missing_it=f"{row.id} leaves later",
    )


def _tasks(row: PlannedTurnaround) -> Iterator[tuple[int, int, str]]:
    for job in row.fan_jobs:
        yield job.start_minute, job.start_minute, "start the fan"
        yield job.end_minute, job.end_minute, "take the fan away"
    for duty in row.duties:
        yield duty.start_minute, duty.end_minute, f"do the {duty.task}"
    told = [rule for rule in row.relaxed if rule is not Relaxation.CURFEW]
    for what in (*(f"tell of {rule}" for rule in told), "tell of the rest"):
        yield row.in_block_minute, row.target_off_block_minute, what
    if row.rollout_deadline_minute is not None:
        deadline = row.rollout_deadline_minute
        yield deadline - 10, deadline, "ask for the longer rollout"


def good_rows(day: Day) -> tuple[PlannedTurnaround, ...]:
    """The five rows of the module's docstring."""
    a1, b2, c3, d4, e5 = day.turnarounds
    return (
        make_row(a1, 640, 620),
        make_row(
            b2,
            650,
            650,
            brake_ready_still_air_minute=690,
            waits_for=WaitsFor.FAN,
            fan_jobs=(make_job(),),
        ),
        make_row(c3, 720, 680, waits_for=WaitsFor.SLOT),
        make_row(d4, 655, None),
        make_row(e5, 730, 700, waits_for=WaitsFor.SLOT),
    )


def make_job(**changes: object) -> FanJob:
    """The fan job of B2."""
    job = FanJob(fan_type="cart", units=2, start_minute=620, end_minute=645)
    return replace(job, **changes)


def with_row(plan: Plan, name: str, **changes: object) -> Plan:
    """The plan with fields of one row replaced, everything else as it was."""
    rows = tuple(
        replace(row, **changes) if row.id == name else row for row in plan.turnarounds
    )
    return replace(plan, turnarounds=rows)


def moved(plan: Plan, name: str, off_block: int, **changes: object) -> Plan:
    """The plan with one off-block moved, its take-off and delay with it."""
    target = plan.of(name).target_off_block_minute
    return with_row(
        plan,
        name,
        off_block_minute=off_block,
        take_off_minute=off_block + TAXI_OUT_MINUTES,
        delay_minutes=off_block - target,
        **changes,
    )


def claiming(plan: Plan, *objective: int, status: Status | None = None) -> Plan:
    """The plan with another objective, which it claims to have proved."""
    proof = replace(plan.proof, objective=objective, bound=objective)
    return replace(plan, proof=proof, status=status or plan.status)


def acted(day: Day, plan: Plan) -> Plan:
    """The plan with the actions that its rows demand."""
    return replace(plan, actions=make_actions(day, plan.turnarounds))


def faults_of(
    plan: Plan, day: Day, published: Plan | None = None
) -> tuple[Violation, ...]:
    """Faults of a plan whose actions follow its rows, without the heat."""
    return check(day, acted(day, plan), published, with_heat=False)


def codes_of(plan: Plan, day: Day, published: Plan | None = None) -> list[Code]:
    """Rules that a plan breaks, each once."""
    return sorted({fault.code for fault in faults_of(plan, day, published)})


def with_given(day: Day, name: str, **changes: object) -> Day:
    """The day with fields of one turnaround replaced."""
    given = tuple(
        replace(one, **changes) if one.id == name else one for one in day.turnarounds
    )
    return replace(day, turnarounds=given)


def with_station(day: Day, **changes: object) -> Day:
    """The day with fields of the station replaced."""
    return replace(day, station=replace(day.station, **changes))
