"""The network of one sample as plain tables, for anyone to integrate again.

Enters: a network, one sample, its phases and curves. Leaves: a dictionary of lists
(masses, property tables, links, boundaries, heat) in the units its keys name. A link
carries ``conduction dT + sigma R d(T^4)``; a boundary the same against its ambient
with a conductance tabulated over the surface temperature. Time-varying entries hold
from ``start_s`` to ``end_s``.
"""

from typing import Any

import numpy as np

from thermal.arrays import FloatArray
from thermal.cooling import CoolingCurve
from thermal.films import FILM_DELTA_K
from thermal.integrate import Integrator
from thermal.materials import property_table
from thermal.network import Network
from thermal.timeline import Phase
from thermal.units import celsius, kelvin
from thermal.variation import Variation

_MEAN_C = np.arange(-60.0, 1701.0, 20.0)
_LOWEST_SURFACE_K = 205.0


def export_network(
    network: Network,
    variation: Variation,
    phases: tuple[Phase, ...],
    start_k: FloatArray,
    *,
    start_s: float = 0.0,
) -> dict[str, Any]:
    """Everything needed to integrate one sample with another tool.

    Parameters
    ----------
    variation, phases
        Of a batch of one.
    start_k : array, shape (node,)
        Temperatures at ``start_s``.
    """
    integrator = Integrator(network, variation)
    links: list[dict[str, Any]] = []
    boundaries: list[dict[str, Any]] = []
    heat: list[tuple[FloatArray, FloatArray]] = []
    begin = start_s
    for phase in phases:
        end = begin + float(phase.duration_s[0])
        if end > begin:
            integrator.begin(phase)
            span = {"start_s": begin, "end_s": end}
            links += _links(integrator, span)
            boundaries += _boundaries(integrator, phase, span)
            if phase.heat is not None:
                knots = np.linspace(begin, end, phase.heat.power_w.shape[1])
                heat.append((knots, phase.heat.power_w[0]))
        begin = end
    return {
        "nodes": [
            {"name": name, "material": kind, "mass_kg": mass, "initial_c": initial}
            for name, kind, mass, initial in zip(
                network.nodes,
                network.materials,
                integrator.mass_kg[:, 0].tolist(),
                celsius(start_k).tolist(),
                strict=True,
            )
        ],
        "materials": {name: _material(name) for name in sorted(set(network.materials))},
        "links": links,
        "boundaries": boundaries,
        "heat_input": _heat_input(network, heat),
    }


def export_curves(curve: CoolingCurve, row: int = 0) -> dict[str, Any]:
    """Curves of one sample: every kept node, the indication and the plug."""
    return {
        "time_s": curve.time_s.tolist(),
        "temperature_c": {
            node: celsius(curve.node_k(node)[row]).round(4).tolist()
            for node in curve.nodes
        },
        "stack_c": celsius(curve.stack_k[row]).round(4).tolist(),
        "indicated_c": celsius(curve.indicated_k[row]).round(4).tolist(),
        "plug_c": celsius(curve.plug_k[row]).round(4).tolist(),
    }


def event_times_s(phases: tuple[Phase, ...], start_s: float = 0.0) -> list[float]:
    """Instants at which a boundary, a link or the heat jumps, for the first sample."""
    durations = [float(phase.duration_s[0]) for phase in phases]
    return [start_s + float(total) for total in np.cumsum([0.0, *durations])]


def _material(name: str) -> dict[str, list[float]]:
    table = property_table(name)
    return {
        "temperature_c": celsius(table.temperature_k).round(6).tolist(),
        "specific_heat_j_per_kg_k": table.specific_heat_j_per_kg_k.tolist(),
    }


def _links(integrator: Integrator, span: dict[str, float]) -> list[dict[str, Any]]:
    network = integrator.network
    mean_k = np.asarray(kelvin(_MEAN_C))
    conduction = integrator.conductances.link_conduction_w_per_k(mean_k)
    exchange = integrator.conductances.link_radiation_m2()
    return [
        {
            "from": network.nodes[first],
            "to": network.nodes[second],
            **span,
            "mean_temperature_c": _MEAN_C.tolist(),
            "conduction_w_per_k": conduction[link].tolist(),
            "radiation_m2": float(exchange[link]),
        }
        for link, (first, second) in enumerate(
            zip(network.first, network.second, strict=True)
        )
    ]


def _boundaries(
    integrator: Integrator, phase: Phase, span: dict[str, float]
) -> list[dict[str, Any]]:
    network, ambient_k = integrator.network, float(phase.ambient_k[0])
    surface_k = ambient_k + FILM_DELTA_K[:-1]
    surface_k = surface_k[surface_k > _LOWEST_SURFACE_K]
    conductance = integrator.conductances.film_w_per_k(surface_k)
    exchange = integrator.conductances.ambient_radiation_m2()
    return [
        {
            "node": name,
            **span,
            "ambient_c": float(celsius(ambient_k)),
            "surface_c": celsius(surface_k).tolist(),
            "conductance_w_per_k": conductance[row].tolist(),
            "radiation_m2": float(exchange[row]),
        }
        for row, name in enumerate(network.nodes)
        if conductance[row].any() or exchange[row] > 0
    ]


def _heat_input(
    network: Network, pieces: list[tuple[FloatArray, FloatArray]]
) -> list[dict[str, Any]]:
    """Friction power per disc; pieces that do not touch are kept apart by zeros."""
    time_s: list[float] = []
    power_w: list[float] = []
    for knots, power in pieces:
        if time_s and knots[0] > time_s[-1]:
            time_s += [time_s[-1], float(knots[0])]
            power_w += [0.0, 0.0]
        time_s += knots.tolist()
        power_w += power.tolist()
    return [
        {
            "node": network.nodes[row],
            "time_s": time_s,
            "power_w": [float(fraction) * power for power in power_w],
        }
        for row, fraction in enumerate(network.heat_fraction)
        if fraction > 0
    ]


def heat_input_j(entry: dict[str, Any]) -> float:
    """Integral of one exported heat input."""
    time_s, power_w = np.asarray(entry["time_s"]), np.asarray(entry["power_w"])
    means_w = 0.5 * (power_w[1:] + power_w[:-1])
    return float(np.sum(means_w * np.diff(time_s)))
