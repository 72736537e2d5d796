"""What the braking modules give for the published figures."""

from dataclasses import replace

from tests.synthetic_aircraft import PLAIN, STOP
from thermal.accelerate_stop import RejectedTakeOff, accelerate_stop
from thermal.air import isa_density_kg_per_m3
from thermal.certification import (
    ACCELERATE_STOP_M_PER_S2,
    LANDING_STOP_M_PER_S2,
    kinetic_energy_per_wheel_j,
    rule_energy_per_wheel_j,
)
from thermal.friction import (
    PSI_PA,
    AntiSkid,
    hydroplaning_speed_m_per_s,
    wet_friction,
    wet_friction_maximum,
)
from thermal.rollout import roll_out
from thermal.speeds import default_touchdown_speed_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import FOOT_M, FOOT_POUND_FORCE_J, KNOT_M_PER_S, POUND_KG

from .registry import published, register_each

LANDING = (140_000 * POUND_KG, 135 * KNOT_M_PER_S, 4)
BARE = replace(PLAIN, drag_coefficient_ground=0.0, rolling_fraction=0.0)
HARD = replace(STOP, touchdown_speed_m_per_s=189.2 * FOOT_M, deceleration_m_per_s2=6.0)

register_each(
    "wet-friction-100-{}",
    lambda kt: float(
        wet_friction(100 * PSI_PA, kt * KNOT_M_PER_S, AntiSkid.FULLY_MODULATING)
    ),
    *(0, 50, 100),
)
register_each(
    "wet-friction-200-{}",
    lambda kt: float(wet_friction_maximum(200 * PSI_PA, kt * KNOT_M_PER_S)),
    *(0, 50, 100, 140),
)
register_each(
    "anti-skid-{}",
    lambda kind: float(
        wet_friction(100 * PSI_PA, 40.0, list(AntiSkid)[int(kind)])
        / wet_friction_maximum(100 * PSI_PA, 40.0)
    ),
    *(0, 1, 2),
)
register_each(
    "hydroplaning-{}",
    lambda psi: float(hydroplaning_speed_m_per_s(psi * PSI_PA)) / KNOT_M_PER_S,
    *(100, 200),
)


@published("kinetic-energy-constant", "kinetic-energy-exact-constant")
def kinetic_energy_constant() -> float:
    energy_j = kinetic_energy_per_wheel_j(POUND_KG, KNOT_M_PER_S, 1)
    return float(energy_j) / FOOT_POUND_FORCE_J


@published("kinetic-energy-exact")
def kinetic_energy_exact() -> float:
    return float(kinetic_energy_per_wheel_j(*LANDING)) / 1e6


@published("kinetic-energy-rule")
def kinetic_energy_rule() -> float:
    return float(rule_energy_per_wheel_j(*LANDING)) / FOOT_POUND_FORCE_J


@published("kinetic-energy-rule-mj")
def kinetic_energy_rule_mj() -> float:
    return float(rule_energy_per_wheel_j(*LANDING)) / 1e6


@published("landing-stop-deceleration-si")
def landing_stop_deceleration_si() -> float:
    return LANDING_STOP_M_PER_S2


@published("accelerate-stop-deceleration-si")
def accelerate_stop_deceleration_si() -> float:
    return ACCELERATE_STOP_M_PER_S2


@published("landing-stop-deceleration")
def landing_stop_deceleration() -> float:
    return LANDING_STOP_M_PER_S2 / FOOT_M


@published("accelerate-stop-deceleration")
def accelerate_stop_deceleration() -> float:
    return ACCELERATE_STOP_M_PER_S2 / FOOT_M


@published("rollout-distance")
def rollout_distance() -> float:
    return float(roll_out(PLAIN, STOP).distance_m)


@published("rollout-kinetic")
def rollout_kinetic() -> float:
    return float(roll_out(PLAIN, STOP).kinetic_j) / 1e6


@published("rollout-drag")
def rollout_drag() -> float:
    return float(roll_out(PLAIN, STOP).drag_j) / 1e6


@published("rollout-rolling")
def rollout_rolling() -> float:
    return float(roll_out(PLAIN, STOP).rolling_j) / 1e6


@published("rollout-brakes")
def rollout_brakes() -> float:
    return float(roll_out(PLAIN, STOP).energy_j) / 1e6


@published("braked-distance")
def braked_distance() -> float:
    return float(roll_out(BARE, HARD).distance_m) / FOOT_M


@published("free-roll")
def free_roll() -> float:
    later = roll_out(BARE, replace(HARD, brake_on_delay_s=3.0))
    return float(later.distance_m) / FOOT_M - braked_distance()


@published("million-foot-pounds")
def million_foot_pounds() -> float:
    return FOOT_POUND_FORCE_J


@published("rejected-take-off-energy")
def rejected_take_off_energy() -> float:
    return rejected_take_off_mj() / FOOT_POUND_FORCE_J


@published("rejected-take-off-mj")
def rejected_take_off_mj() -> float:
    stop = RejectedTakeOff(
        weight_kg=78e3,
        density_kg_per_m3=1.225,
        friction_fraction=0.4,
        reaction_acceleration_m_per_s2=0.0,
    )
    heavy = replace(PLAIN, maximum_take_off_kg=78e3)
    heat = accelerate_stop(heavy, 155 * KNOT_M_PER_S, stop)
    return float(heat.kinetic_j) / 1e6


@published("taxi-stop")
def taxi_stop() -> float:
    leg = TaxiLeg(weight_kg=60e3, duration_s=600.0, stop_count=1)
    free = replace(PLAIN, rolling_fraction=0.0)
    return float(taxi_heat(free, leg).energy_j) / 4e6


@published("energy-by-speed")
def energy_by_speed() -> float:
    roll = replace(STOP, touchdown_speed_m_per_s=[60.0, 66.0])
    slow_j, fast_j = roll_out(PLAIN, roll).kinetic_j
    return 100.0 * float(fast_j / slow_j - 1.0)


@published("energy-by-altitude")
def energy_by_altitude() -> float:
    densities = isa_density_kg_per_m3([0.0, 1524.0])
    low, high = default_touchdown_speed_m_per_s(PLAIN, 60e3, densities)
    return 100.0 * float((high / low) ** 2 - 1.0)
