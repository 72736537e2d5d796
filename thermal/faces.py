"""Friction-face temperature of a disc during the stop, laid over its bulk mean.

Enters: the heat flux into a face over time and the bulk mean of the disc from the
network. Leaves: the face's temperature. The network's disc is one node; while heat
enters, its faces run ahead of the mean by what a slab needs to conduct it inwards.

The slab of half thickness L takes the flux at ``x = L`` and none at ``x = 0`` (the
middle of a disc heated on both faces, the back of an end disc). Its deviation from the
mean is a sum of modes ``a_n' + lambda_n a_n = 2 q / (rho c L)`` with ``lambda_n = n^2
pi^2 alpha / L^2``; modes beyond those kept follow the flux without delay.
"""

import numpy as np

from thermal.arrays import FloatArray, check_range
from thermal.errors import ParameterError

MODES = 60


def face_excess_k(
    time_s: FloatArray,
    flux_w_per_m2: FloatArray,
    half_thickness_m: float,
    conductivity_w_per_m_k: float,
    heat_capacity_j_per_m3_k: float,
) -> FloatArray:
    """How far a face is above its disc's mean.

    Parameters
    ----------
    time_s : array, shape (time,)
        Rising instants; the disc is even at the first.
    flux_w_per_m2 : array, shape (batch…, time)
        Heat flux into the face, linear between the instants.
    half_thickness_m : float
        Depth one face's heat goes to: half of a disc heated on both faces, the whole
        thickness of an end disc.
    conductivity_w_per_m_k, heat_capacity_j_per_m3_k : float
        Through the thickness, taken constant at a temperature of the stop.

    Returns
    -------
    excess_k : array, shape (batch…, time)

    Raises
    ------
    ParameterError
        If instants do not rise or a property is not positive.

    References
    ----------
    .. [1] Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, section 3.8
       (slab with constant flux), from memory.
    """
    check_range("half_thickness_m", half_thickness_m, 1e-4, 1.0, "m")
    check_range("conductivity_w_per_m_k", conductivity_w_per_m_k, 1e-3, 1e4, "W/(m K)")
    check_range("heat_capacity_j_per_m3_k", heat_capacity_j_per_m3_k, 1e3, 1e8, "")
    if not (np.diff(time_s) > 0).all():
        raise ParameterError.of("time_s", "rising instants", time_s)
    order = np.arange(1, MODES + 1)
    diffusivity = conductivity_w_per_m_k / heat_capacity_j_per_m3_k
    rate = (order * np.pi / half_thickness_m) ** 2 * diffusivity
    gain = 2.0 / (heat_capacity_j_per_m3_k * half_thickness_m)
    mode = np.zeros((*flux_w_per_m2.shape[:-1], MODES))
    excess = np.empty_like(flux_w_per_m2, dtype=np.float64)
    excess[..., 0] = 0.0
    for k, step in enumerate(np.diff(time_s)):
        first, second = flux_w_per_m2[..., k, None], flux_w_per_m2[..., k + 1, None]
        slope = (second - first) / step
        fade = np.exp(-rate * step)
        # Exact for a linear flux: the mode's own answer to it, and the fading rest.
        start = gain * (first / rate - slope / rate**2)
        end = gain * (second / rate - slope / rate**2)
        mode = end + (mode - start) * fade
        excess[..., k + 1] = mode.sum(axis=-1)
    beyond = np.pi**2 / 6.0 - float((1.0 / order**2).sum())
    share = gain * (half_thickness_m / np.pi) ** 2 / diffusivity * beyond
    excess[..., 1:] += share * flux_w_per_m2[..., 1:]
    return excess
