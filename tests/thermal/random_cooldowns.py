"""Random cooldowns of one brake as the command is asked for them, and full days.

Landings and accelerate-stops, new to worn, clamped and released, with and without a
fan and wind; steel beyond its peak of specific heat.
"""

import json
from dataclasses import replace
from typing import Any

import numpy as np

from scheduler.cooldown.one_brake import Cooldown, cool_down
from tests.thermal.full_days import FullDay, random_day
from thermal.catalogue import load_brake
from thermal.materials import property_table
from thermal.network import Network
from thermal.turnaround import arrival, fan_job, flight, parked
from thermal.units import kelvin

HOT_STEEL_C = (830.0, 960.0)
EVERY_HOT = 5


def random_cooldown(brake: str, number: int) -> Cooldown:
    """Even numbers land, odd ones reject a take-off; every fifth steel stack glows."""
    generator = np.random.default_rng([number, len(brake), 7])
    draw, data = generator.uniform, load_brake(brake)
    wear = float(draw(0.0, 1.0))
    low, high = (0.1, 0.55) if number % 2 == 0 else (0.6, 1.0)
    per_kg = float(draw(low, high)) * data.limits.stack_j_per_kg
    if data.stack_material == "steel" and number % EVERY_HOT == 0:
        hot_k = float(kelvin(draw(*HOT_STEEL_C)))
        per_kg = float(property_table("steel").enthalpy(np.float64(hot_k)))
    minutes = float(draw(10.0, 60.0))
    return Cooldown(
        brake=brake,
        energy_j=per_kg * data.stack_mass_kg * float(data.stack_fraction(wear)),
        ambient_k=float(draw(255.0, 315.0)),
        duration_s=3.5 * 3600.0,
        wind_m_per_s=float(draw(0.0, 8.0)) if number % 3 == 0 else 0.0,
        wear=wear,
        brakes_set=bool(number // 2 % 2),
        fan_from_s=60.0 * minutes if number % 4 < 3 else None,
        fan_s=60.0 * float(draw(10.0, 60.0)),
        fan_m_per_s=float(draw(2.0, 12.0)),
    )


def printed(asked: Cooldown) -> dict[str, Any]:
    """What ``cooldown --json`` prints, read back."""
    record: dict[str, Any] = json.loads(json.dumps(cool_down(asked).record))
    return record


def every_phase(network: Network, number: int) -> FullDay:
    """A random day at the stand with an own and a ground fan, then the next flight.

    Rollout, taxi, onboard fan, ground fan, still air, taxi-out, run, gear left down,
    wheel well, approach; the parking brake set or released.
    """
    generator = np.random.default_rng([number, len(network.nodes), 11])
    draw = generator.uniform
    rows = random_day(network, generator).rows
    own_s = 60.0 * draw(10.0, 25.0)
    rows = replace(
        rows,
        brakes_set=np.array([float(number % 2)]),
        onboard_fan_s=np.array([own_s]),
        onboard_fan_m_per_s=np.array([draw(2.0, 8.0)]),
        wind_m_per_s=np.array([draw(0.0, 5.0)]),
        gear_down_s=np.array([300.0]),
    )
    begin = np.array([draw(30.0, 50.0)])
    end = begin + draw(10.0, 40.0)
    leaving = end + 30.0
    return FullDay(
        network=network,
        rows=rows,
        phases=(
            *arrival(rows),
            *parked(rows, 0.0, float(begin[0]) * 60.0),
            *fan_job(rows, begin, end, np.array([draw(2.0, 10.0)]), 30.0),
            *flight(rows, leaving, np.array([draw(60.0, 200.0)]), np.array([5.0])),
        ),
    )
