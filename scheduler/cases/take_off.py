"""The departure of every sample: taxi-out and the accelerate-stop, as brake heat."""

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.cases.station_air import (
    headwind_m_per_s,
    station_density_kg_per_m3,
    weather_at,
)
from scheduler.day import Day, Turnaround
from thermal.accelerate_stop import RejectedTakeOff, accelerate_stop
from thermal.aircraft import REFERENCE_DENSITY_KG_PER_M3, Aircraft
from thermal.arrays import FloatArray
from thermal.speeds import default_v1_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import MINUTE_S


def take_off_heat(
    day: Day, turnaround: Turnaround, inputs: Inputs, serviceable: float
) -> tuple[FloatArray, FloatArray]:
    """Heat of all brakes taxiing out, and of the accelerate-stop, (sample, 1)."""
    aircraft, runway = day.aircraft_of(turnaround), day.departure_runway_of(turnaround)
    row = weather_at(day, turnaround.target_off_block_minute)
    density, headwind = station_density_kg_per_m3(row), headwind_m_per_s(row, runway)
    weight = take_off_weight_kg(aircraft, turnaround, inputs)
    stop = accelerate_stop(
        aircraft,
        v1_m_per_s(aircraft, turnaround, inputs, weight, density),
        RejectedTakeOff(
            weight_kg=weight,
            density_kg_per_m3=density,
            friction_fraction=aircraft.dry_friction * serviceable,
            headwind_m_per_s=headwind,
            slope_fraction=runway.slope_fraction,
        ),
    )
    leg = TaxiLeg(
        weight_kg=weight,
        duration_s=MINUTE_S * max(day.taxi_out_minutes(turnaround), 2),
        stop_count=np.round(inputs.drawn("taxi_out_stops")),
        riding_fraction=inputs.drawn("riding_fraction"),
    )
    taxi_j = taxi_heat(aircraft, leg).energy_j.reshape(-1, 1)
    return taxi_j, stop.energy_j.reshape(-1, 1)


def take_off_weight_kg(
    aircraft: Aircraft, turnaround: Turnaround, inputs: Inputs
) -> FloatArray:
    """Take-off weight as planned, else drawn, shape (sample, 1)."""
    given = turnaround.departure.take_off_weight_kg
    if given is not None:
        return given * inputs.drawn("take_off_weight_factor")
    fraction = inputs.missing("take-off weight", "take_off_weight_fraction")
    return aircraft.maximum_take_off_kg * fraction


def v1_m_per_s(
    aircraft: Aircraft,
    turnaround: Turnaround,
    inputs: Inputs,
    weight_kg: FloatArray,
    density_kg_per_m3: float,
) -> FloatArray:
    """V1 as true air speed, shape (sample, 1).

    A given V1 is what the crew read; in thin air the aircraft is faster than that.
    """
    given = turnaround.departure.v1_m_per_s
    if given is None:
        factor = inputs.missing("V1 against the type's own", "v1_factor")
        return default_v1_m_per_s(aircraft, weight_kg, density_kg_per_m3) * factor
    true = given * np.sqrt(REFERENCE_DENSITY_KG_PER_M3 / density_kg_per_m3)
    return np.full_like(weight_kg, true)
