"""Motion of a braked aircraft: time, distance, brake power and the work of each force.

In: the forces of `Ground` and a speed to start from. Out: `Motion`, phase by phase.

- Phases that end at a time step through it; phases that end at a speed are quadratures
  over speed, since braking forces depend on speed alone.
- Work done over a step is mean force times distance, so the balance closes to rounding.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray, FloatLike
from thermal.ground_forces import BRAKE, BoolArray, Ground

_TIMED_STEPS = 8
_PANELS = 12
_HALVINGS = 30
_FRACTIONS = np.linspace(0.0, 1.0, 2 * _PANELS + 1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Motion:
    """State of a roll so far: scalars (batch, 1), works (6, batch, 1), node traces."""

    speed_m_per_s: FloatArray
    time_s: FloatArray
    distance_m: FloatArray
    works_j: FloatArray
    beyond_friction: BoolArray
    times_s: tuple[FloatArray, ...] = ()
    powers_w: tuple[FloatArray, ...] = ()

    @classmethod
    def at(cls, speed_m_per_s: FloatArray) -> "Motion":
        """Start of a roll at a ground speed, shape (batch, 1)."""
        still = np.zeros_like(speed_m_per_s)
        return cls(
            speed_m_per_s=speed_m_per_s,
            time_s=still,
            distance_m=still,
            works_j=np.zeros((6, *still.shape)),
            beyond_friction=np.zeros(still.shape[:-1], dtype=bool),
        )


def timed_phase(
    ground: Ground,
    motion: Motion,
    until_s: FloatArray,
    end_speed_m_per_s: FloatArray,
    brakes: FloatLike,
    reverse: FloatLike,
    stow_m_per_s: FloatLike = 0.0,
) -> Motion:
    """Roll until a time, or until the end speed if that comes first (midpoint rule)."""
    step_s = np.maximum(until_s - motion.time_s, 0.0) / _TIMED_STEPS
    for _ in range(_TIMED_STEPS):
        motion = _timed_step(
            ground, motion, step_s, end_speed_m_per_s, brakes, reverse, stow_m_per_s
        )
    return motion


def _timed_step(
    ground: Ground,
    motion: Motion,
    step_s: FloatArray,
    end_speed_m_per_s: FloatArray,
    brakes: FloatLike,
    reverse: FloatLike,
    stow_m_per_s: FloatLike,
) -> Motion:
    """One midpoint step, cut where the end speed is reached."""
    speed, inertia = motion.speed_m_per_s, ground.inertia_kg
    on = np.asarray(reverse) * (speed > np.asarray(stow_m_per_s, dtype=np.float64))
    first, _ = ground.forces_n(speed, brakes, on)
    middle = speed - 0.5 * step_s * first.sum(axis=0) / inertia
    middle = np.maximum(middle, end_speed_m_per_s)
    forces, beyond = ground.forces_n(middle, brakes, on)
    slowing = forces.sum(axis=0) / inertia
    left_s = (speed - end_speed_m_per_s) / np.maximum(slowing, 1e-9)
    taken_s = np.minimum(step_s, np.where(slowing > 0, left_s, np.inf))
    after = speed - taken_s * slowing
    metres = taken_s * 0.5 * (speed + after)
    time_s, power_w = motion.time_s + taken_s, forces[BRAKE]
    return Motion(
        speed_m_per_s=after,
        time_s=time_s,
        distance_m=motion.distance_m + metres,
        works_j=motion.works_j + forces * metres,
        beyond_friction=motion.beyond_friction | (beyond & (taken_s > 0)[..., 0]),
        times_s=(*motion.times_s, motion.time_s, time_s),
        powers_w=(*motion.powers_w, power_w * speed, power_w * after),
    )


def braked_phase(
    ground: Ground,
    motion: Motion,
    end_speed_m_per_s: FloatArray,
    reverse: FloatLike,
) -> Motion:
    """Brake to an end speed, split where the brakes come in below drag and reverse."""
    onset = _onset_speed(ground, motion.speed_m_per_s, end_speed_m_per_s, reverse)
    slowed = _over_speeds(ground, motion, onset, reverse)
    return _over_speeds(ground, slowed, end_speed_m_per_s, reverse)


def _onset_speed(
    ground: Ground, start: FloatArray, end: FloatArray, reverse: FloatLike
) -> FloatArray:
    """Speed at which the brakes begin to be needed, between end and start."""
    low, high = np.minimum(end, start), start
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        forces, _beyond = ground.forces_n(middle, 1.0, reverse)
        braking = forces[BRAKE] > 0.0
        low, high = np.where(braking, middle, low), np.where(braking, high, middle)
    return high


def _over_speeds(
    ground: Ground,
    motion: Motion,
    end_speed_m_per_s: FloatArray,
    reverse: FloatLike,
) -> Motion:
    """Brake to an end speed: Simpson quadrature over speed, as forces depend on it."""
    start = motion.speed_m_per_s
    span = np.maximum(start - end_speed_m_per_s, 0.0)
    speeds = start - span * _FRACTIONS
    forces, beyond = ground.forces_n(speeds, 1.0, reverse)
    seconds_per_speed = ground.inertia_kg / forces.sum(axis=0)
    times = motion.time_s + span * _cumulative(seconds_per_speed)
    metres_per_speed = seconds_per_speed * speeds
    metres = span * _total(metres_per_speed)
    powers = forces[BRAKE] * speeds
    return Motion(
        speed_m_per_s=start - span,
        time_s=times[..., -1:],
        distance_m=motion.distance_m + metres,
        works_j=motion.works_j + span * _total(forces * metres_per_speed),
        beyond_friction=motion.beyond_friction | (beyond & (span > 0)[..., 0]),
        times_s=(*motion.times_s, times),
        powers_w=(*motion.powers_w, powers[..., ::2]),
    )


def _cumulative(values: FloatArray) -> FloatArray:
    """Integral over fractions 0 … 1 at every panel end, shape (..., panels + 1)."""
    panels = values[..., :-2:2] + 4.0 * values[..., 1:-1:2] + values[..., 2::2]
    start = np.zeros((*values.shape[:-1], 1))
    sums = np.cumsum(panels, axis=-1) / (6.0 * _PANELS)
    return np.concatenate((start, sums), axis=-1)


def _total(values: FloatArray) -> FloatArray:
    """Integral over fractions 0 … 1, shape (..., 1)."""
    ends = values[..., :1] + values[..., -1:]
    odd = values[..., 1::2].sum(axis=-1, keepdims=True)
    even = values[..., 2:-1:2].sum(axis=-1, keepdims=True)
    total: FloatArray = (ends + 4.0 * odd + 2.0 * even) / (6.0 * _PANELS)
    return total
