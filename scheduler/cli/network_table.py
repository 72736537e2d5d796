"""The network derived from a brake's dimensions, as a record and as lines.

Loads the heat at its top: import it only once its command runs.
"""

from typing import Any

import numpy as np

from scheduler.cli.terminal import write_line
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.network import Network, build_network
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4, kelvin

_AT_C = 300.0


def network_record(brake: Brake) -> dict[str, Any]:
    """Collect nodes with masses, links with conductances, and surfaces."""
    network = build_network(brake)
    nodes = [
        {
            "name": name,
            "material": material,
            "mass_kg": round(float(mass), 4),
            "heat_share": round(float(share), 4),
        }
        for name, material, mass, share in zip(
            network.nodes,
            network.materials,
            network.mass_kg,
            network.heat_fraction,
            strict=True,
        )
    ]
    surfaces = [
        {
            "node": name,
            "still_m2": round(float(still), 4),
            "air_through_m2": round(float(through), 4),
            "radiating_m2": round(float(radiating), 4),
        }
        for name, still, through, radiating in zip(
            network.nodes,
            network.still_area_m2,
            network.through_area_m2,
            network.ambient_radiation_m2,
            strict=True,
        )
        if still > 0 or through > 0 or radiating > 0
    ]
    return {
        "name": brake.name,
        "stack_kg": round(brake.stack_mass_kg, 2),
        "links_at_c": _AT_C,
        "nodes": nodes,
        "links": _links(network),
        "surfaces": surfaces,
    }


def _links(network: Network) -> list[dict[str, Any]]:
    """Links with conduction and radiation together, brakes set and released."""
    at_k = float(kelvin(_AT_C))
    powers = at_k ** np.arange(3.0)
    cubic = 4.0 * STEFAN_BOLTZMANN_W_PER_M2_K4 * at_k**3

    def total(conduction: FloatArray, exchange_m2: FloatArray, link: int) -> float:
        value = conduction[link] @ powers + cubic * exchange_m2[link]
        return round(float(value), 4)

    return [
        {
            "from": network.nodes[first],
            "to": network.nodes[second],
            "set_w_per_k": total(
                network.conduction_set, network.radiation_set_m2, link
            ),
            "released_w_per_k": total(
                network.conduction_released, network.radiation_released_m2, link
            ),
        }
        for link, (first, second) in enumerate(
            zip(network.first, network.second, strict=True)
        )
    ]


def print_network(record: dict[str, Any]) -> None:
    """Print a network, a line for each part."""
    write_line(f"{record['name']}: stack {record['stack_kg']:g} kg, as new\n")
    write_line("Nodes: material, mass, share of the friction heat")
    for node in record["nodes"]:
        share = f"{node['heat_share']:8.2%}" if node["heat_share"] else ""
        write_line(
            f"  {node['name']:15} {node['material']:10} {node['mass_kg']:9.3f} kg"
            f"{share}"
        )
    write_line(
        f"\nLinks, conduction and radiation together at {record['links_at_c']:g} °C: "
        "brakes set, brakes released"
    )
    for link in record["links"]:
        write_line(
            f"  {link['from']:15} – {link['to']:15} {link['set_w_per_k']:9.3f} "
            f"{link['released_w_per_k']:9.3f} W/K"
        )
    write_line("\nSurfaces: in still air, with air driven through, radiating")
    for one in record["surfaces"]:
        write_line(
            f"  {one['node']:15} {one['still_m2']:8.4f} {one['air_through_m2']:8.4f} "
            f"{one['radiating_m2']:8.4f} m2"
        )
