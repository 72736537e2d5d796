"""Convection: correlations equal those of ``ht``; the film has the right limits."""

import warnings

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from thermal import air, convection
from thermal.convection import (
    blended_nusselt,
    film_coefficient_w_per_m2_k,
    nusselt_cylinder_churchill_bernstein,
    nusselt_cylinder_zukauskas,
    nusselt_horizontal_cylinder_churchill_chu,
    nusselt_vertical_plate_churchill_chu,
)
from thermal.errors import ParameterError, ValidityWarning

SEA_LEVEL_PA = 101325.0
PRANDTL = (0.02, 0.68, 0.71, 6.0, 12.0)
GRASHOF = np.logspace(-3, 10, 40)
REYNOLDS = np.concatenate([np.logspace(-1, 6.2, 40), [40.0, 1e3, 2e5]])


@pytest.mark.parametrize("prandtl", PRANDTL)
def test_natural_convection_is_that_of_ht(prandtl: float) -> None:
    """Cylinder and plate agree with an independent package over 13 decades."""
    for ours, theirs in (
        (
            nusselt_horizontal_cylinder_churchill_chu,
            ht.Nu_horizontal_cylinder_Churchill_Chu,
        ),
        (nusselt_vertical_plate_churchill_chu, ht.Nu_vertical_plate_Churchill),
    ):
        expected = [theirs(prandtl, grashof) for grashof in GRASHOF]
        np.testing.assert_allclose(ours(GRASHOF * prandtl, prandtl), expected, 1e-12)


@pytest.mark.parametrize("prandtl", PRANDTL)
def test_forced_convection_is_that_of_ht(prandtl: float) -> None:
    """Both cross-flow correlations agree with it, also at the ends of the bands."""
    bernstein = [ht.Nu_cylinder_Churchill_Bernstein(re, prandtl) for re in REYNOLDS]
    np.testing.assert_allclose(
        nusselt_cylinder_churchill_bernstein(REYNOLDS, prandtl), bernstein, 1e-12
    )
    zukauskas = [ht.Nu_cylinder_Zukauskas(re, prandtl, 0.69) for re in REYNOLDS]
    np.testing.assert_allclose(
        nusselt_cylinder_zukauskas(REYNOLDS, prandtl, 0.69), zukauskas, 1e-12
    )


def test_two_cross_flow_correlations_agree_for_air() -> None:
    """Two authors differ by no more than their scatter from 50 to 1e5."""
    re = np.logspace(1.7, 5, 30)
    ratio = nusselt_cylinder_zukauskas(re, 0.7, 0.7)
    ratio = ratio / nusselt_cylinder_churchill_bernstein(re, 0.7)
    assert (np.abs(ratio - 1.0) < 0.2).all()


