"""Links of a brake's network: what conducts and radiates between its nodes.

Enters: a `Brake` and the rows of its nodes. Leaves: links with conduction as a
quadratic in the mean temperature and an exchange area, brakes set and released.
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
_FIT_K = np.linspace(260.0, 1700.0, 73)
_UNIT_GAP_M = 0.004


LinkRow = tuple[int, int, int, FloatArray, FloatArray, float, float]


@dataclass(slots=True)
class _Links:
    """Links while they are collected."""

    rows: list[LinkRow]

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
    fit = np.polynomial.polynomial.polyfit(_FIT_K, conduction(_FIT_K), 2)
    return np.asarray(fit, dtype=np.float64)


def _through_gap(area_m2: float, gap_m: float) -> Callable[[FloatArray], FloatArray]:
    return lambda temperature_k: area_m2 / gap_m * conductivity_w_per_m_k(temperature_k)


def brake_links(brake: Brake, at: dict[str, int]) -> list[LinkRow]:
    """All links of a brake by group, in each the ones that never change last.

    ``at`` gives the row of each part.
    """
    links = _Links([])
    _link_faces(brake, links)
    _link_rims(brake, links, at)
    _link_joints(brake, links, at)
    _link_lags(brake, links, at)
    return sorted(links.rows, key=lambda row: (row[0], _is_constant(row)))


def _is_constant(
    row: tuple[int, int, int, FloatArray, FloatArray, float, float],
) -> bool:
    """Whether a link conducts the same at any temperature and does not radiate."""
    return not (row[3][1:].any() or row[4][1:].any() or row[5] or row[6])


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
    """Join a disc's rim or bore across an annular gap to the shield or the tube."""
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
