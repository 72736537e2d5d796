"""The thermal network of one brake: nodes, capacities, links, order of elimination.

Enters: a `Brake`. Leaves: a `Network` in plain arrays, the same for every sample;
what differs between samples (wear, cooling, joints, emissivity) is a factor applied
when it is integrated.

Flow over a link is ``c(Tm) (Ti - Tj) + sigma R (Ti^4 - Tj^4)``, Tm the mean of the
two temperatures and c a quadratic in Tm. Rotors are keyed to the inboard wheel half,
stators to the torque tube, neighbours touch while the brakes are set and face each
other over the running clearance while they are not.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import pi

import numpy as np

from thermal.air import conductivity_w_per_m_k
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.materials import material
from thermal.radiation import exchange_area_concentric, exchange_area_parallel

FACE, RIM, JOINT = 0, 1, 2
OUTER, INNER = 0, 1
_FIT_K = np.linspace(260.0, 1700.0, 73)
_UNIT_GAP_M = 0.004


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


@dataclass(slots=True)
class _Links:
    """Links while they are collected."""

    rows: list[tuple[int, int, int, FloatArray, FloatArray, float, float]]

    def add(
        self,
        group: int,
        ends: tuple[int, int],
        conduction: Callable[[FloatArray], FloatArray] | float,
        radiation_m2: float = 0.0,
    ) -> None:
        """Add a link that is the same with brakes set and released."""
        fitted = _quadratic(conduction)
        self.rows.append((group, *ends, fitted, fitted, radiation_m2, radiation_m2))

    def add_face(
        self,
        ends: tuple[int, int],
        closed: Callable[[FloatArray], FloatArray],
        opened: Callable[[FloatArray], FloatArray],
        radiation_m2: float,
    ) -> None:
        """Add a pair of neighbouring discs: in contact, or apart and radiating."""
        pair = (_quadratic(closed), _quadratic(opened))
        self.rows.append((FACE, *ends, *pair, 0.0, radiation_m2))


def _quadratic(conduction: Callable[[FloatArray], FloatArray] | float) -> FloatArray:
    if not callable(conduction):
        return np.array([conduction, 0.0, 0.0])
    return np.polynomial.polynomial.polyfit(_FIT_K, conduction(_FIT_K), 2)


def _through_gap(area_m2: float, gap_m: float) -> Callable[[FloatArray], FloatArray]:
    return lambda temperature_k: area_m2 / gap_m * conductivity_w_per_m_k(temperature_k)


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
    links = _Links([])
    _link_faces(brake, links)
    _link_rims(brake, links, at)
    _link_joints(brake, links, at)
    _link_lags(brake, links, at)
    links.rows.sort(key=lambda row: row[0])
    columns = list(zip(*links.rows, strict=True))
    still, through, radiation, side = _surfaces(brake, at)
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


def _link_faces(brake: Brake, links: _Links) -> None:
    """Neighbouring discs: half of each in series with contact or with the gap."""
    solid = material(brake.stack_material)
    area, thickness = brake.friction_area_m2, brake.disc_thickness_m
    facing = exchange_area_parallel(area, solid.emissivity, solid.emissivity, 1.0)
    for k in range(brake.disc_count - 1):
        half_m = 0.5 * (thickness[k] + thickness[k + 1])

        def closed(temperature_k: FloatArray, half_m: float = half_m) -> FloatArray:
            halves = half_m / solid.conductivity(temperature_k)
            return area / (halves + 1.0 / brake.contact_w_per_m2_k)

        def opened(temperature_k: FloatArray, half_m: float = half_m) -> FloatArray:
            halves = half_m / solid.conductivity(temperature_k)
            gap = brake.clearance_m / conductivity_w_per_m_k(temperature_k)
            return area / (halves + gap)

        links.add_face((k, k + 1), closed, opened, float(facing))


def _link_rims(brake: Brake, links: _Links, at: dict[str, int]) -> None:
    """Rotor and end rims to the heat shield, stator bores to the tube.

    Radiation and the air in between. Inner stators lie back behind the rotors' rims
    and rotor bores behind the stators: their small exchange is left out.
    """
    last = brake.disc_count - 1
    for k, thickness_m in enumerate(brake.disc_thickness_m):
        rotor = k % 2 == 1
        if rotor or k in (0, last):
            rim_m = (
                brake.rotor_outer_radius_m if rotor else brake.friction_outer_radius_m
            )
            _link_annulus(
                brake, links, (k, at["heat shield"]), (rim_m, thickness_m), outward=True
            )
        if not rotor:
            bore_m = brake.stator_inner_radius_m
            _link_annulus(
                brake,
                links,
                (k, at["torque tube"]),
                (bore_m, thickness_m),
                outward=False,
            )


def _link_annulus(
    brake: Brake,
    links: _Links,
    ends: tuple[int, int],
    disc_m: tuple[float, float],
    *,
    outward: bool,
) -> None:
    """A disc's rim or bore across an annular gap to the shield or the tube."""
    radius_m, thickness_m = disc_m
    disc = material(brake.stack_material).emissivity
    if outward:
        radii, emissivity = (radius_m, brake.shield_radius_m), brake.shield_emissivity
        pair = (disc, emissivity)
    else:
        radii = (brake.tube_outer_radius_m, radius_m)
        pair = (material(brake.tube_material).emissivity, disc)
    inner, outer = (2 * pi * radius * thickness_m for radius in radii)
    gap_m = max(radii[1] - radii[0], _UNIT_GAP_M)
    exchange = exchange_area_concentric(inner, outer, *pair)
    links.add(RIM, ends, _through_gap(inner, gap_m), float(exchange))


