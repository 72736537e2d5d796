"""Turnarounds of catalogue aircraft for the tests of the heat core.

Nominal cooling and equal brakes; what a test wants to vary it gives.
"""

from dataclasses import replace
from functools import cache

import numpy as np

from thermal.accelerate_stop import RejectedTakeOff, accelerate_stop
from thermal.air import density_kg_per_m3
from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray
from thermal.catalogue import load_aircraft, load_brake
from thermal.cooling import CoolingCurve, cool
from thermal.network import Network, build_network
from thermal.rollout import LandingRoll, roll_out
from thermal.rows import Rows
from thermal.speeds import default_touchdown_speed_m_per_s, default_v1_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.timeline import Phase
from thermal.turnaround import arrival, arrival_s, parked, start_k

AIR_K, SEA_LEVEL_PA = 293.15, 101325.0
DENSITY_KG_PER_M3 = float(density_kg_per_m3(AIR_K, SEA_LEVEL_PA))
IDLE_REVERSE_FRACTION = 0.25
EXIT_M_PER_S = 8.0
TAXI_S = 300.0


@cache
def network_of(brake: str) -> Network:
    """Network of a catalogue brake, built once."""
    return build_network(load_brake(brake))


def rows_like(count: int, **given: FloatArray | float) -> Rows:
    """Rows of one cold brake in still air at 20 °C; give what differs."""
    one = np.ones(count)
    values: dict[str, FloatArray | float] = {
        "stack_fraction": 1.0,
        "radiation_factor": 1.0,
        "joint_factor": 1.0,
        "convection_factor": 1.0,
        "fan_factor": 1.0,
        "roll_s": 25.0,
        "roll_power_w": np.zeros((count, 33)),
        "taxi_in_s": TAXI_S,
        "taxi_in_j": 0.0,
        "taxi_out_s": 2.0 * TAXI_S,
        "taxi_out_j": 0.0,
        "stop_j": 0.0,
        "gear_down_s": 0.0,
        "ambient_k": np.full((count, 6), AIR_K),
        "residual_k": AIR_K,
        "pressure_pa": SEA_LEVEL_PA,
        "wind_m_per_s": 0.0,
        "well_warmer_k": 0.0,
        **given,
    }
    full = {
        name: np.array(value) if np.ndim(value) == 2 else value * one
        for name, value in values.items()
    }
    index = np.arange(count)
    return Rows(case=0 * index, sample=index, brake=0 * index, **full)


def normal_landing(aircraft: Aircraft, wear: FloatArray) -> Rows:
    """Rows of a normal landing, one per wear: 0 new … 1 fully worn.

    Maximum landing weight, approach speed and 5 kt, calm, 20 °C, sea level, default
    deceleration, idle reverse, exit at 8 m/s, five minutes of taxi with three stops.
    """
    weight_kg, brake = aircraft.maximum_landing_kg, load_brake(aircraft.brake)
    roll = LandingRoll(
        weight_kg=weight_kg,
        touchdown_speed_m_per_s=default_touchdown_speed_m_per_s(
            aircraft, weight_kg, DENSITY_KG_PER_M3
        ),
        density_kg_per_m3=DENSITY_KG_PER_M3,
        deceleration_m_per_s2=aircraft.default_deceleration_m_per_s2,
        friction_fraction=aircraft.dry_friction,
        reverse_fraction=IDLE_REVERSE_FRACTION,
        exit_speed_m_per_s=EXIT_M_PER_S,
    )
    heat = roll_out(aircraft, roll)
    leg = TaxiLeg(weight_kg=weight_kg, duration_s=TAXI_S, stop_count=3)
    taxi_j = float(taxi_heat(aircraft, leg).energy_j)
    power_w = heat.power_w / aircraft.brake_count
    return rows_like(
        wear.size,
        stack_fraction=brake.stack_fraction(wear),
        roll_s=float(heat.time_s[-1] - heat.time_s[0]),
        roll_power_w=np.repeat(power_w[None], wear.size, axis=0),
        taxi_in_j=taxi_j / aircraft.brake_count,
        taxi_out_j=taxi_j / aircraft.brake_count,
        stop_j=rejected_take_off_j(aircraft),
    )


def rejected_take_off_j(aircraft: Aircraft) -> float:
    """Heat of one brake stopping from V1 at maximum take-off weight, 20 °C, calm."""
    weight_kg = aircraft.maximum_take_off_kg
    stop = RejectedTakeOff(
        weight_kg=weight_kg,
        density_kg_per_m3=DENSITY_KG_PER_M3,
        friction_fraction=aircraft.dry_friction,
    )
    v1 = default_v1_m_per_s(aircraft, weight_kg, DENSITY_KG_PER_M3)
    return float(accelerate_stop(aircraft, v1, stop).energy_j) / aircraft.brake_count


def landing_phases(rows: Rows, parked_s: float) -> tuple[Phase, ...]:
    """Touchdown to the end of the time at the stand."""
    return (*arrival(rows), *parked(rows, 0.0, parked_s))


def cool_rows(
    network: Network,
    rows: Rows,
    phases: tuple[Phase, ...],
    at_s: FloatArray,
    **options: float,
) -> CoolingCurve:
    """Curves from touchdown on, time zero at in-block."""
    return cool(
        network,
        rows.variation,
        phases,
        start_k(network, rows),
        at_s,
        start_s=-arrival_s(rows),
        **options,
    )


def aircraft_and_network(name: str) -> tuple[Aircraft, Network]:
    """Catalogue aircraft with the network of its brake."""
    aircraft = load_aircraft(name)
    return aircraft, network_of(aircraft.brake)


def warmer(rows: Rows, by_k: float) -> Rows:
    """The same rows on a hotter day, brakes included."""
    return replace(
        rows, ambient_k=rows.ambient_k + by_k, residual_k=rows.residual_k + by_k
    )
