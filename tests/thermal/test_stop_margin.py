"""Runway surface, stop margin, and the techniques of a rollout that the trade knows."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from tests.synthetic_aircraft import FULL, PLAIN, STOP
from thermal.errors import ParameterError
from thermal.friction import PSI_PA, AntiSkid, RunwayCondition, wet_friction
from thermal.rollout import LandingRoll, roll_out
from thermal.stop_margin import RESPONSE_S, stop_margin_m
from thermal.surface import BRAKED_LOAD_SHARE, WITHOUT_ANTI_SKID, Surface
from thermal.units import KNOT_M_PER_S, STANDARD_GRAVITY_M_PER_S2

SPEEDS = np.linspace(0.0, 120.0, 25)
WORST_LAST = [RunwayCondition(code) for code in "6543210"]
ROLL = replace(
    STOP,
    brake_on_delay_s=1.0,
    spoiler_delay_s=1.0,
    reverse_fraction=0.25,
    exit_distance_m=2100.0,
    exit_speed_m_per_s=10.0,
)


def surface(
    condition: RunwayCondition = RunwayCondition.DRY, **given: object
) -> Surface:
    """Runway of a condition under the invented aircraft."""
    values = {"dry_friction": 0.4, "tyre_pressure_pa": 1.3e6}
    return Surface(condition=condition, **{**values, **given})  # type: ignore[arg-type]


def margin_m(roll: LandingRoll, under: Surface, **given: float) -> np.ndarray:
    """Margin on 2,750 m after touchdown at 457 m."""
    values = {"touchdown_m": 457.0, "landing_distance_m": 2750.0, **given}
    return stop_margin_m(FULL, roll, under, **values)


@pytest.mark.parametrize(("better", "worse"), list(pairwise(WORST_LAST)))
def test_worse_condition_gives_less_friction(worse, better):
    """No code gives more than the one above it below hydroplaning speed.

    Above it code 2 counts as nearly nothing, less than code 1 (AC 25-32, from memory).
    """
    slow = SPEEDS[SPEEDS < 50.0]
    if worse is RunwayCondition.CODE_1:
        slow = slow[:0]
    assert (surface(worse).friction(slow) <= surface(better).friction(slow)).all()


@pytest.mark.parametrize("condition", RunwayCondition)
def test_friction_never_rises_with_speed_nor_above_dry(condition):
    """Beyond 180 kt too, where no curve reaches."""
    friction = surface(condition).friction(SPEEDS)
    assert (friction > 0).all()
    assert (friction <= 0.4).all()
    assert (np.diff(friction) <= 1e-12).all()


def test_wet_surface_is_the_curve_of_the_regulation():
    """14 CFR 25.109(c) at 100 kt and 200 psi, on the share of braked wheels."""
    under = surface(RunwayCondition.WET, tyre_pressure_pa=200 * PSI_PA)
    curve = wet_friction(200 * PSI_PA, 100 * KNOT_M_PER_S, AntiSkid.FULLY_MODULATING)
    expected = BRAKED_LOAD_SHARE * curve
    assert under.friction(100 * KNOT_M_PER_S) == pytest.approx(expected)


def test_defects_take_friction_away():
    """A brake or the anti-skid out of use takes its share on every runway."""
    for condition in RunwayCondition:
        whole = surface(condition).friction(40.0)
        half = surface(condition, serviceable_fraction=0.5).friction(40.0)
        locked = surface(condition, anti_skid_serves=False).friction(40.0)
        assert half == pytest.approx(0.5 * whole)
        assert locked == pytest.approx(WITHOUT_ANTI_SKID * whole)


def test_margin_matches_constant_decelerations():
    """Without drag and thrust both distances are v²/2a by hand."""
    bare = replace(PLAIN, drag_coefficient_ground=0.0, rolling_fraction=0.0)
    gentle = stop_margin_m(
        bare, STOP, surface(), touchdown_m=400.0, landing_distance_m=2500.0
    )
    assert gentle == pytest.approx(2500.0 - 1.15 * (400.0 + 70.0**2 / 4.0), rel=1e-9)
    late = replace(STOP, exit_distance_m=2080.0, exit_speed_m_per_s=20.0)
    found = stop_margin_m(
        bare, late, surface(), touchdown_m=400.0, landing_distance_m=2600.0
    )
    hard = 0.4 * STANDARD_GRAVITY_M_PER_S2
    full_m = 20.0 * RESPONSE_S + 20.0**2 / (2.0 * hard)
    assert found == pytest.approx(2600.0 - 2480.0 - 1.15 * full_m, rel=1e-6)


def test_margin_falls_with_speed_and_rises_with_friction():
    """Faster, longer and more slippery is never better; nor is a later exit."""
    speeds = replace(ROLL, touchdown_speed_m_per_s=np.array([64.0, 68.0, 72.0, 76.0]))
    exits = replace(ROLL, exit_distance_m=np.array([1900.0, 2100.0, 2250.0]))
    for condition in RunwayCondition:
        under = surface(condition)
        assert (np.diff(margin_m(speeds, under)) <= 1e-6).all()
        assert (np.diff(margin_m(exits, under)) <= 1e-6).all()
    margins = [float(margin_m(ROLL, surface(dry_friction=f))) for f in (0.1, 0.2, 0.4)]
    assert margins == sorted(margins)
    assert margins[0] < margins[2]


@pytest.mark.parametrize("condition", RunwayCondition)
@pytest.mark.parametrize("deceleration", [1.4, 2.4, 6.0])
def test_margin_falls_with_weight(condition, deceleration):
    """Heavier, at the speed that goes with it: less margin on every runway."""
    weight = np.array([42e3, 50e3, 60e3])
    weights = replace(
        ROLL,
        weight_kg=weight,
        touchdown_speed_m_per_s=70.0 * np.sqrt(weight / 60e3),
        deceleration_m_per_s2=deceleration,
        exit_distance_m=np.inf,
    )
    assert (np.diff(margin_m(weights, surface(condition))) < 0).all()


def test_friction_that_does_not_stop_leaves_no_margin():
    """Downhill on nothing: minus infinity, not a number to argue with."""
    downhill = replace(ROLL, slope_fraction=-0.04)
    assert margin_m(downhill, surface(RunwayCondition.CODE_0)) == -np.inf


def test_margin_of_many_is_that_of_each():
    """A batch gives what each roll gives alone."""
    many = replace(ROLL, touchdown_speed_m_per_s=np.array([66.0, 72.0]))
    alone = [
        float(margin_m(replace(ROLL, touchdown_speed_m_per_s=v), surface()))
        for v in (66.0, 72.0)
    ]
    assert margin_m(many, surface()) == pytest.approx(alone, rel=1e-9)


def test_margin_refuses_a_factor_below_one():
    """No operator may make the distance shorter than it is."""
    with pytest.raises(ParameterError, match="factor"):
        margin_m(ROLL, surface(), factor=0.9)


def test_dropping_automatic_braking_early_heats_more():
    """Pedals after touchdown brake harder and hotter (common practice)."""
    off = np.array([0.0, 60.0, 100.0, 250.0]) * KNOT_M_PER_S
    roll = replace(ROLL, deceleration_m_per_s2=1.6, automatic_off_m_per_s=off)
    heat = roll_out(FULL, roll)
    sinks = heat.energy_j + heat.drag_j + heat.reverse_j + heat.rolling_j + heat.slope_j
    assert (np.diff(heat.energy_j) > 0).all()
    assert heat.kinetic_j + heat.idle_j == pytest.approx(sinks, rel=1e-9)


def test_at_set_pressure_reverse_thrust_shortens_the_roll():
    """Under pedals reverse adds to the brakes; automatic braking keeps the distance."""
    reverse = np.array([0.0, 0.8])
    stop = replace(STOP, reverse_fraction=reverse, reverse_delay_s=0.0)
    pedals = roll_out(FULL, replace(stop, automatic_off_m_per_s=150.0))
    automatic = roll_out(FULL, stop)
    assert pedals.distance_m[1] < pedals.distance_m[0] - 50.0
    assert automatic.distance_m[1] == pytest.approx(automatic.distance_m[0], rel=1e-6)


def test_pedals_hold_their_force():
    """Set force without air or rolling: v²/2a with the pedal's share of the weight."""
    bare = replace(PLAIN, drag_coefficient_ground=0.0, rolling_fraction=0.0)
    roll = replace(STOP, automatic_off_m_per_s=150.0, pedal_fraction=0.2)
    braked = 0.2 * STANDARD_GRAVITY_M_PER_S2
    assert roll_out(bare, roll).distance_m == pytest.approx(70.0**2 / (2.0 * braked))


