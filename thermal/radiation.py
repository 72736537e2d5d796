"""Grey radiation between the surfaces of a brake: view factors and exchange areas.

Enters: metres, square metres, emissivities, kelvin. Leaves: dimensionless, m2, W/K.

- An *exchange area* holds geometry and emissivities, so that the heat flow is the
  Stefan-Boltzmann constant times that area times the difference of fourth powers.
- The *secant conductance* makes the same flow linear in the temperature difference,
  exactly, at any difference.
"""

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4


def view_factor_coaxial_discs(radius_m: FloatLike, gap_m: FloatLike) -> FloatArray:
    r"""View factor between two equal, parallel, coaxial discs.

    Parameters
    ----------
    radius_m, gap_m : float or array, broadcast to shape (...)
        Radius of both discs and distance between them; a gap of zero gives 1.

    Returns
    -------
    view_factor : array, shape (...)
        Share of what one disc emits that reaches the other. [-]

    Raises
    ------
    ParameterError
        If the radius is not positive or the gap is negative.

    Notes
    -----
    .. math:: F = 4 R^2 / (1 + \sqrt{1 + 4 R^2})^2, \quad R = r / L

    which is the usual closed form with the cancelling difference removed.

    References
    ----------
    J. R. Howell, A catalog of radiation heat transfer configuration factors,
    coaxial parallel discs; from memory.
    """
    check_range("radius_m", radius_m, 1e-9, 1e3, "m")
    check_range("gap_m", gap_m, 0.0, 1e6, "m")
    radius = np.asarray(radius_m, dtype=np.float64)
    gap = np.asarray(gap_m, dtype=np.float64)
    return np.asarray((2.0 * radius / (gap + np.hypot(gap, 2.0 * radius))) ** 2)


def view_factor_coaxial_annuli(
    inner_m: FloatLike, outer_m: FloatLike, gap_m: FloatLike
) -> FloatArray:
    r"""View factor between two equal, parallel, coaxial annuli.

    Rays may cross the open core: where a hub blocks it the true factor is lower.

    Parameters
    ----------
    inner_m, outer_m, gap_m : float or array, broadcast to shape (...)
        Inner and outer radius of both annuli and the distance between them.

    Returns
    -------
    view_factor : array, shape (...)
        Share of what one annulus emits that reaches the other. [-]

    Raises
    ------
    ParameterError
        If a length is negative, or the inner radius is not below the outer one.

    Notes
    -----
    View factor algebra: whole discs less the cores, with the exchange of two coaxial
    discs

    .. math:: A_1 F_{12} = 2 \pi r_1^2 r_2^2 / (Z + \sqrt{Z^2 - 4 r_1^2 r_2^2}),
              \quad Z = r_1^2 + r_2^2 + L^2 = (r_1 - r_2)^2 + L^2 + 2 r_1 r_2

    References
    ----------
    J. R. Howell, as for the discs; from memory.
    """
    check_range("inner_m", inner_m, 0.0, 1e3, "m")
    check_range("gap_m", gap_m, 0.0, 1e6, "m")
    inner = np.asarray(inner_m, dtype=np.float64)
    outer = np.asarray(outer_m, dtype=np.float64)
    check_range("outer_m - inner_m", outer - inner, 1e-9, 1e3, "m")
    exchange = (
        _disc_exchange_m2(outer, outer, gap_m)
        - 2.0 * _disc_exchange_m2(outer, inner, gap_m)
        + _disc_exchange_m2(inner, inner, gap_m)
    )
    return np.asarray(exchange / (np.pi * (outer**2 - inner**2)))


