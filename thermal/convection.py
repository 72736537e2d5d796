"""Convection correlations for cylinders and plates, and the film of a brake part.

Enters: dimensionless groups, or kelvin, m/s, m, Pa. Leaves: Nusselt numbers, or
W/(m2 K).

- Correlations are pure: numbers in, surface-mean Nusselt number out. Above the range
  a correlation was measured in, a ``ValidityWarning`` is given.
- Buoyancy and wind are blended by the cube root of cubes, never summed: a light
  breeze is no better than buoyancy.
- Against measurement such correlations scatter by about 10 %.
"""

import warnings
from typing import Final

import numpy as np

from thermal import air
from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.errors import ValidityWarning
from thermal.units import STANDARD_GRAVITY_M_PER_S2

FORCED_CONDUCTION_LIMIT: Final = 0.3
ZUKAUSKAS_FACTOR: Final = np.array([0.75, 0.51, 0.26, 0.076])
ZUKAUSKAS_POWER: Final = np.array([0.4, 0.5, 0.6, 0.7])


def nusselt_horizontal_cylinder_churchill_chu(
    rayleigh: FloatLike, prandtl: FloatLike
) -> FloatArray:
    r"""Natural convection around a long horizontal cylinder.

    Parameters
    ----------
    rayleigh, prandtl : float or array, broadcast to shape (...)
        On the diameter, properties at film temperature; Rayleigh up to 1e12. [-]

    Returns
    -------
    nusselt : array, shape (...)
        Surface mean; 0.36 (conduction) at a Rayleigh number of zero. [-]

    Warns
    -----
    ValidityWarning
        Above a Rayleigh number of 1e12.

    Notes
    -----
    .. math:: Nu = \left(0.6 + \frac{0.387 Ra^{1/6}}
              {[1 + (0.559/Pr)^{9/16}]^{8/27}}\right)^2

    References
    ----------
    S. W. Churchill, H. H. S. Chu, International Journal of Heat and Mass Transfer 18
    (1975) 1049-1053, doi 10.1016/0017-9310(75)90222-7; from memory, equal to ``ht``.
    """
    return _churchill_chu(rayleigh, prandtl, 0.6, 0.559)


def nusselt_vertical_plate_churchill_chu(
    rayleigh: FloatLike, prandtl: FloatLike
) -> FloatArray:
    r"""Natural convection along a vertical plate, and the face of a standing disc.

    Parameters
    ----------
    rayleigh, prandtl : float or array, broadcast to shape (...)
        On the height, properties at film temperature; Rayleigh up to 1e12. [-]

    Returns
    -------
    nusselt : array, shape (...)
        Surface mean; 0.68 (conduction) at a Rayleigh number of zero. [-]

    Warns
    -----
    ValidityWarning
        Above a Rayleigh number of 1e12.

    Notes
    -----
    .. math:: Nu = \left(0.825 + \frac{0.387 Ra^{1/6}}
              {[1 + (0.492/Pr)^{9/16}]^{8/27}}\right)^2

    References
    ----------
    S. W. Churchill, H. H. S. Chu, International Journal of Heat and Mass Transfer 18
    (1975) 1323-1329, doi 10.1016/0017-9310(75)90243-4; from memory, equal to ``ht``.
    """
    return _churchill_chu(rayleigh, prandtl, 0.825, 0.492)


def nusselt_cylinder_churchill_bernstein(
    reynolds: FloatLike, prandtl: FloatLike
) -> FloatArray:
    r"""Cross-flow over a cylinder.

    Parameters
    ----------
    reynolds, prandtl : float or array, broadcast to shape (...)
        On the outer diameter, properties at film temperature; Reynolds times Prandtl
        above 0.2 and Reynolds up to 1e7. Below, it tends to 0.3. [-]

    Returns
    -------
    nusselt : array, shape (...)
        Surface mean. [-]

    Warns
    -----
    ValidityWarning
        Above a Reynolds number of 1e7.

    Notes
    -----
    .. math:: Nu = 0.3 + \frac{0.62 Re^{1/2} Pr^{1/3}}{[1 + (0.4/Pr)^{2/3}]^{1/4}}
              \left[1 + (Re/282000)^{5/8}\right]^{4/5}

    References
    ----------
    S. W. Churchill, M. Bernstein, Journal of Heat Transfer 99 (1977) 300-306,
    doi 10.1115/1.3450685; from memory, equal to ``ht``.
    """
    re = _dimensionless("reynolds", reynolds, 1e7)
    pr = np.asarray(prandtl, dtype=np.float64)
    laminar = 0.62 * np.sqrt(re) * np.cbrt(pr)
    laminar = laminar / (1.0 + (0.4 / pr) ** (2.0 / 3.0)) ** 0.25
    return np.asarray(
        FORCED_CONDUCTION_LIMIT + laminar * (1.0 + (re / 282000.0) ** 0.625) ** 0.8
    )


