"""Phases and their heat: integrals, knots, batches, what is refused."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from tests.brake_days import AIR_K, SEA_LEVEL_PA
from thermal.errors import ParameterError
from thermal.timeline import Air, Heat, PhaseKind, phase

JAGGED = Heat(power_w=np.array([[0.0, 4.0, 1.0, 3.0, 3.0], [2.0, 2.0, 2.0, 2.0, 2.0]]))
AIR = Air(ambient_k=AIR_K, pressure_pa=SEA_LEVEL_PA)


def test_energy_is_the_trapezoid_integral() -> None:
    """Piecewise linear power over each sample's own duration."""
    duration_s = np.array([8.0, 10.0])
    expected = np.trapezoid(JAGGED.power_w, dx=0.25, axis=1) * duration_s
    assert JAGGED.energy_j(duration_s) == pytest.approx(expected)


@pytest.mark.parametrize("fraction", [0.0, 0.1, 0.25, 0.4, 0.75, 0.99, 1.0])
def test_heat_until_is_the_integral_of_power(fraction: float) -> None:
    """Up to any fraction, against numerical quadrature knot by knot."""
    edges = np.unique([*np.arange(0.0, fraction, 0.25), fraction])
    pieces = pairwise(edges)
    whole = sum(quad(lambda f: JAGGED.at(f)[0], a, b)[0] for a, b in pieces)
    assert JAGGED.until(fraction)[0] == pytest.approx(whole, abs=1e-12)


def test_whole_phase_is_the_energy_per_second() -> None:
    """`until` at the end and `energy_j` agree."""
    assert JAGGED.until(1.0) == pytest.approx(JAGGED.energy_j(np.ones(2)))


@pytest.mark.parametrize(
    ("fraction", "knot"),
    [(0.0, 0.25), (0.1, 0.25), (0.25, 0.5), (0.8, 1.0), (1.0, 1.0)],
)
def test_next_knot(fraction: float, knot: float) -> None:
    """The first knot strictly after a fraction, the last one at the end."""
    assert JAGGED.next_knot(fraction) == knot


def test_bend_is_zero_for_linear_power_and_within_one_piece() -> None:
    """Only knots inside a step bend its heat."""
    assert JAGGED.bend(0.25, 0.5) == pytest.approx([0.0, 0.0])
    assert JAGGED.bend(0.0, 1.0)[1] == 0.0


def test_bend_bounds_the_heat_beyond_a_straight_line() -> None:
    """Whatever the step: never less than the true difference for a single knot."""
    for start in np.arange(0.0, 0.75, 0.05):
        end = start + 0.24
        line = 0.5 * (end - start) * (JAGGED.at(start) + JAGGED.at(end))
        true = np.abs(JAGGED.until(end) - JAGGED.until(start) - line)
        assert (JAGGED.bend(start, end) >= true - 1e-12).all()


def test_selected_samples_keep_their_values() -> None:
    """Rows of a phase, its heat included."""
    whole = phase(PhaseKind.TAXI_IN, [10.0, 20.0], AIR, batch=2, heat=JAGGED)
    part = replace(whole, continues=True).select(np.array([1]))
    assert part.duration_s == pytest.approx([20.0])
    assert part.heat is not None
    assert part.heat.power_w == pytest.approx(JAGGED.power_w[1:])
    assert part.continues


@pytest.mark.parametrize("duration_s", [-1.0, np.nan, 2e6])
def test_durations_without_meaning_are_refused(duration_s: float) -> None:
    """Negative, unknown or longer than a week."""
    with pytest.raises(ParameterError, match="parked: duration_s"):
        phase(PhaseKind.PARKED, duration_s, AIR, batch=1)


def test_batches_that_differ_are_refused() -> None:
    """Every field has one value per sample."""
    good = phase(PhaseKind.PARKED, 60.0, AIR, batch=2)
    with pytest.raises(ParameterError, match="ambient_k"):
        replace(good, ambient_k=np.array([AIR_K]))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("ambient_k", 20.0),
        ("pressure_pa", 1013.25),
        ("outer_m_per_s", -1.0),
        ("through_m_per_s", np.nan),
    ],
)
def test_air_of_no_airfield_is_refused(field: str, value: float) -> None:
    """Degrees Celsius and hectopascal are caught here."""
    with pytest.raises(ParameterError, match=field):
        replace(AIR, **{field: value})