def exchange_area_parallel(
    area_m2: FloatLike,
    emissivity_1: FloatLike,
    emissivity_2: FloatLike,
    view_factor: FloatLike,
) -> FloatArray:
    r"""Exchange area in m2, shape (...), of two equal grey faces that see each other.

    What misses the other face leaves to elsewhere and is not counted here.

    Raises
    ------
    ParameterError
        If an emissivity is not within 0.001 to 1, or the view factor not within 0 to 1.

    Notes
    -----
    .. math:: 1 / A_x = (1-\epsilon_1)/(\epsilon_1 A) + 1/(A F)
              + (1-\epsilon_2)/(\epsilon_2 A)

    Radiation network of two grey diffuse surfaces; any heat transfer textbook.
    """
    check_range("emissivity_1", emissivity_1, 1e-3, 1.0, "")
    check_range("emissivity_2", emissivity_2, 1e-3, 1.0, "")
    check_range("view_factor", view_factor, 0.0, 1.0 + 1e-12, "")
    factor = np.asarray(view_factor, dtype=np.float64)
    surfaces = (
        1.0 / np.asarray(emissivity_1, dtype=np.float64)
        + 1.0 / np.asarray(emissivity_2, dtype=np.float64)
        - 2.0
    )
    area = np.asarray(area_m2, dtype=np.float64)
    return np.asarray(area * factor / (1.0 + factor * surfaces))


def exchange_area_concentric(
    area_inner_m2: FloatLike,
    area_outer_m2: FloatLike,
    emissivity_inner: FloatLike,
    emissivity_outer: FloatLike,
) -> FloatArray:
    r"""Exchange area in m2, shape (...), of a body and the shell around it.

    Infinite surroundings are an outer area of infinity.

    Raises
    ------
    ParameterError
        If an emissivity is not within 0.001 to 1, or the shell is smaller than the
        body.

    Notes
    -----
    .. math:: 1 / A_x = 1/(\epsilon_i A_i) + (1/\epsilon_o - 1) / A_o

    Long concentric cylinders, grey and diffuse; any heat transfer textbook.
    """
    check_range("emissivity_inner", emissivity_inner, 1e-3, 1.0, "")
    check_range("emissivity_outer", emissivity_outer, 1e-3, 1.0, "")
    inner = np.asarray(area_inner_m2, dtype=np.float64)
    ratio = inner / np.asarray(area_outer_m2, dtype=np.float64)
    check_range("area_inner_m2 / area_outer_m2", ratio, 0.0, 1.0, "")
    reflected = ratio * (1.0 / np.asarray(emissivity_outer, dtype=np.float64) - 1.0)
    return np.asarray(
        inner / (1.0 / np.asarray(emissivity_inner, dtype=np.float64) + reflected)
    )


def secant_conductance_w_per_k(
    exchange_area_m2: FloatLike,
    temperature_1_k: FloatLike,
    temperature_2_k: FloatLike,
) -> FloatArray:
    r"""Conductance that gives the radiated flow when times the difference, W/K.

    Parameters
    ----------
    exchange_area_m2, temperature_1_k, temperature_2_k : float or array
        Broadcast to shape (...).

    Returns
    -------
    conductance_w_per_k : array, shape (...)
        Symmetric in the temperatures, never negative.

    Notes
    -----
    .. math:: \sigma A_x (T_1^2 + T_2^2)(T_1 + T_2)
    """
    first = np.asarray(temperature_1_k, dtype=np.float64)
    second = np.asarray(temperature_2_k, dtype=np.float64)
    area = np.asarray(exchange_area_m2, dtype=np.float64)
    return np.asarray(
        STEFAN_BOLTZMANN_W_PER_M2_K4
        * area
        * (first * first + second * second)
        * (first + second)
    )


def _disc_exchange_m2(
    radius_1: FloatArray, radius_2: FloatArray, gap_m: FloatLike
) -> FloatArray:
    """Area times view factor of two coaxial discs of any two radii."""
    product = radius_1 * radius_2
    apart = (radius_1 - radius_2) ** 2 + np.asarray(gap_m, dtype=np.float64) ** 2
    root = np.sqrt(apart * (apart + 4.0 * product))
    # The smallest number keeps 0 / 0 out: two points exchange nothing.
    width = apart + 2.0 * product + root + np.finfo(np.float64).tiny
    return np.asarray(2.0 * np.pi * product**2 / width)
