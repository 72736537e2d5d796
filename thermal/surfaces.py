"""Surfaces of a brake that meet the air and see the surroundings.

Enters: a `Brake` and the rows of its nodes. Leaves: areas, and which film of air
each node's surface is in.
"""

from math import pi

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.materials import material

OUTER, INNER = 0, 1


def brake_surfaces(
    brake: Brake, at: dict[str, int]
) -> tuple[FloatArray, FloatArray, FloatArray, np.ndarray]:
    """Convective areas still and with air through, radiating areas, which film."""
    n, count = len(at), brake.disc_count
    still, through, radiation = np.zeros(n), np.zeros(n), np.zeros(n)
    side = np.full(n, OUTER)
    rims = 2 * pi * brake.rotor_outer_radius_m * brake.disc_thickness_m
    faces = 2.0 * brake.friction_area_m2
    still[:count] = brake.vent_fraction * rims
    through[:count] = still[:count] + brake.fan_reach * (rims + faces)
    tube, shield = at["torque tube"], at["heat shield"]
    tube_m2 = 2 * pi * brake.tube_outer_radius_m * brake.tube_length_m
    shield_m2 = 2 * pi * brake.shield_radius_m * brake.rim_width_m
    through[tube] = brake.fan_reach * tube_m2
    through[shield] = brake.fan_reach * shield_m2
    side[[*range(count), tube, shield]] = INNER
    face_m2 = pi * brake.rim_radius_m**2
    wheel = brake.wheel_emissivity
    strut_m2 = 2 * pi * brake.axle_radius_m * brake.axle_length_m * 2.0
    bead_m2 = 2 * pi * brake.rim_radius_m * 0.06
    outer = (
        ("piston housing", brake.housing_area_m2, 0.5),
        ("wheel inboard", 0.7 * face_m2, wheel),
        ("wheel outboard", 1.3 * face_m2, wheel),
        ("axle", strut_m2, 0.8),
        ("tyre bead", bead_m2, 0.9),
    )
    for node, area_m2, emissivity in outer:
        still[at[node]] = through[at[node]] = area_m2
        radiation[at[node]] = area_m2 * emissivity
    emissivity = material(brake.stack_material).emissivity
    radiation[0] = brake.open_fraction * brake.friction_area_m2 * emissivity
    radiation[count - 1] = radiation[0]
    return still, through, radiation, side
