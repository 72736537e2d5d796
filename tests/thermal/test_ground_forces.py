"""Forces on a rolling aircraft, one by one."""

import numpy as np
import pytest

from tests.synthetic_aircraft import FULL
from thermal.arrays import FloatArray
from thermal.ground_forces import (
    BRAKE,
    DRAG,
    LEAST_DECELERATION_M_PER_S2,
    REVERSE,
    REVERSE_SHARE_AT_REST,
    THRUST,
    Ground,
)


def column(*values: float) -> FloatArray:
    """One value per sample, shape (batch, 1)."""
    return np.array(values)[:, None]


def ground(**changed: FloatArray) -> Ground:
    """60 t in calm sea-level air on a level runway, with the given changes."""
    usual = {
        "weight_kg": column(60e3),
        "headwind_m_per_s": column(0.0),
        "density_kg_per_m3": column(1.225),
        "slope_fraction": column(0.0),
        "deceleration_m_per_s2": column(2.0),
        "friction_fraction": column(0.4),
        "reverse_fraction": column(1.0),
        "idle_fraction": column(1.0),
    }
    return Ground(aircraft=FULL, **(usual | changed))


def test_tailwind_pushes_a_slow_aircraft() -> None:
    """Drag turns into a push where the tailwind is faster than the aircraft."""
    winds = ground(headwind_m_per_s=column(-10.0, 10.0, -3.0))
    forces, _ = winds.forces_n(column(3.0, 3.0, 3.0), 1.0, 0.0)
    drag_n = forces[DRAG][:, 0]
    assert drag_n[0] == pytest.approx(-0.5 * 1.225 * 125.0 * 0.12 * 49.0)
    assert drag_n[1] == pytest.approx(0.5 * 1.225 * 125.0 * 0.12 * 169.0)
    assert drag_n[2] == 0.0


def test_thin_air_costs_reverse_thrust_but_no_idle_thrust() -> None:
    """Density counts on the hot side: less reverse when thin, more idle when dense."""
    air = ground(density_kg_per_m3=column(0.98, 1.225, 1.47))
    speed = column(67.9, 67.9, 67.9)
    reversing, _ = air.forces_n(speed, 1.0, 1.0)
    idling, _ = air.forces_n(speed, 1.0, 0.0)
    assert reversing[REVERSE][:, 0] == pytest.approx([44e3, 55e3, 55e3])
    assert idling[THRUST][:, 0] == pytest.approx([-7e3, -7e3, -8.4e3])
    assert (reversing[THRUST] == 0.0).all()
    assert (idling[REVERSE] == 0.0).all()


def test_reverse_thrust_fades_with_air_speed() -> None:
    """Full at touchdown speed, a stated share at rest, never more than full."""
    forces, _ = ground().forces_n(np.array([[0.0, 67.9, 100.0]]), 1.0, 1.0)
    shares = forces[REVERSE][0] / 55e3
    assert shares == pytest.approx([REVERSE_SHARE_AT_REST, 1.0, 1.0])


def test_brakes_fill_up_the_held_deceleration_only() -> None:
    """Brakes complete the deceleration, or give nothing where it is exceeded."""
    held = ground(deceleration_m_per_s2=column(2.0, 0.5))
    forces, beyond = held.forces_n(column(67.9, 67.9), 1.0, 1.0)
    total_n = forces.sum(axis=0)[:, 0]
    assert total_n[0] == pytest.approx(60.6e3 * 2.0)
    assert total_n[1] > 60.6e3 * 0.5
    assert forces[BRAKE][1, 0] == 0.0
    assert not beyond.any()


def test_friction_ceiling_limits_the_brakes_and_its_lack_is_marked() -> None:
    """Friction limits the brake force; below the least deceleration it is marked."""
    slick = ground(
        friction_fraction=column(0.1, 0.02), slope_fraction=column(0.0, -0.04)
    )
    forces, beyond = slick.forces_n(column(10.0, 10.0), 1.0, 0.0)
    load_n = 60e3 * 9.80665 - 0.1 * 0.5 * 1.225 * 125.0 * 100.0
    least_n = 60.6e3 * LEAST_DECELERATION_M_PER_S2
    assert forces[BRAKE][0, 0] == pytest.approx(0.1 * load_n)
    assert forces.sum(axis=0)[1, 0] == pytest.approx(least_n)
    assert beyond.tolist() == [False, True]
