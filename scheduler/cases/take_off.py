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
from thermal.aircraft import REFERENCE_DENSITY_KG_PER_M3
from thermal.arrays import FloatArray
from thermal.speeds import default_v1_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import MINUTE_S


def take_off_heat(
    day: Day, turnaround: Turnaround, inputs: Inputs, serviceable: float
) -> tuple[FloatArray, FloatArray]:
    """Heat of all brakes taxiing out, and of the accelerate-stop, (sample, 1).

    A given V1 is what the crew read; in thin air the aircraft is faster than that.
    """
    aircraft, departure = day.aircraft_of(turnaround), turnaround.departure
    runway = day.runway_of(turnaround)
    row = weather_at(day, turnaround.target_off_block_minute)
    density, headwind = station_density_kg_per_m3(row), headwind_m_per_s(row, runway)
    if departure.take_off_weight_kg is None:
        scale = aircraft.maximum_take_off_kg
        weight = scale * inputs.missing("take-off weight", "take_off_weight_fraction")
    else:
        weight = departure.take_off_weight_kg * inputs.drawn("take_off_weight_factor")
    if departure.v1_m_per_s is None:
        factor = inputs.missing("V1 against the type's own", "v1_factor")
        v1 = default_v1_m_per_s(aircraft, weight, density) * factor
    else:
        true = departure.v1_m_per_s * np.sqrt(REFERENCE_DENSITY_KG_PER_M3 / density)
        v1 = np.full_like(weight, true)
    stop = accelerate_stop(
        aircraft,
        v1,
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