def test_spoilers_late_roll_longer_and_hotter():
    """Until the spoilers are out less drag slows the aircraft."""
    delays = np.array([0.0, 1.0, 3.0])
    heat = roll_out(FULL, replace(ROLL, brake_on_delay_s=3.0, spoiler_delay_s=delays))
    assert (np.diff(heat.energy_j) > 0).all()
    assert heat.energy_j[2] < 1.05 * heat.energy_j[0]


def test_slippery_runway_holds_the_brakes_back():
    """The condition is a ceiling: never more brake heat, never a shorter roll."""
    hard = replace(ROLL, deceleration_m_per_s2=2.4, exit_distance_m=np.inf)
    heats = [roll_out(FULL, hard, surface(condition)) for condition in WORST_LAST]
    energies = [float(heat.energy_j) for heat in heats]
    distances = [float(heat.distance_m) for heat in heats]
    assert energies[0] > energies[4] > energies[6]
    assert distances == sorted(distances)
    assert not heats[6].within_friction or distances[6] > distances[0]


def test_condition_codes_of_words():
    """Dry is code 6, wet is code 5; only these two and codes are conditions."""
    assert RunwayCondition.DRY.code == 6
    assert RunwayCondition.WET.code == 5
    assert [RunwayCondition(str(code)).code for code in range(7)] == list(range(7))
    assert RunwayCondition.CODE_6.is_dry
    assert not RunwayCondition.WET.is_dry
