"""The landing roll: from touchdown to the turn off the runway, into brake heat.

In: an aircraft and a batch of landing rolls (SI, ground speed). Out: `RolloutHeat`.

- Free roll until spoilers, brakes and reverse thrust take effect, then the held
  deceleration down to the exit speed; forward idle thrust pushes whenever reverse
  thrust is not in use.
- Slower than the speed at which automatic braking is dropped the pedals hold a set
  brake force: reverse thrust then shortens the roll and spares no brake force.
- Exit speed reached before the exit: the aircraft rolls on at that speed; brakes work
  only against what idle thrust and a downslope push beyond drag and rolling.
- Exit not made at the held deceleration: the roll goes on to the exit speed beyond it
  and `makes_exit` is false; `deceleration_to_exit_m_per_s2` says what it would take.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray, FloatLike, broadcast_columns, check_range
from thermal.errors import ParameterError
from thermal.ground_forces import BRAKE, THRUST, BoolArray, Ground
from thermal.ground_roll import Motion, braked_phase, timed_phase
from thermal.rollout_heat import RolloutHeat, heat_of
from thermal.surface import Surface
from thermal.units import KNOT_M_PER_S, STANDARD_GRAVITY_M_PER_S2

__all__ = [
    "LandingRoll",
    "RolloutHeat",
    "deceleration_to_exit_m_per_s2",
    "landing_ground",
    "roll_out",
]

_RANGES: tuple[tuple[str, float, float, str], ...] = (
    ("weight_kg", 1e3, 7e5, "kg"),
    ("touchdown_speed_m_per_s", 20, 130, "m/s"),
    ("headwind_m_per_s", -15, 40, "m/s"),
    ("density_kg_per_m3", 0.6, 1.7, "kg/m3"),
    ("slope_fraction", -0.04, 0.04, ""),
    ("deceleration_m_per_s2", 0.3, 6, "m/s2"),
    ("friction_fraction", 0.02, 0.8, ""),
    ("reverse_fraction", 0, 1, ""),
    ("reverse_delay_s", 0, 15, "s"),
    ("reverse_stow_m_per_s", 0, 60, "m/s"),
    ("brake_on_delay_s", 0, 15, "s"),
    ("spoiler_delay_s", 0, 15, "s"),
    ("automatic_off_m_per_s", 0, 150, "m/s"),
    ("pedal_fraction", 0.02, 0.8, ""),
    ("exit_distance_m", 100, np.inf, "m"),
    ("exit_speed_m_per_s", 0, 130, "m/s"),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LandingRoll:
    """A batch of landing rolls; every field is a number or broadcasts to (batch,).

    Attributes
    ----------
    weight_kg, touchdown_speed_m_per_s, density_kg_per_m3
        Weight, true ground speed at touchdown, air density on the runway.
    deceleration_m_per_s2
        Held by automatic braking (or the crew) from brakes on to the exit speed.
    friction_fraction
        Friction ceiling of the braked wheels per load on all wheels, anti-skid in it.
    headwind_m_per_s, slope_fraction
        Headwind (negative: tailwind); uphill positive.
    reverse_fraction, reverse_delay_s, reverse_stow_m_per_s
        0 none … 1 full (idle reverse about 0.25, common practice), with thrust from so
        many seconds after touchdown down to this ground speed (60 kt, common practice).
        With part of the reversers in use, give the share of all of them.
    brake_on_delay_s
        From touchdown to brakes on.
    spoiler_delay_s
        From touchdown to spoilers out.
    automatic_off_m_per_s, pedal_fraction
        Ground speed at which automatic braking is dropped (0: held to the end; above
        the touchdown speed: pedals from the start), and the brake force that the
        pedals then hold, per weight (a quarter: firm braking, engineering estimate).
    exit_distance_m, exit_speed_m_per_s
        Distance from touchdown (infinity: no exit given) and ground speed at the exit.
        With an exit the speed is at least 2 m/s; without one, 0 is a full stop.

    Raises
    ------
    ParameterError
        If a value is outside its range (table in the module) or shapes do not fit.
    """

    weight_kg: FloatLike
    touchdown_speed_m_per_s: FloatLike
    density_kg_per_m3: FloatLike
    deceleration_m_per_s2: FloatLike
    friction_fraction: FloatLike
    headwind_m_per_s: FloatLike = 0.0
    slope_fraction: FloatLike = 0.0
    reverse_fraction: FloatLike = 0.0
    reverse_delay_s: FloatLike = 3.0
    reverse_stow_m_per_s: FloatLike = 60.0 * KNOT_M_PER_S
    brake_on_delay_s: FloatLike = 1.0
    spoiler_delay_s: FloatLike = 0.0
    automatic_off_m_per_s: FloatLike = 0.0
    pedal_fraction: FloatLike = 0.25
    exit_distance_m: FloatLike = np.inf
    exit_speed_m_per_s: FloatLike = 15.0 * KNOT_M_PER_S

    def __post_init__(self) -> None:
        """Refuse values outside the ranges, and shapes that do not broadcast."""
        for field, low, high, unit in _RANGES:
            check_range(field, getattr(self, field), low, high, unit)
        with_exit = np.isfinite(np.asarray(self.exit_distance_m))
        slow = np.asarray(self.exit_speed_m_per_s) < 2.0
        if (with_exit & slow).any():
            raise ParameterError.of(
                "exit_speed_m_per_s",
                "2 m/s or more at an exit",
                self.exit_speed_m_per_s,
            )
        broadcast_columns(self)


def roll_out(
    aircraft: Aircraft, roll: LandingRoll, surface: Surface | None = None
) -> RolloutHeat:
    """Heat of all brakes together over a landing roll, with its time profile.

    Parameters
    ----------
    aircraft : Aircraft
    roll : LandingRoll
        Fields broadcast to (batch,).
    surface : Surface, optional
        Lowers the friction ceiling to what the runway gives at each speed.

    Returns
    -------
    heat : RolloutHeat
        Arrays of shape (batch,), profiles (batch, 33); time zero is touchdown.

    Raises
    ------
    ParameterError
        If the weight is not one of the aircraft's (`Aircraft.check_weight`).

    Notes
    -----
    The work of every force is integrated, with ground speed in the kinetic and
    air speed in the aerodynamic terms. Friction that cannot slow the aircraft is
    reported as ``within_friction`` false, never silently.
    """
    aircraft.check_weight(roll.weight_kg)
    given = broadcast_columns(roll)
    ground = landing_ground(aircraft, given, surface)
    end = given["exit_speed_m_per_s"]
    start = Motion.at(given["touchdown_speed_m_per_s"])
    end = np.minimum(end, start.speed_m_per_s)
    free = _delays(ground, start, given, end)
    slowed = _slow_down(ground, free, given["reverse_stow_m_per_s"], end)
    ended, riding = _roll_on(ground, slowed, given["exit_distance_m"])
    return heat_of(
        ground,
        ended,
        start.speed_m_per_s,
        np.minimum(given["brake_on_delay_s"], slowed.time_s),
        np.where(riding, ended.time_s, slowed.time_s),
        (slowed.distance_m <= given["exit_distance_m"])[..., 0],
    )


def landing_ground(
    aircraft: Aircraft, given: dict[str, FloatArray], surface: Surface | None = None
) -> Ground:
    """Give the forces of a landing roll; all engines at idle when not in reverse.

    Parameters
    ----------
    given : dict of str to array, shape (batch, 1)
        Fields of a `LandingRoll`, broadcast.
    """
    weight_n = given["weight_kg"] * STANDARD_GRAVITY_M_PER_S2
    return Ground(
        aircraft=aircraft,
        weight_kg=given["weight_kg"],
        headwind_m_per_s=given["headwind_m_per_s"],
        density_kg_per_m3=given["density_kg_per_m3"],
        slope_fraction=given["slope_fraction"],
        deceleration_m_per_s2=given["deceleration_m_per_s2"],
        friction_fraction=given["friction_fraction"],
        reverse_fraction=given["reverse_fraction"],
        idle_fraction=np.ones_like(given["weight_kg"]),
        automatic_off_m_per_s=given["automatic_off_m_per_s"],
        pedal_n=given["pedal_fraction"] * weight_n,
        surface=surface,
    )


def _slow_down(
    ground: Ground, motion: Motion, stow: FloatArray, end: FloatArray
) -> Motion:
    """Brake to the end speed; split where reverse is stowed and pedals take over."""
    off = np.asarray(ground.automatic_off_m_per_s)
    automatic, pedals = (
        replace(ground, automatic_off_m_per_s=below) for below in (0.0, np.inf)
    )
    motion = braked_phase(automatic, motion, np.maximum(np.maximum(stow, off), end), 1)
    by_pedals = off > stow
    between = replace(ground, automatic_off_m_per_s=np.where(by_pedals, np.inf, 0.0))
    lower = np.maximum(np.minimum(stow, off), end)
    motion = braked_phase(between, motion, lower, by_pedals)
    return braked_phase(pedals, motion, end, 0) if (off > end).any() else motion


def _delays(
    ground: Ground, motion: Motion, given: dict[str, FloatArray], end: FloatArray
) -> Motion:
    """Roll until spoilers, brakes and reverse are all on, one after the other."""
    brakes_s, reverse_s = given["brake_on_delay_s"], given["reverse_delay_s"]
    reverse_s = np.where(given["reverse_fraction"] > 0, reverse_s, brakes_s)
    spoilers_s, stow = given["spoiler_delay_s"], given["reverse_stow_m_per_s"]
    begin = np.zeros_like(brakes_s)
    for until in np.sort([spoilers_s, brakes_s, reverse_s], axis=0):
        if (until > begin).any():
            now = replace(ground, spoilers_out=np.where(spoilers_s <= begin, 1.0, 0.0))
            brakes, reverse = brakes_s <= begin, reverse_s <= begin
            motion = timed_phase(now, motion, until, end, brakes, reverse, stow)
        begin = until
    return motion


def _roll_on(
    ground: Ground, motion: Motion, exit_m: FloatArray
) -> tuple[Motion, BoolArray]:
    """Hold the speed to the exit; second value: where brakes must hold it back."""
    speed = motion.speed_m_per_s
    left_m = np.where(np.isfinite(exit_m), exit_m - motion.distance_m, 0.0)
    left_m = np.maximum(left_m, 0.0)
    forces, _ = ground.forces_n(speed, 0.0, 0.0)
    pushed_n = -forces.sum(axis=0)
    forces[BRAKE] = np.maximum(pushed_n, 0.0)
    forces[THRUST] += np.minimum(pushed_n, 0.0)
    time_s = motion.time_s + left_m / np.maximum(speed, 1e-9)
    power_w = np.where(left_m > 0, forces[BRAKE] * speed, 0.0)
    ended = Motion(
        speed_m_per_s=speed,
        time_s=time_s,
        distance_m=motion.distance_m + left_m,
        works_j=motion.works_j + forces * left_m,
        beyond_friction=motion.beyond_friction,
        times_s=(*motion.times_s, motion.time_s, time_s),
        powers_w=(*motion.powers_w, power_w, power_w),
    )
    return ended, power_w > 0


def deceleration_to_exit_m_per_s2(aircraft: Aircraft, roll: LandingRoll) -> FloatArray:
    """Steady deceleration from brakes on that just makes the exit, shape (batch,).

    Infinite where the exit is passed before the brakes are on; zero where no exit is
    given or the exit speed is reached without brakes.

    Raises
    ------
    ParameterError
        If the weight is not one of the aircraft's (`Aircraft.check_weight`).
    """
    aircraft.check_weight(roll.weight_kg)
    given = broadcast_columns(roll)
    ground, end = landing_ground(aircraft, given), given["exit_speed_m_per_s"]
    motion = Motion.at(given["touchdown_speed_m_per_s"])
    end = np.minimum(end, motion.speed_m_per_s)
    brakes_s = given["brake_on_delay_s"]
    until = np.minimum(given["reverse_delay_s"], brakes_s)
    motion = timed_phase(ground, motion, until, end, 0.0, 0.0)
    stow = given["reverse_stow_m_per_s"]
    motion = timed_phase(ground, motion, brakes_s, end, 0.0, 1.0, stow)
    left_m = given["exit_distance_m"] - motion.distance_m
    speeds = np.maximum(motion.speed_m_per_s**2 - end**2, 0.0)
    needed = speeds / np.where(left_m > 0, 2.0 * left_m, 1.0)
    return np.where(left_m > 0, needed, np.inf)[..., 0]
