"""Landing, stand and take-off of every sample and brake as `Rows` for the heat."""

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.cases.landing import Arrival
from scheduler.cases.station_air import (
    hourly_weather,
    weather_at,
    wheel_wind_m_per_s,
)
from scheduler.cases.take_off import take_off_heat
from scheduler.day import Day, Turnaround
from thermal.arrays import FloatArray
from thermal.turnaround import Rows
from thermal.units import MINUTE_S


def turnaround_rows(
    day: Day,
    turnaround: Turnaround,
    inputs: Inputs,
    share: FloatArray,
    stack_fraction: FloatArray,
    arrival: Arrival,
) -> Rows:
    """One row per sample and brake, sample-major."""
    taxi_out_j, stop_j = take_off_heat(
        day, turnaround, inputs, float((share[0] > 0).mean())
    )
    warmest, spread = hourly_weather(day, turnaround)
    ambient = warmest + inputs.drawn("ambient") * spread
    residual = turnaround.landing.residual_k
    if residual is None:
        rise = inputs.missing("brakes at touchdown above the air", "residual_rise_k")
        start = ambient[:, :1] + rise
    else:
        start = np.full_like(ambient[:, :1], residual)
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
        taxi_in_s=flat(MINUTE_S * day.taxi_in_minutes(turnaround)),
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
    )