@pytest.mark.parametrize(
    ("call", "highest"),
    [
        (lambda x: nusselt_horizontal_cylinder_churchill_chu(x, 0.7), 1e12),
        (lambda x: nusselt_vertical_plate_churchill_chu(x, 0.7), 1e12),
        (lambda x: nusselt_cylinder_churchill_bernstein(x, 0.7), 1e7),
        (lambda x: nusselt_cylinder_zukauskas(x, 0.7, 0.7), 2e6),
    ],
)
def test_correlation_warns_above_its_range_and_refuses_nonsense(call, highest) -> None:
    """The end of the range is silent, beyond it warns, negative and NaN are errors."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert call([0.0, highest]).shape == (2,)
    with pytest.warns(ValidityWarning, match="measured up to"):
        call([1.0, highest * 1.01])
    for bad in (-1.0, np.nan):
        with pytest.raises(ParameterError):
            call([1.0, bad])


def test_still_fluid_only_conducts() -> None:
    """At zero Rayleigh and Reynolds the Nusselt numbers are their known limits."""
    assert nusselt_horizontal_cylinder_churchill_chu(0.0, 0.7) == pytest.approx(0.36)
    assert nusselt_vertical_plate_churchill_chu(0.0, 0.7) == pytest.approx(0.680625)
    assert nusselt_cylinder_churchill_bernstein(0.0, 0.7) == pytest.approx(0.3)


@given(st.floats(0.01, 1e4), st.floats(0.01, 1e4))
def test_blend_lies_between_the_larger_and_the_sum(a: float, b: float) -> None:
    """Blended convection is at least the stronger kind, at most their sum."""
    blend = float(blended_nusselt(a, b))
    assert max(a, b) * (1.0 - 1e-12) <= blend <= (a + b) * (1.0 + 1e-12)
    assert blend**3 == pytest.approx(a**3 + b**3, rel=1e-9)


def film(surface_k=573.15, ambient_k=293.15, speed=0.0, diameter=0.5, pressure=None):
    """Coefficient of a brake-sized cylinder, at sea level unless told otherwise."""
    return film_coefficient_w_per_m2_k(
        surface_k, ambient_k, speed, diameter, pressure or SEA_LEVEL_PA
    )


def test_orders_of_magnitude_are_those_of_a_wheel() -> None:
    """A 0.5 m cylinder has the coefficients computed with ht and CoolProp.

    Values computed with ht and CoolProp; 4 % for their other air properties.
    """
    still = film(surface_k=np.array([373.15, 573.15, 773.15]))
    np.testing.assert_allclose(still, [5.6, 7.1, 7.4], rtol=0.04)
    forced = nusselt_cylinder_churchill_bernstein(
        10.0
        * 0.5
        * air.density_kg_per_m3(433.15, SEA_LEVEL_PA)
        / air.viscosity_pa_s(433.15),
        air.prandtl(433.15),
    )
    coefficient = forced * air.conductivity_w_per_m_k(433.15) / 0.5
    assert coefficient == pytest.approx(21.7, rel=0.04)


def test_film_at_rest_is_pure_natural_convection() -> None:
    """Without wind the coefficient is exactly the natural one at film temperature."""
    t = 433.15
    kinematic = air.viscosity_pa_s(t) / air.density_kg_per_m3(t, SEA_LEVEL_PA)
    rayleigh = 9.80665 * 280.0 / t * 0.5**3 / kinematic**2 * air.prandtl(t)
    nusselt = nusselt_horizontal_cylinder_churchill_chu(rayleigh, air.prandtl(t))
    expected = nusselt * air.conductivity_w_per_m_k(t) / 0.5
    assert film() == pytest.approx(expected, rel=1e-12)


def test_film_is_continuous_towards_rest() -> None:
    """A breath of wind changes nothing: no jump between rest and motion."""
    assert film(speed=1e-9) == pytest.approx(film(), rel=1e-9)


def test_film_without_difference_conducts() -> None:
    """Equal temperatures give the finite coefficient of pure conduction."""
    expected = 0.36 * air.conductivity_w_per_m_k(300.0) / 0.5
    assert film(300.0, 300.0) == pytest.approx(expected, rel=1e-12)


def test_film_sees_only_the_size_of_the_difference() -> None:
    """A cold body in warm air exchanges like a warm body in cold air."""
    assert film(300.0, 400.0) == pytest.approx(film(400.0, 300.0), rel=1e-12)


def test_wind_only_ever_cools() -> None:
    """More wind never lowers the coefficient, and a breeze is close to still air."""
    speeds = np.concatenate([[0.0], np.logspace(-3, 2, 60)])
    coefficients = film(speed=speeds)
    assert (np.diff(coefficients) >= 0.0).all()
    assert film(speed=1.0) < 1.2 * film()


def test_thin_air_cools_less() -> None:
    """At the pressure of 5000 ft both kinds fall, between its square root and 0.8."""
    high_pa = 84307.0
    ratio = high_pa / SEA_LEVEL_PA
    for speed in (0.0, 20.0):
        fall = float(film(speed=speed, pressure=high_pa) / film(speed=speed))
        assert ratio**0.85 < fall < ratio**0.45


def test_film_broadcasts_like_singles() -> None:
    """A block over temperature, wind and size is that of its elements."""
    surface = np.array([300.0, 600.0, 1200.0])[:, None, None]
    speed = np.array([0.0, 3.0])[:, None]
    diameter = np.array([0.1, 0.5, 1.0, 1.2])
    block = film(surface, 293.15, speed, diameter)
    assert block.shape == (3, 2, 4)
    single = film(1200.0, 293.15, 3.0, 1.0)
    assert block[2, 1, 2] == pytest.approx(float(single), rel=1e-13)


@pytest.mark.parametrize(
    "fault",
    [
        {"surface_k": -20.0},
        {"ambient_k": np.nan},
        {"speed": -1.0},
        {"diameter": 0.0},
        {"pressure": 1013.25e3},
    ],
)
def test_film_refuses_impossible_input(fault: dict[str, float]) -> None:
    """Negative kelvin, NaN, negative speed, no diameter and wrong units are errors."""
    with pytest.raises(ParameterError):
        film(**fault)


def test_dropping_the_conduction_limit_costs_little() -> None:
    """Leaving out the 0.3 of the forced part lowers a real film by under 1 %."""
    forced = nusselt_cylinder_churchill_bernstein(1e4, 0.7)
    assert convection.FORCED_CONDUCTION_LIMIT / forced < 0.01
