"""Which input moves the brake-ready minute of a cooled brake most.

Enters: a `Cooldown` and whether its wear is known. Leaves: `Sensitivity`, and its rows
as plain numbers. The accelerate-stop is that of the aircraft of the catalogue that has
the brake.
"""

from dataclasses import replace
from typing import Any

from scheduler.cooldown.one_brake import STOP_S, Cooldown, stand_phases
from thermal.aircraft import Aircraft
from thermal.catalogue import known_aircraft, load_aircraft, load_brake
from thermal.errors import ParameterError
from thermal.ready import ReadyQuestion
from thermal.sensitivity import SAMPLE_COUNT, Sensitivity, sensitivity
from thermal.units import MINUTE_S

LOOK_S = 6 * 3600.0


def influence_of_inputs(
    asked: Cooldown, *, is_wear_known: bool, seed: int, sample_count: int = SAMPLE_COUNT
) -> Sensitivity:
    """Rank the inputs of a cooled brake by their share of brake-ready's variance.

    At least six hours are looked at, whatever is asked for.

    Raises
    ------
    ParameterError
        If the brake is not in the catalogue or belongs to none of its aircraft.
    """
    asked = replace(asked, duration_s=max(asked.duration_s, LOOK_S + STOP_S))
    fan_end_s = None
    if asked.fan_from_s is not None:
        fan_end_s = asked.fan_from_s + asked.fan_s - STOP_S
    question = ReadyQuestion(
        brake=load_brake(asked.brake),
        aircraft=_aircraft_with(asked.brake),
        energy_j=asked.energy_j,
        roll_s=STOP_S,
        ambient_k=asked.ambient_k,
        phases=lambda rows: stand_phases(rows, asked),
        look_minutes=(asked.duration_s - STOP_S) / MINUTE_S,
        wind_m_per_s=asked.wind_m_per_s,
        wear=asked.wear if is_wear_known else None,
        fan_end_minute=None if fan_end_s is None else fan_end_s / MINUTE_S,
    )
    return sensitivity(question, seed=seed, sample_count=sample_count)


def sensitivity_rows(found: Sensitivity) -> list[dict[str, Any]]:
    """List inputs with share, error, range and reason, from the most moving on."""
    return [
        {
            "input": one.input.name,
            "share": round(max(one.share, 0.0), 4),
            "error": round(one.error, 4),
            "low": round(one.input.low, 4),
            "high": round(one.input.high, 4),
            "unit": one.input.unit,
            "reason": one.input.reason,
        }
        for one in found.influences
    ]


def _aircraft_with(brake: str) -> Aircraft:
    """First aircraft of the catalogue that has the brake."""
    for name in known_aircraft():
        aircraft = load_aircraft(name)
        if aircraft.brake == brake:
            return aircraft
    raise ParameterError.of("brake", "one that an aircraft of the catalogue has", brake)
