"""Landing, stand and take-off of every sample and brake as `Rows` for the heat."""

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.cases.landing import landing_heat
from scheduler.cases.rejected import rejected_heat
from scheduler.cases.stand import stand_settings
from scheduler.cases.station_air import (
    hourly_weather,
    weather_at,
    wheel_wind_m_per_s,
)
from scheduler.cases.take_off import take_off_heat
from scheduler.day import Day, RejectedTakeOff, Tail, Turnaround
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.catalogue import load_brake
from thermal.shares import share_of_brakes
from thermal.turnaround import Rows
from thermal.units import MINUTE_S


def turnaround_rows(
    day: Day,
    turnaround: Turnaround,
    inputs: Inputs,
    *,
    carried: bool = False,
    rejected: RejectedTakeOff | None = None,
) -> Rows:
    """One row per sample and brake, sample-major.

    ``carried`` says that heat left from the sector before is computed as well. After a
    ``rejected`` take-off the stop takes the place of the landing; all heat from before
    it is then computed.
    """
    tail = day.tail_of(turnaround)
    serviceable = np.array([name not in tail.inoperative for name in tail.positions])
    share = share_of_brakes(
        len(tail.positions), serviceable, inputs.per_brake("share_factor")
    )
    stack_fraction = _stack_fraction(
        tail, load_brake(day.aircraft_of(turnaround).brake)
    )
    if None in tail.wear:
        inputs.assumed.append("brake wear: fully worn where it is not given")
    serving = float(serviceable.mean())
    warmest, spread = hourly_weather(day, turnaround)
    ambient = warmest + inputs.drawn("ambient") * spread
    if rejected is None:
        arrival = landing_heat(day, turnaround, inputs, serving)
    else:
        arrival = rejected_heat(day, turnaround, rejected, inputs, serving)
    taxi_out_j, stop_j = take_off_heat(day, turnaround, inputs, serving)
    if rejected is None:
        start = _at_touchdown_k(turnaround, inputs, ambient[:, :1], carried=carried)
    else:
        start = ambient[:, :1]
    stand = stand_settings(day, turnaround)
    inputs.assumed.extend(stand.assumed)
    samples, brakes = share.shape

    def flat(values: FloatArray | float) -> FloatArray:
        full = np.broadcast_to(np.asarray(values, dtype=np.float64), share.shape)
        return full.reshape(-1).copy()

    def wide(values: FloatArray) -> FloatArray:
        return np.repeat(values, brakes, axis=0)

    row = weather_at(day, turnaround.in_block_minute)
    return Rows(
        case=np.zeros(samples * brakes, dtype=np.intp),
        sample=np.repeat(np.arange(samples), brakes),
        brake=np.tile(np.arange(brakes), samples),
        stack_fraction=flat(stack_fraction),
        radiation_factor=flat(inputs.drawn("radiation_factor")),
        joint_factor=flat(inputs.drawn("joint_factor")),
        convection_factor=flat(inputs.drawn("convection_factor")),
        fan_factor=flat(inputs.drawn("fan_factor")),
        roll_s=flat(arrival.roll_s),
        roll_power_w=wide(arrival.power_w) * share.reshape(-1, 1),
        taxi_in_s=flat(arrival.taxi_in_s),
        taxi_in_j=flat(arrival.taxi_in_j * share),
        taxi_out_s=flat(MINUTE_S * day.taxi_out_minutes(turnaround)),
        taxi_out_j=flat(taxi_out_j * share),
        stop_j=flat(stop_j * share),
        gear_down_s=flat(MINUTE_S * turnaround.departure.gear_down_minutes),
        ambient_k=wide(ambient),
        residual_k=flat(start),
        pressure_pa=flat(row.pressure_pa),
        wind_m_per_s=flat(wheel_wind_m_per_s(day, turnaround, row, inputs)),
        well_warmer_k=flat(inputs.drawn("well_warmer_k")),
        brakes_set=flat(float(stand.brakes_set)),
        onboard_fan_m_per_s=flat(stand.onboard_fan_m_per_s),
        onboard_fan_s=flat(stand.onboard_fan_s),
    )


def _stack_fraction(tail: Tail, brake: Brake) -> FloatArray:
    """Stack left of each brake, shape (brake,); fully worn where not known."""
    worn = np.array([1.0 if value is None else value for value in tail.wear])
    return brake.stack_fraction(worn)


def _at_touchdown_k(
    turnaround: Turnaround, inputs: Inputs, air_k: FloatArray, *, carried: bool
) -> FloatArray:
    """Discs at touchdown as given, else drawn, shape (sample, 1).

    Where heat is carried from the sector before, what is drawn is its least: a landing
    elsewhere in between is not in the day.
    """
    residual = turnaround.landing.residual_k
    if residual is not None:
        return np.full_like(air_k, residual)
    if not carried:
        what = "brakes at touchdown above the air"
        return air_k + inputs.missing(what, "residual_rise_k")
    inputs.assumed.append(
        "brake heat left from the sector before: computed, never less than "
        f"{inputs.range_of('residual_rise_k')} above the air"
    )
    return air_k + inputs.drawn("residual_rise_k")
