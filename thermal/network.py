"""The thermal network of one brake: nodes, capacities, links, order of elimination.

Enters: a `Brake`. Leaves: a `Network` in plain arrays, the same for every sample;
what differs between samples (wear, cooling, joints, emissivity) is a factor applied
when it is integrated.

Flow over a link is ``c(Tm) (Ti - Tj) + sigma R (Ti^4 - Tj^4)``, Tm the mean of the
two temperatures and c a quadratic in Tm. Rotors are keyed to the inboard wheel half,
stators to the torque tube, neighbours touch while the brakes are set and face each
other over the running clearance while they are not.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.links import brake_links
from thermal.surfaces import brake_surfaces


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Network:
    """Arrays of one brake's network; ``n`` nodes, ``m`` links.

    Attributes
    ----------
    nodes, materials : tuple of str, length n
        Discs first, from the piston side; then tube, axle, shield, housing, wheel
        halves, bead, probe, indicator, plug.
    mass_kg : array, shape (n,)
        Masses of the new brake.
    first, second : int array, shape (m,)
        Ends of each link, sorted by group.
    group : int array, shape (m,)
        FACE (between discs), RIM (scales with disc thickness) or JOINT.
    conduction_set, conduction_released : array, shape (m, 3)
        Quadratic in mean temperature, ascending powers, brakes set or released.
    radiation_set_m2, radiation_released_m2 : array, shape (m,)
        Exchange areas.
    side : int array, shape (n,)
        OUTER or INNER: which film coefficient a node's surface sees.
    still_area_m2, through_area_m2 : array, shape (n,)
        Convective area without and with air driven through the stack.
    ambient_radiation_m2 : array, shape (n,)
        Exchange area with the surroundings.
    heat_fraction : array, shape (n,)
        Where friction heat enters; sums to one.
    order : tuple of int
        Elimination order with little fill: leaves, rotors, stators, hubs.
    """

    brake: Brake
    nodes: tuple[str, ...]
    materials: tuple[str, ...]
    mass_kg: FloatArray
    first: np.ndarray
    second: np.ndarray
    group: np.ndarray
    conduction_set: FloatArray
    conduction_released: FloatArray
    radiation_set_m2: FloatArray
    radiation_released_m2: FloatArray
    side: np.ndarray
    still_area_m2: FloatArray
    through_area_m2: FloatArray
    ambient_radiation_m2: FloatArray
    heat_fraction: FloatArray
    order: tuple[int, ...]

    def index(self, node: str) -> int:
        """Row of a node by its name."""
        return self.nodes.index(node)

    @property
    def disc_count(self) -> int:
        """Number of discs; they are the first rows."""
        return self.brake.disc_count


def build_network(brake: Brake) -> Network:
    """Nodes, links and surfaces of a brake from its dimensions."""
    count = brake.disc_count
    discs = [f"{'rotor' if k % 2 else 'stator'} {k // 2 + 1}" for k in range(count)]
    others = (
        ("torque tube", brake.tube_material, brake.tube_mass_kg),
        ("axle", "steel", brake.axle_mass_kg),
        ("heat shield", "stainless", brake.shield_mass_kg),
        ("piston housing", "aluminium", brake.housing_mass_kg),
        ("wheel inboard", "aluminium", brake.wheel_inboard_kg),
        ("wheel outboard", "aluminium", brake.wheel_outboard_kg),
        ("tyre bead", "rubber", brake.bead_mass_kg),
        ("probe", "stainless", brake.probe.mass_kg),
        ("indicator", "stainless", 0.001),
        ("plug", "aluminium", brake.plug.mass_kg),
    )
    nodes = (*discs, *(name for name, _, _ in others))
    at = {name: row for row, name in enumerate(nodes)}
    materials = (*[brake.stack_material] * count, *(name for _, name, _ in others))
    mass_kg = np.concatenate([brake.disc_mass_kg, [mass for _, _, mass in others]])
    columns = list(zip(*brake_links(brake, at), strict=True))
    still, through, radiation, side = brake_surfaces(brake, at)
    heat = np.full(len(nodes), 0.0)
    heat[:count] = 1.0 / (2 * brake.rotor_count)
    heat[[0, count - 1]] /= 2.0
    return Network(
        brake=brake,
        nodes=nodes,
        materials=materials,
        mass_kg=mass_kg,
        group=np.array(columns[0]),
        first=np.array(columns[1]),
        second=np.array(columns[2]),
        conduction_set=np.array(columns[3]),
        conduction_released=np.array(columns[4]),
        radiation_set_m2=np.array(columns[5]),
        radiation_released_m2=np.array(columns[6]),
        side=side,
        still_area_m2=still,
        through_area_m2=through,
        ambient_radiation_m2=radiation,
        heat_fraction=heat,
        order=_elimination_order(nodes, columns[1], columns[2], count),
    )


def _elimination_order(
    nodes: tuple[str, ...], first: tuple[int, ...], second: tuple[int, ...], discs: int
) -> tuple[int, ...]:
    """Rotors (they do not touch each other), then least neighbours first."""
    neighbours: list[set[int]] = [set() for _ in nodes]
    for a, b in zip(first, second, strict=True):
        neighbours[a].add(b)
        neighbours[b].add(a)
    order: list[int] = []
    waiting = set(range(len(nodes)))
    while waiting:
        pivot = min(
            waiting,
            key=lambda row: (
                not (row < discs and row % 2 == 1),
                len(neighbours[row] & waiting),
                row,
            ),
        )
        waiting.discard(pivot)
        rest = neighbours[pivot] & waiting
        for row in rest:
            neighbours[row] |= rest - {row}
        order.append(pivot)
    return tuple(order)
