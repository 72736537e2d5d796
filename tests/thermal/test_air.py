"""Air: the standard atmosphere against ``ambiance``, films against ``fluids``."""

import warnings

import ambiance
import fluids
import numpy as np
import pytest

from thermal import air
from thermal.errors import ParameterError, ValidityWarning

EARTH_RADIUS_M = 6356766.0
ALTITUDES_M = np.array([-1000.0, 0.0, 1500.0, 5000.0, 10999.0, 11001.0, 19000.0])
FILM_K = np.linspace(200.0, 2000.0, 37)


@pytest.fixture(scope="module")
def standard() -> ambiance.Atmosphere:
    """The oracle, which counts geometric height: converted from geopotential."""
    geometric = EARTH_RADIUS_M * ALTITUDES_M / (EARTH_RADIUS_M - ALTITUDES_M)
    return ambiance.Atmosphere(geometric)


def test_standard_atmosphere_is_that_of_ambiance(
    standard: ambiance.Atmosphere,
) -> None:
    """Temperature, pressure and density agree with an independent package."""
    for ours, theirs in (
        (air.isa_temperature_k(ALTITUDES_M), standard.temperature),
        (air.isa_pressure_pa(ALTITUDES_M), standard.pressure),
        (air.isa_density_kg_per_m3(ALTITUDES_M), standard.density),
    ):
        np.testing.assert_allclose(ours, theirs, rtol=5e-6)


def test_viscosity_and_conductivity_are_those_of_the_atmosphere(
    standard: ambiance.Atmosphere,
) -> None:
    """At the temperatures of the atmosphere both agree with two packages."""
    t = standard.temperature
    viscosity = air.viscosity_pa_s(t)
    conductivity = air.conductivity_w_per_m_k(t)
    np.testing.assert_allclose(viscosity, standard.dynamic_viscosity, rtol=1e-6)
    np.testing.assert_allclose(conductivity, standard.thermal_conductivity, rtol=1e-4)
    for each, mu, k in zip(t, viscosity, conductivity, strict=True):
        reference = fluids.ATMOSPHERE_1976
        assert mu == pytest.approx(reference.viscosity(each), rel=1e-4)
        assert k == pytest.approx(reference.thermal_conductivity(each), rel=1e-3)


@pytest.mark.parametrize("altitude_m", [-5001.0, 20001.0, np.nan])
def test_altitude_outside_the_atmosphere_is_refused(altitude_m: float) -> None:
    """Below -5 km, above 20 km and NaN are errors."""
    with pytest.raises(ParameterError, match="altitude_m"):
        air.isa_pressure_pa([0.0, altitude_m])


def test_standard_qnh_gives_standard_pressure() -> None:
    """With 1013.25 hPa the station pressure is that of the standard atmosphere."""
    elevations = np.array([-300.0, 0.0, 700.0, 2500.0])
    np.testing.assert_allclose(
        air.station_pressure_pa(101325.0, elevations),
        air.isa_pressure_pa(elevations),
        rtol=1e-12,
    )


def test_altimeter_set_to_qnh_shows_the_elevation() -> None:
    """Pressure altitudes of station and QNH differ by exactly the elevation."""
    heights = np.linspace(-1000.0, 4000.0, 50001)
    pressures = air.isa_pressure_pa(heights)[::-1]
    elevation = 1600.0
    for qnh_pa in (98000.0, 103500.0):
        station_pa = float(air.station_pressure_pa(qnh_pa, elevation))
        station, datum = np.interp([station_pa, qnh_pa], pressures, heights[::-1])
        assert station - datum == pytest.approx(elevation, abs=0.01)


@pytest.mark.parametrize(
    ("qnh_pa", "elevation_m"), [(1013.25, 0.0), (101325.0, 9000.0), (np.nan, 0.0)]
)
def test_impossible_station_is_refused(qnh_pa: float, elevation_m: float) -> None:
    """A QNH in hectopascals, or a station above all stations, is an error."""
    with pytest.raises(ParameterError):
        air.station_pressure_pa(qnh_pa, elevation_m)


def test_density_of_a_film_is_that_of_an_ideal_gas() -> None:
    """Twice the temperature halves, twice the pressure doubles the density."""
    base = air.density_kg_per_m3(288.15, 101325.0)
    assert base == pytest.approx(1.225, abs=1e-4)
    assert air.density_kg_per_m3(576.3, 101325.0) == pytest.approx(base / 2.0)
    assert air.density_kg_per_m3(288.15, 202650.0) == pytest.approx(base * 2.0)


def test_specific_heat_lies_between_frozen_and_full_vibration() -> None:
    """It rises all the way, between 7/2 and 9/2 of the gas constant."""
    heat = air.specific_heat_j_per_kg_k(FILM_K)
    assert (np.diff(heat) > 0.0).all()
    assert heat[0] == pytest.approx(3.5 * air.GAS_CONSTANT_J_PER_KG_K, rel=5e-3)
    assert heat[-1] < 4.5 * air.GAS_CONSTANT_J_PER_KG_K


def test_prandtl_number_is_that_of_a_gas() -> None:
    """From 200 to 2000 K it stays near 0.7."""
    number = air.prandtl(FILM_K)
    assert number.min() > 0.65
    assert number.max() < 0.76


@pytest.mark.parametrize(
    "function",
    [
        air.viscosity_pa_s,
        air.conductivity_w_per_m_k,
        air.specific_heat_j_per_kg_k,
        air.prandtl,
    ],
)
def test_film_property_warns_outside_its_range_only(function) -> None:
    """The ends of the range are silent; beyond them there is a warning."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert np.isfinite(function([200.0, 2000.0])).all()
    for outside in (199.0, 2001.0):
        with pytest.warns(ValidityWarning, match="air properties"):
            function(outside)


def test_batch_equals_singles() -> None:
    """Every film property of a block is that of its elements."""
    block = FILM_K[:36].reshape(4, 9)
    for function in (
        air.viscosity_pa_s,
        air.conductivity_w_per_m_k,
        air.specific_heat_j_per_kg_k,
    ):
        singles = [[float(function(t)) for t in row] for row in block]
        np.testing.assert_allclose(function(block), singles, rtol=1e-14)
