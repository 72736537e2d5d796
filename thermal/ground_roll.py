"""Forces on a rolling aircraft, and the work they do while it slows down.

In: an aircraft, its weight, wind, air density, slope, the deceleration held and the
friction available (SI). Out: time, distance, brake power and the work of each force.

- Retarding forces count positive; forward thrust is a negative retarding force.
- The brakes give only what drag, rolling and reverse thrust leave of the deceleration
  held: never less than nothing, never more than the friction ceiling. Should even the
  ceiling leave less than `LEAST_DECELERATION_M_PER_S2`, the heat is counted as if the
  brakes gave the rest, and the sample is marked as beyond its friction.
- Work done over a step is mean force times distance, so the balance closes to rounding.
"""

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from thermal.aircraft import REFERENCE_DENSITY_KG_PER_M3, Aircraft
from thermal.arrays import FloatArray, FloatLike, frozen_array
from thermal.units import STANDARD_GRAVITY_M_PER_S2

BoolArray = npt.NDArray[np.bool_]

BRAKE, DRAG, REVERSE, ROLLING, SLOPE, THRUST = range(6)
LEAST_DECELERATION_M_PER_S2 = 0.1
PROFILE_POINTS = 33
# Reverse thrust fades with air speed, to this share at rest: engineering estimate.
REVERSE_SHARE_AT_REST = 0.5

_TIMED_STEPS = 8
_PANELS = 16
_FRACTIONS = np.linspace(0.0, 1.0, 2 * _PANELS + 1)


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """What acts on one batch of rolling aircraft; every array has shape (batch, 1)."""

    aircraft: Aircraft
    weight_kg: FloatArray
    headwind_m_per_s: FloatArray
    density_kg_per_m3: FloatArray
    slope_fraction: FloatArray
    deceleration_m_per_s2: FloatArray
    friction_fraction: FloatArray
    reverse_fraction: FloatArray
    idle_fraction: FloatArray

    @property
    def inertia_kg(self) -> FloatArray:
        """Mass that resists slowing down, wheels' rotation included."""
        return self.weight_kg * (1.0 + self.aircraft.rotating_mass_fraction)

    def forces_n(
        self, speed_m_per_s: FloatArray, brakes: FloatLike, reverse: FloatLike
    ) -> tuple[FloatArray, BoolArray]:
        """Retarding forces (6, batch, node), and where friction is not enough.

        ``brakes`` and ``reverse`` say where brakes and reverse thrust are on (0 or 1).
        """
        plane, on = self.aircraft, np.asarray(reverse) * (self.reverse_fraction > 0)
        air = speed_m_per_s + self.headwind_m_per_s
        pressure_n = 0.5 * self.density_kg_per_m3 * plane.wing_area_m2 * air**2
        weight_n = self.weight_kg * STANDARD_GRAVITY_M_PER_S2
        load_n = np.maximum(weight_n - plane.lift_coefficient_ground * pressure_n, 0.0)
        forces = np.empty((6, *np.broadcast_shapes(air.shape, self.weight_kg.shape)))
        forces[DRAG] = plane.drag_coefficient_ground * np.copysign(pressure_n, air)
        forces[REVERSE] = on * self._reverse_n(air)
        forces[ROLLING] = plane.rolling_fraction * load_n
        forces[SLOPE] = weight_n * self.slope_fraction
        forces[THRUST] = -(1 - on) * self._idle_n()
        others = forces[DRAG:].sum(axis=0)
        ceiling = self.friction_fraction * load_n
        wanted = self.inertia_kg * self.deceleration_m_per_s2 - others
        least = self.inertia_kg * LEAST_DECELERATION_M_PER_S2 - others
        held = np.clip(wanted, 0.0, np.maximum(ceiling, least))
        forces[BRAKE] = brakes * held
        return forces, (forces[BRAKE] > ceiling).any(axis=-1)

    def _reverse_n(self, air_speed_m_per_s: FloatArray) -> FloatArray:
        """Reverse thrust: fades with air speed, no credit for cold dense air."""
        reference = self.aircraft.reference_touchdown_m_per_s
        fade = np.clip(air_speed_m_per_s / reference, 0.0, 1.0)
        share = REVERSE_SHARE_AT_REST + (1.0 - REVERSE_SHARE_AT_REST) * fade
        thin = np.minimum(self.density_kg_per_m3 / REFERENCE_DENSITY_KG_PER_M3, 1.0)
        return self.reverse_fraction * self.aircraft.reverse_n * share * thin

    def _idle_n(self) -> FloatArray:
        """Forward idle thrust: no credit for thin air, none for speed."""
        dense = np.maximum(self.density_kg_per_m3 / REFERENCE_DENSITY_KG_PER_M3, 1.0)
        return self.idle_fraction * self.aircraft.idle_n * dense


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
    end = np.where(off_s > on_s, off_s, on_s + 1.0)
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
