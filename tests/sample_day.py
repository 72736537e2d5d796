"""A small invented day with a plan made by hand, for the tests of what people read.

Five turnarounds: on time, waits for brakes behind a fan, waits for a slot, held for a
plug check, and one that has left already.
"""

from datetime import date

from scheduler.clock import Clock
from scheduler.day import (
    ApproachRule,
    Basis,
    Day,
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
    BrakeHeat,
    Curve,
    FanJob,
    HeatSummary,
    Plan,
    PlannedTurnaround,
    Proof,
    Relaxation,
    Status,
    WaitsFor,
)
from thermal import Aircraft

CLOCK = Clock(day=date(2026, 7, 14))
AIRCRAFT = Aircraft(
    name="NB-180",
    brake="carbon-narrow",
    brake_count=4,
    maximum_take_off_kg=78000.0,
    maximum_landing_kg=66000.0,
    operating_empty_kg=42000.0,
    wing_area_m2=122.0,
    drag_coefficient_ground=0.1,
    lift_coefficient_ground=0.1,
    rolling_fraction=0.015,
    approach_speed_m_per_s=70.0,
    v1_m_per_s=75.0,
    touchdown_fraction=0.97,
    engine_count=2,
    idle_n=8000.0,
    reverse_n=60000.0,
    tyre_pressure_pa=1.4e6,
    automatic_decelerations_m_per_s2=(1.7, 3.0),
    default_deceleration_m_per_s2=2.0,
    dry_friction=0.4,
)


def at(hours: int, minutes: int) -> int:
    """Minute of the day of a clock time."""
    return hours * 60 + minutes


def turnaround(
    name: str,
    stand: str,
    in_block: int,
    target: int,
    *,
    ctot: int | None = None,
    basis: Basis = Basis.SCHEDULED,
) -> Turnaround:
    """Build a turnaround of the invented fleet."""
    return Turnaround(
        id=name,
        tail=f"ZZ-{name[-1]}AA",
        stand=stand,
        in_block_minute=in_block,
        in_block_basis=Basis.ESTIMATED,
        target_off_block_minute=target,
        off_block_basis=basis,
        departure=Departure(ctot_minute=ctot),
    )


STATION = Station(
    name="Lake Bend",
    elevation_m=300.0,
    time_zone="UTC",
    runways=(
        Runway(name="27", heading_deg=270.0, landing_distance_m=2400.0),
        Runway(name="09", heading_deg=90.0, landing_distance_m=2400.0),
    ),
    stands=tuple(
        Stand(name=name, taxi_in_minutes=5, taxi_out_minutes=12)
        for name in ("1", "2", "3", "4A", "5")
    ),
    fans=(
        FanType(
            name="blower",
            units=3,
            air_speed_m_per_s=12.0,
            setup_minutes=3,
            removal_minutes=2,
            move_minutes=5,
            from_minute=0,
            to_minute=1440,
        ),
    ),
    approach=ApproachRule(max_plug_k=380.0, max_stack_k=700.0),
)

DAY = Day(
    name="lake-bend",
    clock=CLOCK,
    station=STATION,
    aircraft=(AIRCRAFT,),
    tails=tuple(
        Tail(
            registration=f"ZZ-{digit}AA",
            aircraft="NB-180",
            positions=("1", "2", "3", "4"),
            wear=(None, None, None, None),
        )
        for digit in "123456"
    ),
    weather=(
        WeatherRow(
            minute=0,
            temperature_k=303.15,
            wind_m_per_s=3.0,
            wind_direction_deg=270.0,
            pressure_pa=97500.0,
            source="report",
        ),
    ),
    turnarounds=(
        turnaround("LB101", "1", at(13, 30), at(14, 15)),
        turnaround("LB102", "2", at(13, 40), at(14, 20)),
        turnaround("LB103", "3", at(13, 45), at(14, 25), ctot=at(14, 40)),
        turnaround("LB104", "4A", at(13, 50), at(14, 30)),
        turnaround("LB105", "5", at(12, 50), at(13, 35), basis=Basis.ACTUAL),
        turnaround("LB106", "2", at(15, 30), at(16, 20)),
    ),
)