def _link_joints(brake: Brake, links: _Links, at: dict[str, int]) -> None:
    """Keys, splines, bolts, bearings, the shield's back, the ends and the bead."""
    joint = brake.joint_w_per_m2_k
    tube, housing, axle = at["torque tube"], at["piston housing"], at["axle"]
    inboard, outboard = at["wheel inboard"], at["wheel outboard"]
    shield, last = at["heat shield"], brake.disc_count - 1
    for k in range(brake.disc_count):
        if k % 2:
            links.add(JOINT, (k, inboard), joint * brake.key_area_m2)
        else:
            links.add(JOINT, (k, tube), joint * brake.spline_area_m2)
    emissivity = material(brake.stack_material).emissivity
    face = brake.friction_area_m2 * (1.0 - brake.open_fraction)
    to_housing = exchange_area_parallel(face, emissivity, 0.5, 1.0)
    links.add(JOINT, (0, housing), joint * brake.piston_area_m2, float(to_housing))
    web = exchange_area_parallel(face, emissivity, brake.wheel_emissivity, 1.0)
    links.add(JOINT, (last, outboard), _through_gap(face, 0.03), float(web))
    shield_m2 = 2 * pi * brake.shield_radius_m * brake.rim_width_m
    rim_m2 = 2 * pi * brake.rim_radius_m * brake.rim_width_m
    gap_m = max(brake.rim_radius_m - brake.shield_radius_m, _UNIT_GAP_M)
    behind = exchange_area_concentric(
        shield_m2, rim_m2, brake.shield_emissivity, brake.wheel_emissivity
    )
    links.add(JOINT, (shield, inboard), _through_gap(shield_m2, gap_m), float(behind))
    links.add(JOINT, (tube, housing), joint * brake.spline_area_m2)
    links.add(JOINT, (tube, axle), joint * brake.bearing_area_m2)
    links.add(JOINT, (axle, inboard), joint * brake.bearing_area_m2)
    links.add(JOINT, (axle, outboard), joint * brake.bearing_area_m2)
    links.add(JOINT, (inboard, outboard), joint * brake.joint_area_m2)
    bead = 2 * pi * brake.rim_radius_m * 0.04 / brake.bead_thickness_m
    rubber = material("rubber")
    for half in (inboard, outboard):
        links.add(
            JOINT, (half, at["tyre bead"]), lambda t: bead * rubber.conductivity(t)
        )


def _link_lags(brake: Brake, links: _Links, at: dict[str, int]) -> None:
    """Probe, display and plug: first-order lags as small masses behind a link."""
    steel = float(material("stainless").specific_heat(np.float64(450.0)))
    probe = brake.probe
    coupling = probe.mass_kg * steel / probe.lag_s
    for node, fraction in (
        (brake.disc_count - 1, probe.end_stator_fraction),
        (at["torque tube"], probe.tube_fraction),
        (at["piston housing"], probe.housing_fraction),
    ):
        links.add(JOINT, (node, at["probe"]), coupling * fraction)
    display = 0.001 * steel / probe.display_lag_s
    links.add(JOINT, (at["probe"], at["indicator"]), display)
    alloy = float(material("aluminium").specific_heat(np.float64(400.0)))
    plug = brake.plug.mass_kg * alloy / brake.plug.lag_s
    links.add(JOINT, (at["wheel inboard"], at["plug"]), plug)


def _surfaces(
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
