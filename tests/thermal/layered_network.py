"""A brake's network with every disc cut into layers through its thickness.

Friction heat, contact and gap meet the outermost layers, rims and bores all of them
alike. Otherwise the network is the one that is used, so that what a disc as one node
leaves out is all that differs.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from thermal.air import conductivity_w_per_m_k
from thermal.arrays import FloatArray
from thermal.links import FACE, LinkRow, _is_constant, _quadratic
from thermal.materials import material
from thermal.network import Network, _elimination_order


def layered(network: Network, layers: int) -> Network:
    """The same brake with so many layers in every disc, layers first."""
    discs, count = network.disc_count, network.disc_count * layers
    others = len(network.nodes) - discs
    names = tuple(
        f"{name} layer {layer}"
        for name in network.nodes[:discs]
        for layer in range(layers)
    )
    rows = sorted(
        (*_kept(network, layers), *_inside(network, layers), *_faces(network, layers)),
        key=lambda row: (row[0], _is_constant(row)),
    )
    columns = list(zip(*rows, strict=True))
    nodes = (*names, *network.nodes[discs:])

    def shared(values: FloatArray) -> FloatArray:
        """Spread what belongs to a disc over its layers."""
        inner = np.repeat(values[:discs] / layers, layers)
        return np.concatenate([inner, values[discs:]])

    sky = np.concatenate([np.zeros(count), network.ambient_radiation_m2[discs:]])
    sky[[0, count - 1]] = network.ambient_radiation_m2[[0, discs - 1]]
    heat = np.zeros(count + others)
    for disc in range(discs):
        inner = [disc * layers] if disc > 0 else []
        outer = [disc * layers + layers - 1] if disc < discs - 1 else []
        faces = inner + outer
        heat[faces] = network.heat_fraction[disc] / len(faces)
    return replace(
        network,
        nodes=nodes,
        materials=(
            *(name for name in network.materials[:discs] for _ in range(layers)),
            *network.materials[discs:],
        ),
        mass_kg=shared(network.mass_kg),
        group=np.array(columns[0]),
        first=np.array(columns[1]),
        second=np.array(columns[2]),
        conduction_set=np.array(columns[3]),
        conduction_released=np.array(columns[4]),
        radiation_set_m2=np.array(columns[5]),
        radiation_released_m2=np.array(columns[6]),
        side=np.concatenate(
            [np.repeat(network.side[:discs], layers), network.side[discs:]]
        ),
        still_area_m2=shared(network.still_area_m2),
        through_area_m2=shared(network.through_area_m2),
        ambient_radiation_m2=sky,
        heat_fraction=heat,
        order=_elimination_order(nodes, columns[1], columns[2], 0),
    )


def _kept(network: Network, layers: int) -> Iterator[LinkRow]:
    """All links but those between discs; those of a disc are spread or at its end."""
    discs = network.disc_count
    shift = discs * (layers - 1)
    housing, outboard = map(network.index, ("piston housing", "wheel outboard"))
    ends = {(0, housing): 0, (discs - 1, outboard): discs * layers - 1}
    for row in range(network.first.size):
        group = int(network.group[row])
        first, second = int(network.first[row]), int(network.second[row])
        conduction = network.conduction_set[row]
        released = network.conduction_released[row]
        radiation = float(network.radiation_released_m2[row])
        if group == FACE:
            continue
        if (first, second) in ends or first >= discs:
            place = ends.get((first, second), first + shift)
            yield (
                group,
                place,
                second + shift,
                conduction,
                released,
                radiation,
                radiation,
            )
            continue
        for layer in range(layers):
            yield (
                group,
                first * layers + layer,
                second + shift,
                conduction / layers,
                released / layers,
                radiation / layers,
                radiation / layers,
            )


def _inside(network: Network, layers: int) -> Iterator[LinkRow]:
    """Conduction from layer to layer of a disc."""
    brake = network.brake
    solid, area = material(brake.stack_material), brake.friction_area_m2
    for disc, thickness_m in enumerate(brake.disc_thickness_m):
        width_m = float(thickness_m) / layers

        def through(temperature_k: FloatArray, width_m: float = width_m) -> FloatArray:
            return area / width_m * solid.conductivity(temperature_k)

        fitted = _quadratic(through)
        for layer in range(layers - 1):
            place = disc * layers + layer
            yield FACE, place, place + 1, fitted, fitted, 0.0, 0.0


def _faces(network: Network, layers: int) -> Iterator[LinkRow]:
    """Contact or gap between the outermost layers of neighbours."""
    brake = network.brake
    solid, area = material(brake.stack_material), brake.friction_area_m2
    thickness = brake.disc_thickness_m / layers
    facing = network.radiation_released_m2[network.group == FACE]
    for disc in range(network.disc_count - 1):
        half_m = 0.5 * float(thickness[disc] + thickness[disc + 1])

        def apart(
            gap: Callable[[FloatArray], FloatArray], half_m: float = half_m
        ) -> Callable[[FloatArray], FloatArray]:
            return lambda t: area / (half_m / solid.conductivity(t) + gap(t))

        closed = _quadratic(
            apart(lambda t: np.full_like(t, 1 / brake.contact_w_per_m2_k))
        )
        opened = _quadratic(
            apart(lambda t: brake.clearance_m / conductivity_w_per_m_k(t))
        )
        place = disc * layers + layers - 1
        yield FACE, place, place + 1, closed, opened, 0.0, float(facing[disc])
