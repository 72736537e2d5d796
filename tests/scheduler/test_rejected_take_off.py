"""Rejected take-offs of the day: stays around them, energy, heat, checked apart."""

from dataclasses import replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case
from scheduler.cases.rejected import (
    LEAST_STAY_MINUTES,
    MOST_RETURN_MINUTES,
    stays_of,
)
from scheduler.day import Day, RejectedTakeOff, Turnaround
from scheduler.readiness.stand import stand_heat
from scheduler.verify.witness import witness_of
from thermal.aircraft import Aircraft
from thermal.certification import kinetic_energy_per_wheel_j
from thermal.materials import property_table
from thermal.turnaround import arrival_s

DAY = sample_day()
CALM = replace(DAY.weather[0], wind_m_per_s=0.0, wind_direction_deg=None)
LEVEL = replace(
    DAY,
    weather=(CALM,),
    station=replace(
        DAY.station,
        runways=tuple(replace(one, slope_fraction=0.0) for one in DAY.station.runways),
    ),
)
FIRST = next(one for one in DAY.turnarounds if one.id == "SB105")
BEFORE, LEFT = FIRST.in_block_minute, FIRST.target_off_block_minute
AIRCRAFT = LEVEL.aircraft_of(FIRST)
WEIGHT_KG, SPEED_M_PER_S = 0.9 * AIRCRAFT.maximum_take_off_kg, 60.0
STOPPED = LEFT + LEVEL.taxi_out_minutes(FIRST)
EVENT = RejectedTakeOff(
    turnaround_id=FIRST.id,
    minute=STOPPED,
    speed_m_per_s=SPEED_M_PER_S,
    weight_kg=WEIGHT_KG,
    in_block_minute=BEFORE,
    off_block_minute=LEFT,
)
BACK = replace(
    FIRST,
    in_block_minute=STOPPED + 8,
    target_off_block_minute=STOPPED + 120,
)


def day_with(*events: RejectedTakeOff, turnaround: Turnaround = BACK) -> Day:
    return replace(LEVEL, rejected=events, turnarounds=(turnaround,))


def case_of(
    *events: RejectedTakeOff, count: int = 16, turnaround: Turnaround = BACK
) -> Case:
    day = day_with(*events, turnaround=turnaround)
    return build_case(day, turnaround, sample_count=count, seed=5)


def stop_by_steps_j(aircraft: Aircraft, weight_kg: float, speed: float) -> float:
    """Brake heat of a full stop in small steps of time, by hand."""
    density = 1.225 * (288.15 / CALM.temperature_k) * (CALM.pressure_pa / 101325.0)
    inertia = weight_kg * (1.0 + aircraft.rotating_mass_fraction)
    heat_j, step_s = 0.0, 0.002
    while speed > 0.0:
        air_n = 0.5 * density * speed**2 * aircraft.wing_area_m2
        on_wheels_n = weight_kg * 9.80665 - air_n * aircraft.lift_coefficient_ground
        braked_n = aircraft.dry_friction * on_wheels_n
        others_n = (
            air_n * aircraft.drag_coefficient_ground
            + aircraft.rolling_fraction * on_wheels_n
            - aircraft.idle_n
        )
        heat_j += braked_n * speed * step_s
        speed -= (braked_n + others_n) / inertia * step_s
    return heat_j


def test_the_stop_takes_the_kinetic_energy_less_drag_and_rolling() -> None:
    """As a loop over time has it; below the kinetic energy (14 CFR 23.735(a)(2))."""
    case = case_of(EVENT)
    found_j = (case.energy_j - case.rows.taxi_in_j.reshape(case.shape)).sum(axis=1)
    by_hand = stop_by_steps_j(AIRCRAFT, WEIGHT_KG, SPEED_M_PER_S)
    assert found_j == pytest.approx(by_hand, rel=0.01)
    rotating = 1.0 + AIRCRAFT.rotating_mass_fraction
    kinetic = kinetic_energy_per_wheel_j(WEIGHT_KG * rotating, SPEED_M_PER_S, 1.0)
    assert 0.85 * kinetic < by_hand < kinetic


