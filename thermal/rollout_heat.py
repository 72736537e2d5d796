"""Heat of one stop: the record, and how a finished motion becomes it.

In: `Motion` with the times between which the brakes were on. Out: `RolloutHeat`, whose
profile of brake power is scaled so that its integral is the energy of the motion.
"""

from dataclasses import dataclass, fields

import numpy as np

from thermal.arrays import FloatArray, frozen_array
from thermal.ground_forces import (
    BRAKE,
    DRAG,
    REVERSE,
    ROLLING,
    SLOPE,
    THRUST,
    BoolArray,
    Ground,
)
from thermal.ground_roll import Motion

PROFILE_POINTS = 33
# Braking shorter than this is spread over one second.
_SHORTEST_S = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RolloutHeat:
    """Friction heat of one stop, its time profile, and where the energy went.

    Attributes
    ----------
    time_s, power_w : array, shape (batch, 33)
        Profile of the friction power of all brakes together, piecewise linear over
        uniform times from brakes on to brakes off, measured from the start of the roll;
        nothing before and after. Its trapezoid integral is ``energy_j``.
    energy_j : array, shape (batch,)
        Heat in all brakes together.
    kinetic_j, idle_j, drag_j, reverse_j, rolling_j, slope_j : array, shape (batch,)
        Kinetic energy given up and work of forward thrust (sources), work of drag,
        reverse thrust and rolling resistance, potential energy gained (sinks):
        ``kinetic_j + idle_j = energy_j + drag_j + reverse_j + rolling_j + slope_j``.
    distance_m, duration_s : array, shape (batch,)
        From the start of the roll to its end.
    makes_exit, within_friction : bool array, shape (batch,)
        Whether the exit speed is reached before the exit, and whether the friction
        sufficed to slow down at all; where not, the heat is counted as if it did.
    """

    time_s: FloatArray
    power_w: FloatArray
    energy_j: FloatArray
    distance_m: FloatArray
    duration_s: FloatArray
    kinetic_j: FloatArray
    idle_j: FloatArray
    drag_j: FloatArray
    reverse_j: FloatArray
    rolling_j: FloatArray
    slope_j: FloatArray
    makes_exit: BoolArray
    within_friction: BoolArray

    def __post_init__(self) -> None:
        """Freeze every array."""
        for field in fields(self):
            values = getattr(self, field.name)
            if values.dtype == np.bool_:
                values.setflags(write=False)
                continue
            free = (-1,) * values.ndim
            object.__setattr__(self, field.name, frozen_array(field.name, values, free))


def heat_of(
    ground: Ground,
    motion: Motion,
    start_m_per_s: FloatArray,
    brakes_on_s: FloatArray,
    brakes_off_s: FloatArray,
    makes_exit: BoolArray,
) -> RolloutHeat:
    """Collect a finished motion into its heat, the profile scaled to the energy."""
    works, energy_j = motion.works_j[..., 0], motion.works_j[BRAKE]
    time_s, power_w = _profile(motion, brakes_on_s, brakes_off_s)
    means_w = 0.5 * (power_w[..., 1:] + power_w[..., :-1])
    shape_j = (means_w * np.diff(time_s, axis=-1)).sum(axis=-1, keepdims=True)
    flat_w = energy_j / (time_s[..., -1:] - time_s[..., :1])
    scaled = power_w * (energy_j / np.where(shape_j > 0, shape_j, 1.0))
    lost_j = 0.5 * ground.inertia_kg * (start_m_per_s**2 - motion.speed_m_per_s**2)
    return RolloutHeat(
        time_s=time_s,
        power_w=np.where(shape_j > 0, scaled, flat_w),
        energy_j=energy_j[..., 0],
        distance_m=motion.distance_m[..., 0],
        duration_s=motion.time_s[..., 0],
        kinetic_j=lost_j[..., 0],
        idle_j=-works[THRUST],
        drag_j=works[DRAG],
        reverse_j=works[REVERSE],
        rolling_j=works[ROLLING],
        slope_j=works[SLOPE],
        makes_exit=makes_exit,
        within_friction=~motion.beyond_friction,
    )


def _profile(
    motion: Motion, on_s: FloatArray, off_s: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Brake power at uniform times, one interpolation for all samples.

    Each sample's times are moved into an interval of their own, so that one sorted
    sequence holds the whole batch.
    """
    end = np.where(off_s > on_s + _SHORTEST_S, off_s, on_s + 1.0)
    time_s = on_s + (end - on_s) * np.linspace(0.0, 1.0, PROFILE_POINTS)
    known_s = np.concatenate(motion.times_s, axis=-1)
    known_w = np.concatenate(motion.powers_w, axis=-1)
    span = np.maximum(end, motion.time_s) * 2.0
    batch = known_s.shape[:-1]
    lane = np.arange(int(np.prod(batch))).reshape(*batch, 1)
    inside_s = np.clip(time_s, on_s + 1e-6 * span, end - 1e-6 * span)
    sorted_places = (known_s / span + lane).ravel()
    power_w = np.interp(inside_s / span + lane, sorted_places, known_w.ravel())
    return time_s, np.maximum(power_w, 0.0)
