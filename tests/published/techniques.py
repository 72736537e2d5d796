"""What landing and taxi techniques do to brake heat: the trade's sign, our size.

Base: the catalogue's `twin-72` at maximum landing weight, calm, sea level, 5 kt
additive, touchdown 457 m past the threshold, low automatic braking with full reverse,
the last exit of a runway of 2,750 m. Signs are common practice; sizes are ours.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from thermal.aircraft import Aircraft
from thermal.catalogue import load_aircraft
from thermal.rollout import LandingRoll, deceleration_to_exit_m_per_s2, roll_out
from thermal.speeds import default_touchdown_speed_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import KNOT_M_PER_S

AIM_POINT_M, LATE_EXIT_M, EARLY_EXIT_M = 457.0, 2600.0, 1700.0
PEDALS_M_PER_S = 150.0
TAXI_KG = 50_000.0
OPENING = """
## Techniques: the sign is the trade's, the size is ours

Extra heat per brake of one change of a landing of `twin-72` at its maximum landing
weight: calm, sea level, 5 kt additive, touchdown at 457 m, 1.5 m/s² held with full
reverse, exit at 2,600 m. The sign is **common practice**, without a source; the size is
what heatslot computes. Five knots are told at idle reverse: with full reverse, drag and
reverse alone hold 1.5 m/s² at high speed, and the extra knots cost nothing. While
taxiing the brakes take what idle thrust pushes beyond rolling resistance; at the
maximum landing weight that is next to nothing, so riding is told at 50 t.

| change | the trade says | heatslot, MJ per brake | verdict |
|---|---|---:|---|
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """One change and its extra heat per brake; the trade says more of all of them."""

    change: str
    extra_mj: Callable[[], float]


@cache
def aircraft() -> Aircraft:
    """The aircraft of all rows."""
    return load_aircraft("twin-72")


def base() -> LandingRoll:
    """The coolest normal landing."""
    plane = aircraft()
    speed = default_touchdown_speed_m_per_s(plane, plane.maximum_landing_kg, 1.225)
    return LandingRoll(
        weight_kg=plane.maximum_landing_kg,
        touchdown_speed_m_per_s=speed,
        density_kg_per_m3=1.225,
        deceleration_m_per_s2=1.5,
        friction_fraction=plane.dry_friction,
        reverse_fraction=1.0,
        spoiler_delay_s=1.0,
        exit_distance_m=LATE_EXIT_M - AIM_POINT_M,
        exit_speed_m_per_s=15.0 * KNOT_M_PER_S,
    )


def heat_mj(roll: LandingRoll) -> float:
    """Heat per brake; the exit is made by braking harder if that is needed."""
    plane = aircraft()
    needed = deceleration_to_exit_m_per_s2(plane, roll)
    held = np.maximum(roll.deceleration_m_per_s2, np.minimum(needed, 6.0))
    heat = roll_out(plane, replace(roll, deceleration_m_per_s2=held))
    return float(heat.energy_j) / plane.brake_count / 1e6


def changed(**given: float) -> float:
    """Extra heat of a changed landing."""
    return heat_mj(replace(base(), **given)) - heat_mj(base())


def early() -> float:
    """Distance of the early exit from touchdown."""
    return EARLY_EXIT_M - AIM_POINT_M


def five_knots() -> float:
    slow = replace(base(), reverse_fraction=0.25)
    faster = float(base().touchdown_speed_m_per_s) + 5.0 * KNOT_M_PER_S
    return heat_mj(replace(slow, touchdown_speed_m_per_s=faster)) - heat_mj(slow)


def long_to_an_early_exit() -> float:
    at = replace(base(), exit_distance_m=early())
    return heat_mj(replace(at, exit_distance_m=early() - 300.0)) - heat_mj(at)


def taxi_mj(**given: float) -> float:
    """Heat per brake of ten minutes of taxiing."""
    plane = aircraft()
    leg = TaxiLeg(weight_kg=TAXI_KG, duration_s=600.0, stop_count=3, **given)
    return float(taxi_heat(plane, leg).energy_j) / plane.brake_count / 1e6


def riding() -> float:
    return taxi_mj(riding_fraction=1.0) - taxi_mj(riding_fraction=0.0)


TECHNIQUES = (
    Technique(change="5 kt too fast, at idle reverse", extra_mj=five_knots),
    Technique(
        change="300 m long, to an exit at 1,700 m", extra_mj=long_to_an_early_exit
    ),
    Technique(
        change="idle reverse instead of full",
        extra_mj=lambda: changed(reverse_fraction=0.25),
    ),
    Technique(change="no reverse", extra_mj=lambda: changed(reverse_fraction=0.0)),
    Technique(
        change="reverse selected five seconds later",
        extra_mj=lambda: changed(reverse_delay_s=8.0),
    ),
    Technique(
        change="automatic braking at 2.4 m/s² instead of 1.5",
        extra_mj=lambda: changed(deceleration_m_per_s2=2.4),
    ),
    Technique(
        change="automatic braking dropped at touchdown for pedals",
        extra_mj=lambda: changed(automatic_off_m_per_s=PEDALS_M_PER_S),
    ),
    Technique(
        change="automatic braking dropped at 100 kt for pedals",
        extra_mj=lambda: changed(automatic_off_m_per_s=100.0 * KNOT_M_PER_S),
    ),
    Technique(
        change="exit at 1,700 m instead of 2,600 m",
        extra_mj=lambda: changed(exit_distance_m=early()),
    ),
    Technique(
        change="riding the brakes for ten minutes of taxiing, same stops",
        extra_mj=riding,
    ),
)


def techniques_text() -> str:
    """Section of the page on validation."""
    rows = []
    for one in TECHNIQUES:
        extra = one.extra_mj()
        verdict = "agrees" if extra > 0.0 else "**differs**"
        rows.append(f"| {one.change} | hotter | {extra:+.2f} | {verdict} |\n")
    return OPENING + "".join(rows)
