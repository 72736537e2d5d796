"""Networks of a few nodes with constant properties, whose curves are known in full."""

from functools import cache

import numpy as np

from tests.brake_days import SEA_LEVEL_PA, network_of
from thermal import materials
from thermal.arrays import FloatArray
from thermal.cooling import CoolingCurve, cool
from thermal.links import JOINT
from thermal.materials import Material, property_table
from thermal.network import Network
from thermal.timeline import Air, PhaseKind, phase
from thermal.variation import Variation

AMBIENT_K = 293.15
SINK_KG = 1e12
TIGHT_K = 0.005


@cache
def solid(specific_heat_j_per_kg_k: float) -> str:
    """Name of a material of constant specific heat, known to the tables only."""
    name = f"constant {specific_heat_j_per_kg_k:g}"
    made = Material(
        name=name,
        density_kg_per_m3=1000.0,
        emissivity=0.8,
        specific_heat=lambda t: np.full_like(t, specific_heat_j_per_kg_k),
        conductivity=lambda t: np.full_like(t, 10.0),
        source="synthetic",
    )
    before = materials.MATERIALS
    materials.MATERIALS = (*before, made)
    try:
        property_table(name)
    finally:
        materials.MATERIALS = before
    return name


def small_network(
    nodes: dict[str, tuple[float, float]],
    links: tuple[tuple[str, str, float], ...],
    ambient_radiation_m2: FloatArray | None = None,
) -> Network:
    """Nodes by name with mass and specific heat, links with W/K, no convection."""
    names, count = tuple(nodes), len(nodes)
    none = np.zeros(count)
    conduction = np.array([[flow, 0.0, 0.0] for _, _, flow in links])
    return Network(
        brake=network_of("steel-narrow").brake,
        nodes=names,
        materials=tuple(solid(heat) for _, heat in nodes.values()),
        mass_kg=np.array([mass for mass, _ in nodes.values()]),
        first=np.array([names.index(one) for one, _, _ in links]),
        second=np.array([names.index(other) for _, other, _ in links]),
        group=np.full(len(links), JOINT),
        conduction_set=conduction,
        conduction_released=conduction,
        radiation_set_m2=np.zeros(len(links)),
        radiation_released_m2=np.zeros(len(links)),
        side=np.zeros(count, dtype=np.intp),
        still_area_m2=none,
        through_area_m2=none,
        ambient_radiation_m2=none
        if ambient_radiation_m2 is None
        else ambient_radiation_m2,
        heat_fraction=np.full(count, 1.0 / count),
        order=tuple(range(count)),
    )


def cool_small(
    network: Network, start_k: FloatArray, duration_s: float, step_s: float
) -> CoolingCurve:
    """Leave it alone in air of 20 °C, with a tight tolerance."""
    air = Air(ambient_k=AMBIENT_K, pressure_pa=SEA_LEVEL_PA)
    return cool(
        network,
        Variation.nominal(),
        (phase(PhaseKind.PARKED, duration_s, air, batch=1),),
        start_k[None],
        np.arange(0.0, duration_s, step_s),
        tolerance_k=TIGHT_K,
    )


def crossing_s(time_s: FloatArray, falling_k: FloatArray, level_k: float) -> float:
    """Instant at which a falling curve passes a level."""
    return float(np.interp(-level_k, -falling_k, time_s))


def peak(time_s: FloatArray, values: FloatArray) -> tuple[float, float]:
    """Instant and height of the highest point, by a parabola through three samples."""
    top = int(values.argmax())
    a, b, c = np.polyfit(
        time_s[top - 1 : top + 2] - time_s[top], values[top - 1 : top + 2], 2
    )
    offset = -b / (2.0 * a)
    return float(time_s[top] + offset), float(c - b * b / (4.0 * a))
