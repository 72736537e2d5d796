"""Every technique has the sign that the trade says (common practice)."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.published.techniques import (
    TECHNIQUES,
    Technique,
    aircraft,
    base,
    changed,
    early,
)
from thermal.rollout import roll_out
from thermal.units import STANDARD_GRAVITY_M_PER_S2


@pytest.mark.parametrize("technique", TECHNIQUES, ids=lambda one: one.change)
def test_technique_heats_more(technique: Technique) -> None:
    """A tenth of a megajoule per brake at least: a sign, not rounding."""
    assert technique.extra_mj() > 0.1


def test_early_exit_costs_more_than_landing_fast() -> None:
    """The runway's length saves more than five knots do (common practice)."""
    by_exit = changed(exit_distance_m=early())
    faster = next(one for one in TECHNIQUES if one.change.startswith("5 kt"))
    assert by_exit > faster.extra_mj()


@settings(max_examples=40, deadline=None)
@given(
    slope=st.floats(-0.02, 0.02),
    headwind=st.floats(-5.0, 10.0),
    reverse=st.sampled_from([0.0, 0.25, 1.0]),
    level=st.floats(1.2, 3.0),
    exit_speed=st.floats(4.0, 18.0),
    added=st.floats(50.0, 1500.0),
)
def test_later_exit_never_heats_more_where_nothing_pushes(
    slope: float,
    headwind: float,
    reverse: float,
    level: float,
    exit_speed: float,
    added: float,
) -> None:
    """Where rolling and drag hold the idle push and the slope, longer is no hotter.

    Where they do not, the brakes hold the aircraft back and it gets hotter: the true
    sign either way.
    """
    roll = replace(
        base(),
        slope_fraction=slope,
        headwind_m_per_s=headwind,
        reverse_fraction=reverse,
        deceleration_m_per_s2=level,
        exit_speed_m_per_s=exit_speed,
        exit_distance_m=np.array([2400.0, 2400.0 + added]),
    )
    plane, weight = aircraft(), aircraft().maximum_landing_kg
    heat = roll_out(plane, roll)
    assume(bool(heat.makes_exit.all()))
    weight_n = weight * STANDARD_GRAVITY_M_PER_S2
    air = exit_speed + headwind
    pressure_n = 0.5 * 1.225 * plane.wing_area_m2 * air**2
    load_n = weight_n - plane.lift_coefficient_ground * pressure_n
    held_n = plane.rolling_fraction * load_n + weight_n * slope
    held_n += plane.drag_coefficient_ground * np.copysign(pressure_n, air)
    near, far = heat.energy_j
    if held_n >= plane.idle_n:
        assert far <= near * (1.0 + 1e-9)
    else:
        assert far - near == pytest.approx((plane.idle_n - held_n) * added, rel=1e-6)
