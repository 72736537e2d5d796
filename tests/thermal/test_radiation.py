"""Radiation: view factors against quadrature and closed forms, exact secants."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from thermal.errors import ParameterError
from thermal.radiation import (
    exchange_area_concentric,
    exchange_area_parallel,
    secant_conductance_w_per_k,
    view_factor_coaxial_annuli,
    view_factor_coaxial_discs,
)
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4

TEMPERATURES_K = st.floats(200.0, 2500.0)


def view_factor_by_quadrature(inner: float, outer: float, gap: float) -> float:
    """Sum over both faces; the integral around the axis is a closed form."""
    nodes, weights = np.polynomial.legendre.leggauss(200)
    radii = inner + (outer - inner) * 0.5 * (nodes + 1.0)
    weights = weights * 0.5 * (outer - inner)
    first, second = radii[:, None], radii[None, :]
    total = first**2 + second**2 + gap**2
    around = 2.0 * math.pi * total / (total**2 - 4.0 * (first * second) ** 2) ** 1.5
    kernel = gap**2 / math.pi * around * first * second
    exchange = 2.0 * math.pi * weights @ kernel @ weights
    return float(exchange / (math.pi * (outer**2 - inner**2)))


@pytest.mark.parametrize("gap", [0.05, 0.2, 1.0, 5.0])
@pytest.mark.parametrize("inner", [0.0, 0.1, 0.15])
def test_annuli_agree_with_quadrature(inner: float, gap: float) -> None:
    """View factor algebra gives what integration over both faces gives."""
    expected = view_factor_by_quadrature(inner, 0.2, gap)
    found = view_factor_coaxial_annuli(inner, 0.2, gap)
    assert found == pytest.approx(expected, rel=1e-6)


def test_discs_equal_the_usual_closed_form() -> None:
    """The form without cancellation equals the textbook one where that is exact.

    Source: closed form for equal coaxial discs, from memory.
    """
    ratio = np.logspace(-1, 2, 20)
    usual = 1.0 + (1.0 - np.sqrt(4.0 * ratio**2 + 1.0)) / (2.0 * ratio**2)
    np.testing.assert_allclose(view_factor_coaxial_discs(ratio, 1.0), usual, 1e-10)


def test_annuli_without_core_are_discs() -> None:
    """An inner radius of zero leaves the equal discs."""
    gaps = np.array([0.0, 0.001, 0.1, 3.0])
    np.testing.assert_allclose(
        view_factor_coaxial_annuli(0.0, 0.2, gaps),
        view_factor_coaxial_discs(0.2, gaps),
        rtol=1e-12,
    )


def test_view_factors_go_from_one_to_nothing() -> None:
    """Touching faces see only each other; with distance the factor falls to zero."""
    gaps = np.array([0.0, 0.001, 0.01, 0.1, 1.0, 100.0])
    for factors in (
        view_factor_coaxial_discs(0.2, gaps),
        view_factor_coaxial_annuli(0.12, 0.2, gaps),
    ):
        assert factors[0] == pytest.approx(1.0)
        assert (np.diff(factors) < 0.0).all()
        assert 0.0 < factors[-1] < 1e-4


@pytest.mark.parametrize(
    "lengths", [(0.2, 0.2, 0.1), (-0.1, 0.2, 0.1), (0.1, 0.2, -1.0), (0.1, np.nan, 1.0)]
)
def test_impossible_annuli_are_refused(lengths: tuple[float, float, float]) -> None:
    """No width, a negative length and NaN are errors."""
    with pytest.raises(ParameterError):
        view_factor_coaxial_annuli(*lengths)


def test_black_faces_exchange_by_geometry_alone() -> None:
    """With emissivity one the exchange area is area times view factor."""
    assert exchange_area_parallel(0.3, 1.0, 1.0, 0.7) == pytest.approx(0.21)
    assert exchange_area_parallel(0.3, 0.8, 0.6, 0.0) == 0.0


def test_parallel_plates_have_their_textbook_area() -> None:
    """Faces that see only each other exchange by A / (1/e1 + 1/e2 - 1)."""
    expected = 0.5 / (1.0 / 0.8 + 1.0 / 0.6 - 1.0)
    assert exchange_area_parallel(0.5, 0.8, 0.6, 1.0) == pytest.approx(expected)
    assert exchange_area_parallel(0.5, 0.6, 0.8, 1.0) == pytest.approx(expected)


def test_concentric_shell_lies_between_plates_and_open_sky() -> None:
    """A shell as large as the body acts as a plate, an endless one as the sky."""
    plate = exchange_area_parallel(0.5, 0.8, 0.6, 1.0)
    assert exchange_area_concentric(0.5, 0.5, 0.8, 0.6) == pytest.approx(plate)
    assert exchange_area_concentric(0.5, np.inf, 0.8, 0.6) == pytest.approx(0.4)
    shells = exchange_area_concentric(0.5, [0.5, 1.0, 5.0, 1e6], 0.8, 0.6)
    assert (np.diff(shells) > 0.0).all()


@pytest.mark.parametrize(
    "call",
    [
        lambda: exchange_area_parallel(1.0, 0.0, 0.8, 1.0),
        lambda: exchange_area_parallel(1.0, 0.8, 1.1, 1.0),
        lambda: exchange_area_parallel(1.0, 0.8, 0.8, 1.1),
        lambda: exchange_area_concentric(1.0, 0.5, 0.8, 0.8),
        lambda: exchange_area_concentric(1.0, 2.0, np.nan, 0.8),
    ],
)
def test_impossible_surfaces_are_refused(call) -> None:
    """Emissivities and view factors beyond one, and a shell too small, are errors."""
    with pytest.raises(ParameterError):
        call()


@given(TEMPERATURES_K, TEMPERATURES_K)
def test_secant_gives_the_exact_flow(first_k: float, second_k: float) -> None:
    """Conductance times difference is the difference of fourth powers, any size."""
    flow = float(secant_conductance_w_per_k(0.4, first_k, second_k))
    flow *= first_k - second_k
    expected = 0.4 * STEFAN_BOLTZMANN_W_PER_M2_K4 * (first_k**4 - second_k**4)
    assert flow == pytest.approx(expected, rel=1e-9, abs=1e-6)


def test_secant_is_symmetric_and_bounded() -> None:
    """It is positive, alike both ways, and at equal temperatures the tangent."""
    there = secant_conductance_w_per_k(0.4, [800.0, 300.0], [300.0, 800.0])
    assert there[0] == there[1] > 0.0
    tangent = 4.0 * STEFAN_BOLTZMANN_W_PER_M2_K4 * 0.4 * 500.0**3
    assert secant_conductance_w_per_k(0.4, 500.0, 500.0) == pytest.approx(tangent)


def radiation_cooling_time_s(
    capacity_j_per_k: float, area_m2: float, start_k: float, end_k: float, sky_k: float
) -> float:
    """Closed form for a body that only radiates, in surroundings above 0 K."""

    def level(t: float) -> float:
        return (math.log((t + sky_k) / (t - sky_k)) + 2.0 * math.atan(t / sky_k)) / (
            4.0 * sky_k**3
        )

    scale = capacity_j_per_k / (STEFAN_BOLTZMANN_W_PER_M2_K4 * area_m2)
    return scale * (level(end_k) - level(start_k))


def test_cooling_by_the_secant_follows_the_closed_form() -> None:
    """Integrating the conductance over time reaches the closed form's temperature."""
    area = float(exchange_area_concentric(0.6, math.inf, 0.8, 1.0))
    time_s = radiation_cooling_time_s(45.0 * 1200.0, area, 773.15, 573.15, 293.15)
    assert time_s == pytest.approx(2176.42, abs=0.01)
    solution = solve_ivp(
        lambda _, t: (
            -secant_conductance_w_per_k(area, t, 293.15)
            * (t - 293.15)
            / (45.0 * 1200.0)
        ),
        (0.0, time_s),
        [773.15],
        rtol=1e-9,
        atol=1e-8,
    )
    assert solution.y[0, -1] == pytest.approx(573.15, abs=1e-4)


def test_exchange_broadcasts_like_singles() -> None:
    """Blocks over area, emissivity and temperature equal their elements."""
    area = np.array([0.1, 0.2])[:, None]
    emissivity = np.array([0.5, 0.7, 0.9])
    block = exchange_area_parallel(area, emissivity, 0.8, 0.95)
    assert block.shape == (2, 3)
    assert block[1, 2] == exchange_area_parallel(0.2, 0.9, 0.8, 0.95)
