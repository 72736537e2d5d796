"""The stop margin of a landing: runway left beyond what stopping takes, with a factor.

In: an aircraft, a batch of landing rolls, the runway under it (SI). Out: metres.

The smaller of two distances counts:

- what is left when the landing distance (touchdown point, then the roll at the
  deceleration of its own, to a full stop) is multiplied by the factor;
- what is left from any point of the roll on when, from the speed held there, a stop
  with all the friction of the reported condition is multiplied by the factor.

Reverse thrust takes part in the roll as it is planned, but not in the full-braking
stop. That begins a second after the decision (engineering estimate: pedals down,
pressure up).
"""

import numpy as np

from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray, FloatLike, broadcast_columns, check_range
from thermal.ground_forces import Ground
from thermal.ground_roll import Motion, braked_phase
from thermal.rollout import LandingRoll, landing_ground, roll_out
from thermal.surface import Surface

STOP_FACTOR = 1.15
RESPONSE_S = 1.0
_POINTS = 9
_SLOWEST_M_PER_S = 0.5


def stop_margin_m(
    aircraft: Aircraft,
    roll: LandingRoll,
    surface: Surface,
    *,
    touchdown_m: FloatLike,
    landing_distance_m: float,
    factor: float = STOP_FACTOR,
) -> FloatArray:
    """Runway left beyond the factored distances to stop; negative where it is short.

    Parameters
    ----------
    aircraft : Aircraft
    roll : LandingRoll
        Fields broadcast to (batch,); distances from touchdown.
    surface : Surface
        The runway as reported.
    touchdown_m : float or array, shape (batch,)
        Touchdown point from the threshold.
    landing_distance_m : float
        Landing distance available from the threshold.
    factor : float
        On every distance to stop.

    Returns
    -------
    margin_m : array, shape (batch,)
        Minus infinity where the friction does not stop the aircraft at all.

    Raises
    ------
    ParameterError
        If a distance, the factor or the weight is out of range.
    """
    check_range("touchdown_m", touchdown_m, 0.0, 5000.0, "m")
    check_range("landing_distance_m", landing_distance_m, 300.0, 8000.0, "m")
    check_range("factor", factor, 1.0, 3.0, "")
    begin_m = np.asarray(touchdown_m, dtype=np.float64)
    at_m, full_m, own_m = _points(aircraft, roll, surface)
    planned_m = landing_distance_m - factor * (begin_m + own_m)
    left_m = landing_distance_m - begin_m[..., None] - at_m - factor * full_m
    margin_m: FloatArray = np.minimum(planned_m, left_m.min(axis=-1))
    return margin_m


def _points(
    aircraft: Aircraft, roll: LandingRoll, surface: Surface
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Distance from touchdown at some speeds, full stop from there, and own stop.

    Shapes (batch, point) twice, then (batch,). The last point is the exit, at the speed
    held there; the own stop is at the deceleration of the roll.
    """
    given = broadcast_columns(roll)
    touchdown, exit_m = given["touchdown_speed_m_per_s"], given["exit_distance_m"]
    slowest = np.maximum(given["exit_speed_m_per_s"], _SLOWEST_M_PER_S)
    part = np.linspace(0.0, 1.0, _POINTS)
    speed = touchdown - np.maximum(touchdown - slowest, 0.0) * part
    wide = {name: values for name, values in given.items() if name != "exit_distance_m"}
    down_to = np.concatenate((speed, np.zeros_like(touchdown)), axis=-1)
    found = roll_out(
        aircraft, LandingRoll(**{**wide, "exit_speed_m_per_s": down_to}), surface
    )
    distance_m = np.where(found.within_friction, found.distance_m, np.inf)
    at_m, own_m = distance_m[..., :-1], distance_m[..., -1]
    rolled_on = np.isfinite(exit_m) & (at_m[..., -1:] < exit_m)
    last_m = np.where(rolled_on, exit_m, at_m[..., -1:])
    at_m = np.concatenate((at_m, last_m), axis=-1)
    speed = np.concatenate((speed, speed[..., -1:]), axis=-1)
    ground = landing_ground(aircraft, given, surface)
    return at_m, _full_stop_m(ground, speed), own_m


def _full_stop_m(ground: Ground, speed_m_per_s: FloatArray) -> FloatArray:
    """Stop with all the friction there is, without reverse; shape as the speeds."""
    flat = speed_m_per_s.reshape(-1, 1)

    def each(values: FloatArray) -> FloatArray:
        return np.broadcast_to(values, speed_m_per_s.shape).reshape(-1, 1)

    hard = Ground(
        aircraft=ground.aircraft,
        weight_kg=each(ground.weight_kg),
        headwind_m_per_s=each(ground.headwind_m_per_s),
        density_kg_per_m3=each(ground.density_kg_per_m3),
        slope_fraction=each(ground.slope_fraction),
        deceleration_m_per_s2=np.full_like(flat, np.inf),
        friction_fraction=each(ground.friction_fraction),
        reverse_fraction=np.zeros_like(flat),
        idle_fraction=each(ground.idle_fraction),
        surface=ground.surface,
    )
    stopped = braked_phase(hard, Motion.at(flat), np.zeros_like(flat), 0.0)
    metres = RESPONSE_S * flat + stopped.distance_m
    found = np.where(stopped.beyond_friction[..., None], np.inf, metres)
    return np.asarray(found.reshape(speed_m_per_s.shape))