def test_the_stack_warms_by_its_enthalpy_table() -> None:
    """From what it had at line-up; in-block two minutes later little is lost."""
    quick = replace(BACK, in_block_minute=STOPPED + 2)
    case = case_of(EVENT, turnaround=quick)
    heat = stand_heat((case,), 30, every_brake=True)
    same = case_of(replace(EVENT, speed_m_per_s=1.0), turnaround=quick)
    cold = stand_heat((same,), 30, every_brake=True)
    stack_kg = case.brake.stack_mass_kg * case.rows.stack_fraction
    more_j = (case.energy_j - same.energy_j).reshape(-1)
    rise = heat.curve.stack_j_per_kg[:, 0] - cold.curve.stack_j_per_kg[:, 0]
    assert rise == pytest.approx(more_j / stack_kg, rel=0.12)
    table = property_table(case.brake.stack_material)
    before_k = cold.curve.stack_k[:, 0]
    expected_k = table.temperature(table.enthalpy(before_k) + more_j / stack_kg)
    assert heat.curve.stack_k[:, 0] == pytest.approx(expected_k, rel=0.08)


def test_heat_of_the_landing_is_still_there() -> None:
    """The longer the stay before, the less of it."""
    peaks = []
    for stay in (20, 60, 300):
        event = replace(EVENT, in_block_minute=LEFT - stay)
        heat = stand_heat((case_of(event),), 60)
        peaks.append(float(heat.curve.plug_k.max(axis=1).mean()))
    assert peaks[0] > peaks[1] + 2.0
    assert peaks[1] > peaks[2] + 2.0


def test_what_is_not_known_is_v1_and_the_planned_weight() -> None:
    """Both are named; V1 with its reaction is hotter than any lower speed."""
    leaving = replace(
        BACK,
        departure=replace(
            BACK.departure, take_off_weight_kg=WEIGHT_KG, v1_m_per_s=SPEED_M_PER_S
        ),
    )
    unknown = replace(EVENT, speed_m_per_s=None, weight_kg=None)
    case, given = case_of(unknown, turnaround=leaving), case_of(EVENT)
    assert "speed of the rejected take-off: V1" in case.assumed
    assert "speed of the rejected take-off: V1" not in given.assumed
    assert len(set(case.assumed)) == len(case.assumed)
    stop_j = [
        float((one.energy_j - one.rows.taxi_in_j.reshape(one.shape)).sum(1).mean())
        for one in (case, given)
    ]
    assert 1.0 < stop_j[0] / stop_j[1] < 1.2


def test_stays_follow_each_other() -> None:
    """Landing, first stop, second stop: three stays with their own minutes."""
    second = replace(
        EVENT,
        minute=STOPPED + 60,
        in_block_minute=STOPPED + 9,
        off_block_minute=STOPPED + 50,
    )
    again = replace(
        BACK, in_block_minute=STOPPED + 70, target_off_block_minute=STOPPED + 160
    )
    day = day_with(second, EVENT, turnaround=again)
    stays = stays_of(day, again)
    assert [one.turnaround.in_block_minute for one in stays] == [
        BEFORE,
        STOPPED + 9,
        STOPPED + 70,
    ]
    assert [one.begins_after for one in stays] == [None, EVENT, second]
    assert [one.ends_before for one in stays] == [EVENT, second, None]
    case = build_case(day, again, sample_count=16, seed=5)
    assert [one.is_rejected for one in case.before] == [True, True]
    once = case_of(second, turnaround=again)
    hotter = [
        stand_heat((one,), 60).curve.plug_k.max(axis=1).mean() for one in (case, once)
    ]
    assert hotter[0] > hotter[1] + 5.0


