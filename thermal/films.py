"""Film coefficients of the wheel's two kinds of surface, tabulated for stepping.

Enters: `Air` and the brake's outer diameters. Leaves: coefficients over the surface's
temperature above the air, at equal steps.
"""

from functools import cache

import numpy as np

from thermal.arrays import FloatArray
from thermal.convection import film_coefficient_w_per_m2_k
from thermal.timeline import Air

FILM_STEP_K = 5.0
# Every surface within the material tables, at every ambient `Air` allows.
FILM_DELTA_K = np.arange(-200.0, 2405.1, FILM_STEP_K)
_LOWEST_SURFACE_K = 190.0


@cache
def film_table(
    air: Air, outer_diameter_m: float, inner_diameter_m: float
) -> FloatArray:
    """Film coefficients over ``FILM_DELTA_K``, shape (2, delta): outside, through."""
    rows = [
        film_coefficient_w_per_m2_k(
            air.ambient_k + np.maximum(FILM_DELTA_K, _LOWEST_SURFACE_K - air.ambient_k),
            air.ambient_k,
            speed,
            diameter,
            air.pressure_pa,
        )
        * air.contact_fraction
        for speed, diameter in (
            (air.outer_m_per_s, outer_diameter_m),
            (air.through_m_per_s, inner_diameter_m),
        )
    ]
    return np.array(rows)