def nusselt_cylinder_zukauskas(
    reynolds: FloatLike, prandtl: FloatLike, prandtl_wall: FloatLike
) -> FloatArray:
    r"""Cross-flow over a cylinder, properties at the free stream.

    Parameters
    ----------
    reynolds, prandtl, prandtl_wall : float or array, broadcast to shape (...)
        On the outer diameter, properties of the free stream, the last at the wall;
        Reynolds up to 2e6. [-]

    Returns
    -------
    nusselt : array, shape (...)
        Surface mean. [-]

    Warns
    -----
    ValidityWarning
        Above a Reynolds number of 2e6.

    Notes
    -----
    .. math:: Nu = C Re^m Pr^n (Pr/Pr_w)^{1/4}

    with n = 0.37 up to a Prandtl number of 10, else 0.36, and C, m by ranges of the
    Reynolds number (jumps of some percent between them).

    References
    ----------
    A. Zukauskas, Advances in Heat Transfer 8 (1972) 93-160; from memory, equal to
    ``ht``.
    """
    re = _dimensionless("reynolds", reynolds, 2e6)
    pr = np.asarray(prandtl, dtype=np.float64)
    band = (re > 40.0).astype(np.intp) + (re >= 1e3) + (re >= 2e5)
    nusselt = ZUKAUSKAS_FACTOR[band] * re ** ZUKAUSKAS_POWER[band]
    nusselt = nusselt * pr ** np.where(pr <= 10.0, 0.37, 0.36)
    return np.asarray(
        nusselt * (pr / np.asarray(prandtl_wall, dtype=np.float64)) ** 0.25
    )


def blended_nusselt(natural: FloatLike, forced: FloatLike) -> FloatArray:
    r"""Blend natural and forced convection, shape (...).

    Notes
    -----
    .. math:: Nu = (Nu_n^3 + Nu_f^3)^{1/3}

    S. W. Churchill, A.I.Ch.E. Journal 23 (1977) 10-16, from memory: exponent 3 for
    assisting and transverse flow.
    """
    return np.asarray(
        np.cbrt(
            np.asarray(natural, dtype=np.float64) ** 3
            + np.asarray(forced, dtype=np.float64) ** 3
        )
    )


def film_coefficient_w_per_m2_k(
    surface_k: FloatLike,
    ambient_k: FloatLike,
    speed_m_per_s: FloatLike,
    diameter_m: FloatLike,
    pressure_pa: FloatLike,
) -> FloatArray:
    """Mean coefficient of a cylinder in air that may move across it.

    Film properties at the mean of both temperatures and the station pressure. At rest
    it is pure natural convection, continuously; with no difference of temperature it
    is conduction. The forced part leaves out its own conduction limit, which the
    natural part already holds.

    Parameters
    ----------
    surface_k, ambient_k, speed_m_per_s, diameter_m, pressure_pa : float or array
        Broadcast to shape (...).

    Returns
    -------
    coefficient_w_per_m2_k : array, shape (...)
        Per square metre of cylinder and kelvin between surface and ambient.

    Raises
    ------
    ParameterError
        If a temperature, the diameter or the pressure is not positive, or the speed
        is negative.
    """
    check_range("surface_k", surface_k, 1.0, 6000.0, "K")
    check_range("ambient_k", ambient_k, 1.0, 6000.0, "K")
    check_range("speed_m_per_s", speed_m_per_s, 0.0, 200.0, "m/s")
    check_range("diameter_m", diameter_m, 1e-4, 10.0, "m")
    check_range("pressure_pa", pressure_pa, 1e3, 2e5, "Pa")
    surface = np.asarray(surface_k, dtype=np.float64)
    ambient = np.asarray(ambient_k, dtype=np.float64)
    diameter = np.asarray(diameter_m, dtype=np.float64)
    film = 0.5 * (surface + ambient)
    pr = air.prandtl(film)
    kinematic = air.viscosity_pa_s(film) / air.density_kg_per_m3(film, pressure_pa)
    buoyancy = STANDARD_GRAVITY_M_PER_S2 * np.abs(surface - ambient) / film
    natural = nusselt_horizontal_cylinder_churchill_chu(
        buoyancy * diameter**3 / kinematic**2 * pr, pr
    )
    reynolds = np.asarray(speed_m_per_s, dtype=np.float64) * diameter / kinematic
    forced = nusselt_cylinder_churchill_bernstein(reynolds, pr)
    nusselt = blended_nusselt(natural, forced - FORCED_CONDUCTION_LIMIT)
    return np.asarray(nusselt * air.conductivity_w_per_m_k(film) / diameter)


def _churchill_chu(
    rayleigh: FloatLike, prandtl: FloatLike, still: float, weight: float
) -> FloatArray:
    ra = _dimensionless("rayleigh", rayleigh, 1e12)
    pr = np.asarray(prandtl, dtype=np.float64)
    spread = (1.0 + (weight / pr) ** 0.5625) ** (8.0 / 27.0)
    return np.asarray((still + 0.387 * ra ** (1.0 / 6.0) / spread) ** 2)


def _dimensionless(field: str, values: FloatLike, high: float) -> FloatArray:
    """To float64; refuses negative values, warns above the measured range."""
    check_range(field, values, 0.0, np.inf, "")
    array = np.asarray(values, dtype=np.float64)
    if array.max(initial=0.0) > high:
        warnings.warn(
            f"{field}: measured up to {high:g}, got {array.max():.5g}",
            ValidityWarning,
            stacklevel=4,
        )
    return array
