"""What ``air``, ``convection`` and ``radiation`` give for the published figures."""

import math

from scipy.integrate import solve_ivp

from thermal import air, convection, radiation
from thermal.arrays import FloatArray
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4, kelvin

from .registry import published, register_each

SEA_LEVEL_PA = 101325.0
ALTITUDES_M = (1524, 3048, 11000)
FILM_K = (300, 500, 800, 1000)
PIPE_K, ROOM_K = 438.15, 296.15
EARTH_RADIUS_M = 6356766.0
GEOPOTENTIAL_M = EARTH_RADIUS_M * 1524.0 / (EARTH_RADIUS_M + 1524.0)
BRAKE_M, AIR_K = 0.5, 293.15

register_each(
    "isa-temperature-{}", lambda z: float(air.isa_temperature_k(z)), *ALTITUDES_M
)
register_each(
    "isa-pressure-{}", lambda z: float(air.isa_pressure_pa(z)) / 100.0, *ALTITUDES_M
)
register_each(
    "isa-density-{}", lambda z: float(air.isa_density_kg_per_m3(z)), *ALTITUDES_M
)
register_each("air-viscosity-{}", lambda t: 1e6 * float(air.viscosity_pa_s(t)), *FILM_K)
register_each(
    "air-conductivity-{}",
    lambda t: 1e3 * float(air.conductivity_w_per_m_k(t)),
    *FILM_K,
)
register_each(
    "air-specific-heat-{}", lambda t: float(air.specific_heat_j_per_kg_k(t)), *FILM_K
)
register_each("air-prandtl-{}", lambda t: float(air.prandtl(t)), *FILM_K)


@published("isa-geometric-temperature")
def isa_geometric_temperature() -> float:
    return float(air.isa_temperature_k(GEOPOTENTIAL_M))


@published("isa-geometric-pressure")
def isa_geometric_pressure() -> float:
    return float(air.isa_pressure_pa(GEOPOTENTIAL_M))


@published("isa-geometric-density")
def isa_geometric_density() -> float:
    return float(air.isa_density_kg_per_m3(GEOPOTENTIAL_M))


def still_film(surface_c: float) -> float:
    """Brake-sized cylinder in still air."""
    return float(
        convection.film_coefficient_w_per_m2_k(
            kelvin(surface_c), AIR_K, 0.0, BRAKE_M, SEA_LEVEL_PA
        )
    )


def cross_film(speed_m_per_s: float) -> float:
    """Forced part alone, at 300 °C, properties at the mean."""
    film_k = 0.5 * (573.15 + AIR_K)
    density = air.density_kg_per_m3(film_k, SEA_LEVEL_PA)
    reynolds = speed_m_per_s * BRAKE_M * density / air.viscosity_pa_s(film_k)
    nusselt = convection.nusselt_cylinder_churchill_bernstein(
        reynolds, air.prandtl(film_k)
    )
    return float(nusselt * air.conductivity_w_per_m_k(film_k)) / BRAKE_M


register_each("still-film-{}", still_film, 100, 300, 500)
register_each("cross-film-{}", cross_film, 1, 2, 5, 10, 15, 77)


@published("horizontal-cylinder-high")
def horizontal_cylinder_high() -> float:
    return float(
        convection.nusselt_horizontal_cylinder_churchill_chu(2.63e9 * 0.69, 0.69)
    )


@published("horizontal-cylinder-pipe")
def horizontal_cylinder_pipe() -> float:
    return float(convection.nusselt_horizontal_cylinder_churchill_chu(5.073e6, 0.697))


@published("vertical-plate")
def vertical_plate() -> float:
    return float(convection.nusselt_vertical_plate_churchill_chu(2.63e9 * 0.69, 0.69))


@published("cross-flow-churchill")
def cross_flow_churchill() -> float:
    return float(convection.nusselt_cylinder_churchill_bernstein(6071.0, 0.7))


@published("cross-flow-zukauskas", "cross-flow-zukauskas-book")
def cross_flow_zukauskas() -> float:
    return float(convection.nusselt_cylinder_zukauskas(7992.0, 0.707, 0.69))


@published("pipe-film")
def pipe_film() -> float:
    return float(
        convection.film_coefficient_w_per_m2_k(PIPE_K, ROOM_K, 0.0, 0.1, SEA_LEVEL_PA)
    )


@published("pipe-loss")
def pipe_loss() -> float:
    area = math.pi * 0.1
    radiating = radiation.exchange_area_concentric(area, math.inf, 0.85, 1.0)
    conductance = radiation.secant_conductance_w_per_k(radiating, PIPE_K, ROOM_K)
    return (PIPE_K - ROOM_K) * (pipe_film() * area + float(conductance))


@published("cross-flow-film", "cross-flow-measured")
def cross_flow_film() -> float:
    return float(
        convection.film_coefficient_w_per_m2_k(
            401.55, 299.35, 10.0, 0.0127, SEA_LEVEL_PA
        )
    )


@published("discs-as-far-as-wide")
def discs_as_far_as_wide() -> float:
    return float(radiation.view_factor_coaxial_discs(1.0, 1.0))


@published("discs-close")
def discs_close() -> float:
    return float(radiation.view_factor_coaxial_discs(0.2, 0.02))


@published("parallel-plates")
def parallel_plates() -> float:
    area = radiation.exchange_area_parallel(1.0, 0.8, 0.8, 1.0)
    return float(area) * STEFAN_BOLTZMANN_W_PER_M2_K4 * (800.0**4 - 300.0**4)


@published("body-in-wide-surroundings")
def body_in_wide_surroundings() -> float:
    area = radiation.exchange_area_concentric(1.0, math.inf, 0.8, 0.5)
    hot, cold = 773.15, 293.15
    return float(radiation.secant_conductance_w_per_k(area, hot, cold)) * (hot - cold)


def radiation_cooling(surroundings_k: float) -> float:
    """Seconds from 773.15 to 573.15 K, integrated over temperature."""
    area = float(radiation.exchange_area_concentric(0.6, math.inf, 0.8, 1.0))

    def seconds_per_kelvin(t: float, _: FloatArray) -> float:
        conductance = radiation.secant_conductance_w_per_k(area, t, surroundings_k)
        return -45.0 * 1200.0 / (float(conductance) * (t - surroundings_k))

    solution = solve_ivp(
        seconds_per_kelvin, (773.15, 573.15), [0.0], rtol=1e-9, atol=1e-6
    )
    return float(solution.y[0, -1])


register_each("radiation-cooling-{}", radiation_cooling, 0, 293.15)
