"""Take-offs that were rejected on the day: stays at the stand around them, brake heat.

Enters: the day and a turnaround. Leaves: its stays, in order of time, and the stop and
the taxi back as an `Arrival`.

- The brakes come on at the ground speed that is given, else after V1 with the reaction
  of an accelerate-stop; full braking without reverse thrust.
- A weight that is not given is the planned take-off weight.
- Of the way back no more than `MOST_RETURN_MINUTES` count: the plugs' peak then lies at
  the stand, where it is looked for, and what a longer way cools is not credited.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.cases.landing import Arrival
from scheduler.cases.station_air import (
    headwind_m_per_s,
    station_density_kg_per_m3,
    weather_at,
)
from scheduler.cases.take_off import take_off_weight_kg, v1_m_per_s
from scheduler.day import Day, RejectedTakeOff, Turnaround
from thermal.accelerate_stop import RejectedTakeOff as Stop
from thermal.accelerate_stop import accelerate_stop
from thermal.arrays import FloatArray
from thermal.certification import credited_headwind_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import MINUTE_S

# At the stand before a rejected take-off where its minutes are not known: a short
# turnaround, engineering estimate.
LEAST_STAY_MINUTES = 25
MOST_RETURN_MINUTES = 10
_SLOWEST_M_PER_S = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One stay at the stand, with the in-block, off-block and taxi-out of its own.

    ``begins_after`` is the rejected take-off that it follows, None after a landing;
    ``ends_before`` the one that follows it, None where the aircraft leaves.
    """

    turnaround: Turnaround
    begins_after: RejectedTakeOff | None = None
    ends_before: RejectedTakeOff | None = None


def stays_of(day: Day, turnaround: Turnaround) -> tuple[Stay, ...]:
    """Stays of a turnaround, oldest first: one more than take-offs were rejected."""
    events = sorted(
        (one for one in day.rejected if one.turnaround_id == turnaround.id),
        key=lambda one: one.minute,
    )
    stays: list[Stay] = []
    before: RejectedTakeOff | None = None
    for event in events:
        stays.append(_stay(day, turnaround, before, event))
        before = event
    return (*stays, Stay(turnaround=turnaround, begins_after=before))


def _stay(
    day: Day,
    turnaround: Turnaround,
    before: RejectedTakeOff | None,
    event: RejectedTakeOff,
) -> Stay:
    """Stay that ended with a rejected take-off, by its minutes or the least of them."""
    off_block = event.off_block_minute
    if off_block is None:
        off_block = event.minute - day.taxi_out_minutes(turnaround)
    in_block = event.in_block_minute
    if in_block is None:
        in_block = off_block - LEAST_STAY_MINUTES
    if before is not None:
        in_block = max(in_block, before.minute + 1)
    off_block = min(max(off_block, in_block + 1), max(event.minute, in_block + 1))
    departure = replace(
        turnaround.departure, taxi_out_minutes=max(event.minute - off_block, 0)
    )
    return Stay(
        turnaround=replace(
            turnaround,
            in_block_minute=in_block,
            target_off_block_minute=off_block,
            departure=departure,
        ),
        begins_after=before,
        ends_before=event,
    )


def rejected_heat(
    day: Day,
    turnaround: Turnaround,
    event: RejectedTakeOff,
    inputs: Inputs,
    serviceable: float,
) -> Arrival:
    """Heat of all brakes from brakes on to the stand, of every sample.

    Parameters
    ----------
    turnaround : Turnaround
        With the in-block after the return.
    serviceable : float
        Share of the brakes that serve.

    Raises
    ------
    ParameterError
        If weight or speed are out of the type's range.
    """
    aircraft = day.aircraft_of(turnaround)
    weight = take_off_weight_kg(aircraft, turnaround, inputs)
    if event.weight_kg is not None:
        weight = np.full_like(weight, event.weight_kg)
    stop, headwind = _stop(day, turnaround, event, weight, serviceable)
    if event.speed_m_per_s is None:
        inputs.assumed.append("speed of the rejected take-off: V1")
        density = float(np.asarray(stop.density_kg_per_m3))
        speed = v1_m_per_s(aircraft, turnaround, inputs, weight, density)
    else:
        speed = np.full_like(weight, _true_m_per_s(event.speed_m_per_s, headwind))
        stop = replace(stop, reaction_s=0.0, reaction_acceleration_m_per_s2=0.0)
    heat = accelerate_stop(aircraft, speed, stop)
    roll_s = (heat.time_s[..., -1] - heat.time_s[..., 0]).reshape(-1, 1)
    return Arrival(
        roll_s=roll_s,
        power_w=heat.power_w.reshape(-1, heat.time_s.shape[-1]),
        taxi_in_s=np.maximum(_return_s(turnaround, event) - roll_s, MINUTE_S),
        taxi_in_j=taxi_heat(
            aircraft,
            TaxiLeg(
                weight_kg=weight,
                duration_s=_return_s(turnaround, event),
                stop_count=np.round(inputs.drawn("taxi_in_stops")),
                riding_fraction=inputs.drawn("riding_fraction"),
            ),
        ).energy_j.reshape(-1, 1),
        weight_kg=weight,
    )


def _return_s(turnaround: Turnaround, event: RejectedTakeOff) -> float:
    """From brakes on to in-block, as far as it counts."""
    minutes = turnaround.in_block_minute - event.minute
    return MINUTE_S * min(max(minutes, 2), MOST_RETURN_MINUTES)


def _stop(
    day: Day,
    turnaround: Turnaround,
    event: RejectedTakeOff,
    weight_kg: FloatArray,
    serviceable: float,
) -> tuple[Stop, float]:
    """Conditions of the stop, and the headwind as reported."""
    aircraft, row = day.aircraft_of(turnaround), weather_at(day, event.minute)
    runway = day.departure_runway_of(turnaround)
    headwind = headwind_m_per_s(row, runway)
    stop = Stop(
        weight_kg=weight_kg,
        density_kg_per_m3=station_density_kg_per_m3(row),
        friction_fraction=aircraft.dry_friction * serviceable,
        headwind_m_per_s=headwind,
        slope_fraction=runway.slope_fraction,
    )
    return stop, headwind


def _true_m_per_s(speed_m_per_s: float, headwind_m_per_s: float) -> float:
    """Add the wind to a ground speed as the stop credits it.

    What is slower still counts as the slowest stop that is computed.
    """
    credited = float(credited_headwind_m_per_s(headwind_m_per_s))
    return max(max(speed_m_per_s, 1.0) + credited, _SLOWEST_M_PER_S)
