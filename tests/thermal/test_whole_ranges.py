"""Correlations and the atmosphere against independent packages, end to end.

Every correlation over the whole range that it is allowed to be used in, at the Prandtl
numbers of air from 200 to 2000 K and beyond; the atmosphere over its whole height.
"""

import ambiance
import fluids
import ht
import numpy as np
import pytest

from thermal import air, convection
from thermal.arrays import FloatArray

EARTH_RADIUS_M = 6356766.0
HIGHEST_RAYLEIGH, HIGHEST_REYNOLDS, HIGHEST_ZUKAUSKAS = 1e12, 1e7, 2e6
AIR_PRANDTL = tuple(air.prandtl(np.linspace(200.0, 2000.0, 5)).tolist())
PRANDTL = (0.01, *AIR_PRANDTL, 100.0)
EDGES = np.array([40.0, 1e3, 4e3, 2e4, 2e5, 4e5])
GEOPOTENTIAL_M = np.append(np.arange(-5000.0, 20000.0, 250.0), [11000.0, 20000.0])


def spread(lowest: float, highest: float) -> FloatArray:
    """A hundred points by decades, just beside where laws change, and both ends."""
    inner = EDGES[(lowest < EDGES) & (highest > EDGES)]
    edges = np.concatenate([inner * (1.0 - 1e-9), inner, inner * (1.0 + 1e-9)])
    decades = np.logspace(np.log10(lowest), np.log10(highest), 100)
    points = np.unique(np.concatenate([decades, edges]))
    return np.clip(points, lowest, highest)


@pytest.mark.parametrize("prandtl", PRANDTL)
def test_natural_convection_over_its_whole_range(prandtl: float) -> None:
    """Cylinder and plate from next to nothing to a Rayleigh number of 1e12."""
    rayleigh = spread(1e-6, HIGHEST_RAYLEIGH)
    for ours, theirs in (
        (
            convection.nusselt_horizontal_cylinder_churchill_chu,
            ht.Nu_horizontal_cylinder_Churchill_Chu,
        ),
        (
            convection.nusselt_vertical_plate_churchill_chu,
            ht.Nu_vertical_plate_Churchill,
        ),
    ):
        expected = [theirs(prandtl, each / prandtl) for each in rayleigh]
        np.testing.assert_allclose(ours(rayleigh, prandtl), expected, rtol=1e-9)


@pytest.mark.parametrize("prandtl", PRANDTL)
def test_cross_flow_of_churchill_over_its_whole_range(prandtl: float) -> None:
    """From creeping to a Reynolds number of 1e7."""
    reynolds = spread(1e-3, HIGHEST_REYNOLDS)
    expected = [ht.Nu_cylinder_Churchill_Bernstein(re, prandtl) for re in reynolds]
    found = convection.nusselt_cylinder_churchill_bernstein(reynolds, prandtl)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


@pytest.mark.parametrize("prandtl", PRANDTL)
@pytest.mark.parametrize("at_wall", [0.69, 0.75])
def test_cross_flow_of_zukauskas_over_its_whole_range(
    prandtl: float, at_wall: float
) -> None:
    """From a Reynolds number of one to 2e6, on both sides of every change of law."""
    reynolds = spread(1.0, HIGHEST_ZUKAUSKAS)
    expected = [ht.Nu_cylinder_Zukauskas(re, prandtl, at_wall) for re in reynolds]
    found = convection.nusselt_cylinder_zukauskas(reynolds, prandtl, at_wall)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_atmosphere_over_its_whole_height() -> None:
    """Temperature, pressure and density against two packages, -5 to 20 km."""
    geometric = EARTH_RADIUS_M * GEOPOTENTIAL_M / (EARTH_RADIUS_M - GEOPOTENTIAL_M)
    found = (
        air.isa_temperature_k(GEOPOTENTIAL_M),
        air.isa_pressure_pa(GEOPOTENTIAL_M),
        air.isa_density_kg_per_m3(GEOPOTENTIAL_M),
    )
    icao = ambiance.Atmosphere(geometric)
    us_1976 = [fluids.ATMOSPHERE_1976(height) for height in geometric]
    others = (
        (icao.temperature, icao.pressure, icao.density),
        tuple([getattr(one, name) for one in us_1976] for name in ("T", "P", "rho")),
    )
    for theirs, tolerance in zip(others, (5e-6, 1e-4), strict=True):
        for mine, expected in zip(found, theirs, strict=True):
            np.testing.assert_allclose(mine, expected, rtol=tolerance)