def test_minutes_that_are_not_known_are_the_least() -> None:
    """Off-block by the taxi time, in-block a short stay before it."""
    event = replace(EVENT, in_block_minute=None, off_block_minute=None)
    stay = stays_of(day_with(event), BACK)[0].turnaround
    assert stay.target_off_block_minute == LEFT
    assert stay.in_block_minute == LEFT - LEAST_STAY_MINUTES


def test_a_long_way_back_is_not_credited() -> None:
    """Ten minutes count, so that the plugs peak at the stand."""
    late = replace(BACK, in_block_minute=STOPPED + 50)
    for turnaround, minutes in ((BACK, 8), (late, MOST_RETURN_MINUTES)):
        case = case_of(EVENT, turnaround=turnaround)
        assert arrival_s(case.rows) == pytest.approx(60.0 * minutes)
    heat = stand_heat((case_of(EVENT, turnaround=late),), 120)
    assert (heat.curve.plug_k.argmax(axis=1) > 0).all()


def test_earlier_sectors_come_before_the_rejected_take_off() -> None:
    """An earlier turnaround of the tail still leaves its heat to the first stay."""
    stay = LEFT - BEFORE
    earlier = replace(
        FIRST,
        id="SB005",
        in_block_minute=BEFORE - stay - 90,
        target_off_block_minute=LEFT - stay - 90,
    )
    day = replace(LEVEL, rejected=(EVENT,), turnarounds=(earlier, BACK))
    case = build_case(day, BACK, sample_count=8, seed=5)
    assert [one.is_rejected for one in case.before] == [False, True]
    clock_s = 60.0 * earlier.in_block_minute - arrival_s(case.before[0].rows)
    for sector in case.before:
        clock_s = clock_s + sector.duration_s
    assert clock_s == pytest.approx(60.0 * STOPPED)


def test_a_later_turnaround_carries_the_heat_of_the_stop() -> None:
    """The next landing of the tail finds the brakes warmer for it."""
    later = replace(
        FIRST,
        id="SB205",
        in_block_minute=BACK.target_off_block_minute + 70,
        target_off_block_minute=BACK.target_off_block_minute + 130,
    )
    peaks = []
    for events in ((EVENT,), ()):
        day = replace(LEVEL, rejected=events, turnarounds=(BACK, later))
        case = build_case(day, later, sample_count=16, seed=5)
        assert len(case.before) == 1 + len(events)
        peaks.append(stand_heat((case,), 60).curve.plug_k.max(axis=1).mean())
    assert peaks[0] > peaks[1] + 2.0


@pytest.mark.parametrize("row", [0, 13])
def test_the_second_integration_follows_the_same_stop(row: int) -> None:
    """From the landing through the rejected take-off, at every minute."""
    day = day_with(EVENT)
    case = case_of(EVENT)
    heat = stand_heat((case,), 60, every_brake=True)
    witness = witness_of(day, case, row, (), BACK.in_block_minute + 60)
    minutes = heat.minute.astype(int)
    for node in ("rotor 2", "plug", "wheel inboard", "indicator"):
        ours = heat.curve.node_k(node)[row]
        theirs = witness.history.node_k(node)[minutes]
        assert theirs == pytest.approx(ours, abs=1.0)


def test_slope_and_wind_are_those_of_the_take_off_runway() -> None:
    """A downhill departure takes more brake heat than an uphill one."""
    station = LEVEL.station
    runways = (
        replace(station.runways[0], name="up", slope_fraction=0.02),
        replace(station.runways[0], name="down", slope_fraction=-0.02),
    )
    stops = []
    for name in ("up", "down"):
        one = replace(
            FIRST,
            landing=replace(FIRST.landing, runway="up", exit=None),
            departure=replace(FIRST.departure, runway=name),
        )
        day = replace(
            LEVEL, station=replace(station, runways=runways), turnarounds=(one,)
        )
        case = build_case(day, one, sample_count=16, seed=5)
        stops.append(case.rows.stop_j)
    assert np.all(stops[1] > 1.02 * stops[0])
