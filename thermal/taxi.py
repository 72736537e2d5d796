"""Taxiing: brake heat of the stops, and of idle thrust held back by the brakes.

In: aircraft and a batch of taxi legs (SI). Out: `TaxiHeat` with its time profile.

- Stops are spaced equally over the leg, each from the stop speed to rest by a firm
  application of 5 to 8 s (common practice); idle thrust goes on pushing meanwhile.
- Riding the brakes: what idle thrust pushes beyond rolling resistance is braked away at
  taxi speed all along the leg, stops included (on the hot side).
- Air drag and slope are left out: taxi routes are slow and short of steep.
"""

from dataclasses import dataclass, fields

import numpy as np

from thermal.aircraft import Aircraft
from thermal.arrays import (
    FloatArray,
    FloatLike,
    broadcast_columns,
    check_range,
    frozen_array,
)
from thermal.errors import ParameterError
from thermal.units import KNOT_M_PER_S, STANDARD_GRAVITY_M_PER_S2

# Share of an application in which the braking builds up.
_RISE_SHARE = 0.15

_RANGES: tuple[tuple[str, float, float, str], ...] = (
    ("weight_kg", 1e3, 7e5, "kg"),
    ("duration_s", 10, 4 * 3600, "s"),
    ("stop_count", 0, 60, "stops"),
    ("stop_speed_m_per_s", 0, 20, "m/s"),
    ("stop_duration_s", 2, 20, "s"),
    ("riding_fraction", 0, 1, ""),
    ("taxi_speed_m_per_s", 0, 20, "m/s"),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TaxiLeg:
    """A batch of taxi legs; every field is a number or broadcasts to (batch,).

    Attributes
    ----------
    weight_kg, duration_s
        Weight, and time from the start to the end of the leg.
    stop_count, stop_speed_m_per_s, stop_duration_s
        Whole number of stops, speed before each, time of each application.
    riding_fraction, taxi_speed_m_per_s
        Share of the leg's idle push that is held on the brakes (0: let the speed build
        and brake in stops), and the speed at which it is held.

    Raises
    ------
    ParameterError
        If a value is outside its range, the stops do not fit the leg, or shapes differ.
    """

    weight_kg: FloatLike
    duration_s: FloatLike
    stop_count: FloatLike
    stop_speed_m_per_s: FloatLike = 20.0 * KNOT_M_PER_S
    stop_duration_s: FloatLike = 6.0
    riding_fraction: FloatLike = 0.0
    taxi_speed_m_per_s: FloatLike = 15.0 * KNOT_M_PER_S

    def __post_init__(self) -> None:
        """Refuse values outside the ranges and stops that overlap."""
        for field, low, high, unit in _RANGES:
            check_range(field, getattr(self, field), low, high, unit)
        leg = broadcast_columns(self)
        if (leg["stop_count"] % 1.0 != 0.0).any():
            raise ParameterError.of("stop_count", "whole numbers", self.stop_count)
        if (leg["stop_count"] * leg["stop_duration_s"] > leg["duration_s"]).any():
            raise ParameterError.of(
                "stop_count", "stops that fit into duration_s", self.stop_count
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TaxiHeat:
    """Friction heat of all brakes together over a taxi leg.

    Attributes
    ----------
    time_s, power_w : array, shape (batch, 2 + 3 stops)
        Piecewise linear from the start (0) to the end of the leg, times never falling;
        a sample with fewer stops than the most repeats its last point. The trapezoid
        integral is ``energy_j``.
    energy_j, stops_j, riding_j : array, shape (batch,)
        Heat in all, of the stops, and of riding the brakes.
    """

    time_s: FloatArray
    power_w: FloatArray
    energy_j: FloatArray
    stops_j: FloatArray
    riding_j: FloatArray

    def __post_init__(self) -> None:
        """Freeze every array."""
        for field in fields(self):
            values = getattr(self, field.name)
            free = (-1,) * values.ndim
            object.__setattr__(self, field.name, frozen_array(field.name, values, free))


def taxi_heat(aircraft: Aircraft, leg: TaxiLeg) -> TaxiHeat:
    """Heat of all brakes together over a taxi leg, with its time profile.

    Parameters
    ----------
    aircraft : Aircraft
    leg : TaxiLeg
        Fields broadcast to (batch,).

    Returns
    -------
    heat : TaxiHeat
        Arrays of shape (batch,), profiles (batch, 2 + 3 stops).

    Raises
    ------
    ParameterError
        If the weight is not one of the aircraft's (`Aircraft.check_weight`).
    """
    aircraft.check_weight(leg.weight_kg)
    given = broadcast_columns(leg)
    stop_j = _stop_energy_j(aircraft, given)
    riding_w = _riding_power_w(aircraft, given)
    time_s, in_stop = _stop_times(given)
    peak_w = 2.0 * stop_j / given["stop_duration_s"]
    stops_j, riding_j = stop_j * given["stop_count"], riding_w * given["duration_s"]
    return TaxiHeat(
        time_s=time_s,
        power_w=riding_w + peak_w * in_stop,
        energy_j=(stops_j + riding_j)[..., 0],
        stops_j=stops_j[..., 0],
        riding_j=riding_j[..., 0],
    )


def _push_n(aircraft: Aircraft, given: dict[str, FloatArray]) -> FloatArray:
    """Idle thrust beyond rolling resistance; may be negative."""
    weight_n = given["weight_kg"] * STANDARD_GRAVITY_M_PER_S2
    return aircraft.idle_n - aircraft.rolling_fraction * weight_n


def _stop_energy_j(aircraft: Aircraft, given: dict[str, FloatArray]) -> FloatArray:
    """Heat of one stop: kinetic energy and what idle thrust adds over its distance."""
    inertia_kg = given["weight_kg"] * (1.0 + aircraft.rotating_mass_fraction)
    speed = given["stop_speed_m_per_s"]
    metres = 0.5 * speed * given["stop_duration_s"]
    kinetic_j = 0.5 * inertia_kg * speed**2
    return np.maximum(kinetic_j + _push_n(aircraft, given) * metres, 0.0)


def _riding_power_w(aircraft: Aircraft, given: dict[str, FloatArray]) -> FloatArray:
    """Power of holding idle thrust back at taxi speed."""
    push_n = np.maximum(_push_n(aircraft, given), 0.0)
    return given["riding_fraction"] * push_n * given["taxi_speed_m_per_s"]


def _stop_times(given: dict[str, FloatArray]) -> tuple[FloatArray, FloatArray]:
    """Start, peak and end of every stop within the leg, and the share of peak power."""
    count, whole_s = given["stop_count"], given["duration_s"]
    number = np.arange(int(count.max(initial=0.0)), dtype=np.float64)
    middle = (number + 0.5) / np.maximum(count, 1.0) * whole_s
    half = 0.5 * given["stop_duration_s"]
    real = number < count
    start = np.where(real, middle - half, whole_s)
    end = np.where(real, middle + half, whole_s)
    peak = start + _RISE_SHARE * (end - start)
    points = np.stack((start, peak, end), axis=-1)
    shares = np.stack((0.0 * real, 1.0 * real, 0.0 * real), axis=-1)
    flat = (*points.shape[:-2], 3 * number.size)
    edge = np.zeros((*points.shape[:-2], 1))
    time_s = np.concatenate((edge, points.reshape(flat), edge + whole_s), axis=-1)
    in_stop = np.concatenate((edge, shares.reshape(flat), edge), axis=-1)
    return time_s, in_stop
