"""The landing of every sample: rollout to the exit, then taxi-in, as brake heat.

Enters: the day, a turnaround, its draws. Leaves: `Arrival`, heat of all brakes
together. Where the exit is too near for the deceleration, the aircraft brakes harder.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.cases.station_air import (
    headwind_m_per_s,
    station_density_kg_per_m3,
    weather_at,
)
from scheduler.day import Day, Reverse, Runway, Turnaround
from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray
from thermal.rollout import LandingRoll, deceleration_to_exit_m_per_s2, roll_out
from thermal.speeds import default_touchdown_speed_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import KNOT_M_PER_S, MINUTE_S, STANDARD_GRAVITY_M_PER_S2

ROLL_END_M_PER_S = 8.0
HARDEST_FRACTION = 0.9
_REVERSE = {Reverse.NONE: 0.0, Reverse.IDLE: 0.25, Reverse.FULL: 1.0}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Arrival:
    """Rollout of all brakes together, and taxi-in; arrays of shape (sample, 1)."""

    roll_s: FloatArray
    power_w: FloatArray
    taxi_in_j: FloatArray
    weight_kg: FloatArray


def landing_heat(
    day: Day, turnaround: Turnaround, inputs: Inputs, serviceable: float
) -> Arrival:
    """Rollout and taxi-in of every sample."""
    aircraft, landing = day.aircraft_of(turnaround), turnaround.landing
    runway, taxi_in = day.runway_of(turnaround), day.taxi_in_minutes(turnaround)
    row = weather_at(day, turnaround.in_block_minute - taxi_in)
    headwind, density = headwind_m_per_s(row, runway), station_density_kg_per_m3(row)
    if landing.weight_kg is None:
        scale = aircraft.maximum_landing_kg
        weight = scale * inputs.missing("landing weight", "landing_weight_fraction")
    else:
        weight = landing.weight_kg * inputs.drawn("landing_weight_factor")
    if landing.touchdown_speed_m_per_s is None:
        additive = inputs.missing("touchdown speed additive", "additive_kt")
        speed = default_touchdown_speed_m_per_s(
            aircraft, weight, density, headwind, 0.0, additive * KNOT_M_PER_S
        )
    else:
        speed = landing.touchdown_speed_m_per_s * inputs.drawn("touchdown_speed_factor")
    roll = LandingRoll(
        weight_kg=weight,
        touchdown_speed_m_per_s=speed,
        density_kg_per_m3=density,
        deceleration_m_per_s2=_deceleration(turnaround, inputs),
        friction_fraction=aircraft.dry_friction * serviceable,
        headwind_m_per_s=headwind,
        slope_fraction=runway.slope_fraction,
        reverse_fraction=_reverse(day, turnaround, inputs),
        **_exit(runway, turnaround, inputs),
    )
    roll = _make_exit(aircraft, roll)
    heat = roll_out(aircraft, roll)
    knots = heat.time_s.shape[-1]
    roll_s = (heat.time_s[..., -1] - heat.time_s[..., 0]).reshape(-1, 1)
    stops = _stops(turnaround, inputs)
    taxi = taxi_heat(
        aircraft,
        TaxiLeg(
            weight_kg=weight,
            duration_s=MINUTE_S * max(taxi_in, 2),
            stop_count=stops,
            riding_fraction=inputs.drawn("riding_fraction"),
        ),
    )
    return Arrival(
        roll_s=roll_s,
        power_w=heat.power_w.reshape(-1, knots),
        taxi_in_j=taxi.energy_j.reshape(-1, 1),
        weight_kg=weight,
    )


def _deceleration(turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    given = turnaround.landing.deceleration_m_per_s2
    if given is None:
        return inputs.missing("deceleration", "deceleration_m_per_s2")
    return given * inputs.drawn("deceleration_factor")


def _reverse(day: Day, turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    """Share of full reverse; an inoperative reverser takes its part away."""
    given = turnaround.landing.reverse
    if given is None:
        used = inputs.missing("reverse thrust", "reverse_unknown")
    else:
        used = _REVERSE[given] * inputs.drawn("reverse_given")
    if day.tail_of(turnaround).reverser_inoperative:
        engines = day.aircraft_of(turnaround).engine_count
        used = used * (engines - 1) / engines
    return used


def _exit(
    runway: Runway, turnaround: Turnaround, inputs: Inputs
) -> dict[str, FloatArray | float]:
    """Exit from touchdown on; none where it is not given."""
    landing = turnaround.landing
    if landing.exit is None:
        inputs.assumed.append("runway exit: slowing to taxi speed wherever that is")
        return {"exit_speed_m_per_s": ROLL_END_M_PER_S}
    point = next(item for item in runway.exits if item.name == landing.exit)
    if landing.touchdown_m is None:
        touchdown = inputs.missing("touchdown point", "touchdown_m")
    else:
        touchdown = np.full_like(inputs.drawn("touchdown_m"), landing.touchdown_m)
    return {
        "exit_distance_m": np.maximum(point.distance_m - touchdown, 150.0),
        "exit_speed_m_per_s": max(point.speed_m_per_s, 2.0),
    }


def _make_exit(aircraft: Aircraft, roll: LandingRoll) -> LandingRoll:
    """Brake as much harder as the exit needs, up to what the runway gives."""
    needed = deceleration_to_exit_m_per_s2(aircraft, roll).reshape(-1, 1)
    hardest = (
        HARDEST_FRACTION
        * np.asarray(roll.friction_fraction)
        * STANDARD_GRAVITY_M_PER_S2
    )
    held = np.maximum(roll.deceleration_m_per_s2, np.minimum(needed, hardest))
    return replace(roll, deceleration_m_per_s2=held)


def _stops(turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    given = turnaround.landing.taxi_stops
    if given is None:
        return np.round(inputs.missing("stops taxiing in", "taxi_in_stops"))
    return np.full_like(inputs.drawn("taxi_in_stops"), given)