def heat(probability: float, peak: int) -> HeatSummary:
    """Build a heat summary with one brake and a short curve."""
    return HeatSummary(
        release_probability=probability,
        plug_peak_c=141.25,
        plug_peak_minute=peak,
        stack_peak_c=512.0,
        binding_position="2",
        binding_sample=17,
        brakes=(
            BrakeHeat(
                position="2",
                energy_mj=31.7,
                stack_peak_c=512.0,
                wheel_peak_c=150.1,
                plug_peak_c=141.25,
                plug_peak_minute=peak,
                release_probability=probability,
            ),
        ),
        curves=(
            Curve(
                position="2",
                minutes=(peak - 20, peak, peak + 30),
                stack_c=(512.0, 430.5, 330.1),
                wheel_c=(60.0, 150.1, 120.0),
                plug_c=(55.0, 141.25, 118.0),
                indicated_c=(300.0, 410.0, 315.0),
            ),
        ),
        assumed=("wear of all brakes",),
        most_valuable_input="touchdown speed",
    )


def row(index: int, **given: object) -> PlannedTurnaround:
    """Build the plan's row of one turnaround of `DAY`: on time by default."""
    source = DAY.turnarounds[index]
    off_block = given.get("off_block_minute", source.target_off_block_minute)
    moved = isinstance(off_block, int)
    values: dict[str, object] = {
        "id": source.id,
        "tail": source.tail,
        "stand": source.stand,
        "in_block_minute": source.in_block_minute,
        "target_off_block_minute": source.target_off_block_minute,
        "brake_ready_minute": source.in_block_minute + 20,
        "brake_ready_still_air_minute": source.in_block_minute + 20,
        "binding_limit": Limit.STOPPING,
        "waits_for": WaitsFor.NOTHING,
        "approach_minute": source.in_block_minute + 5,
        "off_block_minute": off_block,
        "take_off_minute": off_block + 12 if moved else None,
        "delay_minutes": off_block - source.target_off_block_minute if moved else None,
        "fan_jobs": (),
        "relaxed": (),
        "heat": heat(0.0004, source.in_block_minute + 18),
    }
    return PlannedTurnaround(**{**values, **given})  # type: ignore[arg-type]


ROWS = (
    row(0),
    row(
        1,
        brake_ready_minute=at(14, 38),
        brake_ready_still_air_minute=at(15, 12),
        binding_limit=Limit.INDICATED,
        waits_for=WaitsFor.BRAKES,
        approach_minute=at(13, 50),
        off_block_minute=at(14, 38),
        fan_jobs=(
            FanJob(
                fan_type="blower",
                units=2,
                start_minute=at(13, 55),
                end_minute=at(14, 25),
            ),
        ),
    ),
    row(
        2,
        waits_for=WaitsFor.SLOT,
        off_block_minute=at(14, 42),
        relaxed=(Relaxation.CTOT,),
    ),
    row(
        3,
        brake_ready_minute=None,
        brake_ready_still_air_minute=None,
        binding_limit=Limit.PLUG_CHECK,
        waits_for=WaitsFor.CHECK,
        approach_minute=at(15, 5),
        off_block_minute=None,
        relaxed=(Relaxation.HELD,),
        heat=heat(0.034, at(14, 12)),
    ),
    row(4, heat=None),
    row(5),
)

PLAN = Plan(
    scenario="lake-bend",
    day="2026-07-14",
    status=Status.RELAXED,
    proof=Proof(
        objective=(5, 35, 0, 61),
        bound=(5, 35, 0, 61),
        gap=0.0,
        seconds=1.3,
        solver="CP-SAT 9.15.6755",
    ),
    limit_confidence=0.99,
    seed=7,
    sample_count=1024,
    turnarounds=ROWS,
    actions=(),
    cautions=(),
    notes=("weather after 13:20 persists with growing spread",),
)
