"""The accelerate-stop: heat of a take-off rejected at V1, and the speed limit it sets.

In: aircraft and a batch of rejected take-offs (SI, V1 as true air speed). Out: the same
`RolloutHeat` as a landing gives; a brake-energy speed.

- Wind counts as in scheduled data: half a headwind, one and a half tailwinds.
- For the reaction time after V1 (2 s: 14 CFR 25.109) the aircraft is carried on by its
  engines at a steady acceleration. The rule lets it roll at V1; by default it gains
  1 m/s² here, on the hot side: thrust stays for about half the reaction, and a late
  action costs 4 kt or more per second (flying handbook of the authority).
- Then brakes to a full stop, no reverse thrust, live engines at forward idle.
"""

from dataclasses import dataclass

import numpy as np

from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray, FloatLike, broadcast_columns, check_range
from thermal.certification import credited_headwind_m_per_s
from thermal.ground_forces import BRAKE, THRUST, Ground
from thermal.ground_roll import Motion, braked_phase
from thermal.rollout_heat import RolloutHeat, heat_of

FASTEST_M_PER_S = 150.0
_SEARCH_STEPS = 60
_SEARCH_WIDTH_M_PER_S = 1e-7

_RANGES: tuple[tuple[str, float, float, str], ...] = (
    ("weight_kg", 1e3, 7e5, "kg"),
    ("density_kg_per_m3", 0.6, 1.7, "kg/m3"),
    ("friction_fraction", 0.02, 0.8, ""),
    ("headwind_m_per_s", -15, 40, "m/s"),
    ("slope_fraction", -0.04, 0.04, ""),
    ("reaction_s", 0, 10, "s"),
    ("reaction_acceleration_m_per_s2", 0, 4, "m/s2"),
    ("deceleration_m_per_s2", 0.3, np.inf, "m/s2"),
    ("live_engine_fraction", 0, 1, ""),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RejectedTakeOff:
    """Conditions of rejected take-offs; a field is a number or broadcasts to (batch,).

    Attributes
    ----------
    weight_kg, density_kg_per_m3, friction_fraction
        Take-off weight, air density on the runway, friction ceiling of the braked
        wheels per load on all wheels, anti-skid in it.
    headwind_m_per_s, slope_fraction
        Reported headwind (negative: tailwind), before the factors; uphill positive.
    reaction_s, reaction_acceleration_m_per_s2
        Time from V1 to full braking, and what the engines still give meanwhile.
    deceleration_m_per_s2
        Held by the automatic system; infinity (default) brakes up to the friction.
    live_engine_fraction
        Share of the engines that run on at forward idle.

    Raises
    ------
    ParameterError
        If a value is outside its range (table in the module) or shapes do not fit.
    """

    weight_kg: FloatLike
    density_kg_per_m3: FloatLike
    friction_fraction: FloatLike
    headwind_m_per_s: FloatLike = 0.0
    slope_fraction: FloatLike = 0.0
    reaction_s: FloatLike = 2.0
    reaction_acceleration_m_per_s2: FloatLike = 1.0
    deceleration_m_per_s2: FloatLike = np.inf
    live_engine_fraction: FloatLike = 1.0

    def __post_init__(self) -> None:
        """Refuse values outside the ranges, and shapes that do not broadcast."""
        for field, low, high, unit in _RANGES:
            check_range(field, getattr(self, field), low, high, unit)
        broadcast_columns(self)


def accelerate_stop(
    aircraft: Aircraft, v1_m_per_s: FloatLike, stop: RejectedTakeOff
) -> RolloutHeat:
    """Heat of all brakes together when a take-off is rejected at V1.

    Parameters
    ----------
    aircraft : Aircraft
    v1_m_per_s : float or array, shape (batch,)
        True air speed at the decision.
    stop : RejectedTakeOff
        Fields broadcast to (batch,).

    Returns
    -------
    heat : RolloutHeat
        Arrays of shape (batch,), profiles (batch, 33); time zero and distance zero are
        V1; ``idle_j`` includes the thrust during the reaction; ``makes_exit`` is true.

    Raises
    ------
    ParameterError
        If V1 is not within 15 to 130 m/s, the ground speed is not positive, or the
        weight is not one of the aircraft's (`Aircraft.check_weight`).
    """
    check_range("v1_m_per_s", v1_m_per_s, 15.0, 130.0, "m/s")
    aircraft.check_weight(stop.weight_kg)
    given = broadcast_columns(stop, v1_m_per_s=v1_m_per_s)
    v1 = given["v1_m_per_s"]
    ground = _ground(aircraft, given)
    start = v1 - ground.headwind_m_per_s
    check_range("ground speed at V1", start, 1.0, FASTEST_M_PER_S, "m/s")
    reacted = _reaction(ground, Motion.at(start), given)
    stopped = braked_phase(ground, reacted, np.zeros_like(start), 0.0)
    return heat_of(
        ground,
        stopped,
        start,
        reacted.time_s,
        stopped.time_s,
        np.ones(start.shape[:-1], dtype=bool),
    )


def brake_energy_speed_m_per_s(
    aircraft: Aircraft, capacity_j: FloatLike, stop: RejectedTakeOff
) -> FloatArray:
    """V1 whose accelerate-stop puts exactly the capacity into the brakes.

    Parameters
    ----------
    aircraft : Aircraft
    capacity_j : float or array, shape (batch,)
        Heat that all brakes together can still take, at their unequal shares.
    stop : RejectedTakeOff
        Fields broadcast to (batch,).

    Returns
    -------
    v1_m_per_s : array, shape (batch,)
        True air speed; zero where there is no capacity for any speed. Where the
        capacity is more than 150 m/s over the ground can use, that bound counts.

    Raises
    ------
    ParameterError
        If the capacity is negative or the weight not one of the aircraft's.
    """
    check_range("capacity_j", capacity_j, 0.0, 1e11, "J")
    aircraft.check_weight(stop.weight_kg)
    given = broadcast_columns(stop, capacity_j=capacity_j)
    capacity = given["capacity_j"]
    ground = _ground(aircraft, given)
    brakes_on = _brakes_on_speed(ground, capacity)
    gained = given["reaction_acceleration_m_per_s2"] * given["reaction_s"]
    v1 = np.where(brakes_on > gained, brakes_on - gained + ground.headwind_m_per_s, 0.0)
    return np.maximum(v1, 0.0)[..., 0]


def _brakes_on_speed(ground: Ground, capacity_j: FloatArray) -> FloatArray:
    """Ground speed from which a stop takes the capacity: Newton within a bracket."""
    low, high = np.zeros_like(capacity_j), np.full_like(capacity_j, FASTEST_M_PER_S)
    ample = _braked_j(ground, high) <= capacity_j
    guess = np.minimum(np.sqrt(2.0 * capacity_j / ground.inertia_kg), high)
    low, speed = np.where(ample, high, low), np.where(ample, high, guess)
    for _ in range(_SEARCH_STEPS):
        missing_j = capacity_j - _braked_j(ground, speed)
        low = np.where(missing_j >= 0, speed, low)
        high = np.where(missing_j >= 0, high, speed)
        forces, _beyond = ground.forces_n(speed, 1.0, 0.0)
        share = forces[BRAKE] / forces.sum(axis=0)
        steep = np.maximum(ground.inertia_kg * speed * share, 1e-3)
        newton = speed + missing_j / steep
        inside = (newton >= low) & (newton <= high)
        before, speed = speed, np.where(inside, newton, 0.5 * (low + high))
        if (np.abs(speed - before) < _SEARCH_WIDTH_M_PER_S).all():
            break
    return speed


def _braked_j(ground: Ground, speed_m_per_s: FloatArray) -> FloatArray:
    """Brake heat of a stop from a ground speed, shape (batch, 1)."""
    rest = np.zeros_like(speed_m_per_s)
    stopped = braked_phase(ground, Motion.at(speed_m_per_s), rest, 0.0)
    return np.asarray(stopped.works_j[BRAKE], dtype=np.float64)


def _ground(aircraft: Aircraft, given: dict[str, FloatArray]) -> Ground:
    """Give the forces of a rejected take-off: factored wind, no reverse thrust."""
    return Ground(
        aircraft=aircraft,
        weight_kg=given["weight_kg"],
        headwind_m_per_s=credited_headwind_m_per_s(given["headwind_m_per_s"]),
        density_kg_per_m3=given["density_kg_per_m3"],
        slope_fraction=given["slope_fraction"],
        deceleration_m_per_s2=given["deceleration_m_per_s2"],
        friction_fraction=given["friction_fraction"],
        reverse_fraction=np.zeros_like(given["weight_kg"]),
        idle_fraction=given["live_engine_fraction"],
    )


def _reaction(ground: Ground, motion: Motion, given: dict[str, FloatArray]) -> Motion:
    """Roll on through the reaction at a steady acceleration (one midpoint step)."""
    taken_s, gain = given["reaction_s"], given["reaction_acceleration_m_per_s2"]
    after = motion.speed_m_per_s + gain * taken_s
    middle = 0.5 * (motion.speed_m_per_s + after)
    forces, _ = ground.forces_n(middle, 0.0, 0.0)
    forces[THRUST] -= forces.sum(axis=0) + ground.inertia_kg * gain
    still_w = np.zeros_like(middle)
    return Motion(
        speed_m_per_s=after,
        time_s=taken_s,
        distance_m=middle * taken_s,
        works_j=forces * (middle * taken_s),
        beyond_friction=motion.beyond_friction,
        times_s=(still_w, taken_s),
        powers_w=(still_w, still_w),
    )
