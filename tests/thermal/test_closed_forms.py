"""The integrator on bodies with exact solutions, and discs cut into layers.

A disc is one node. What that leaves out is measured against the same brake with every
disc cut into seven layers, and against a slab alone.
"""

import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest
from scipy.linalg import expm

from tests.brake_days import (
    SEA_LEVEL_PA,
    cool_rows,
    landing_phases,
    network_of,
    rows_like,
)
from tests.published.cooling_values import two_body_network
from tests.small_networks import AMBIENT_K, SINK_KG, small_network
from tests.thermal.layered_network import layered
from thermal.arrays import FloatArray
from thermal.catalogue import known_brakes
from thermal.cooling import CoolingCurve, cool
from thermal.faces import face_excess_k
from thermal.materials import property_table
from thermal.network import Network
from thermal.timeline import Air, Heat, Phase, PhaseKind, phase
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4
from thermal.variation import Variation

TIGHT_K = 1e-3
LAYERS, STOP_S, HEAT_FRACTION = 7, 25.0, 0.4
CELLS, THICK_M, CONDUCTIVITY, RHO_C = 60, 0.024, 20.0, 1750.0 * 1400.0
FLUX_W_PER_M2 = 1e6


def alone(duration_s: float, heat: Heat | None = None) -> Phase:
    """Air of 20 °C that touches nothing."""
    air = Air(ambient_k=AMBIENT_K, pressure_pa=SEA_LEVEL_PA)
    return phase(PhaseKind.PARKED, duration_s, air, batch=1, heat=heat)


def march(network: Network, start_k: FloatArray, at_s: FloatArray) -> CoolingCurve:
    """Leave a small network alone until the last instant."""
    phases = (alone(float(at_s[-1])),)
    one = Variation.nominal()
    return cool(network, one, phases, start_k[None], at_s, tolerance_k=TIGHT_K)


def test_one_body_decays_exponentially() -> None:
    """45 kg behind 18 W/K: to a millionth of its first excess, at any time."""
    network = small_network(
        {"stack": (45.0, 1233.0), "air": (SINK_KG, 1000.0)}, (("stack", "air", 18.0),)
    )
    at_s = np.arange(0.0, 9001.0, 300.0)
    curve = march(network, np.array([773.15, AMBIENT_K]), at_s)
    exact = 480.0 * np.exp(-at_s * 18.0 / (45.0 * 1233.0))
    assert np.abs(curve.node_k("stack")[0] - AMBIENT_K - exact).max() < 1e-6 * 480.0


def test_two_bodies_follow_their_eigenvectors() -> None:
    """Stack and wheel: to a millionth of the first excess, against the exponential."""
    heat = np.array([45.0 * 1233.0, 60.0 * 900.0])
    rates = np.array([[-26.0, 12.0], [12.0, -20.0]]) / heat[:, None]
    at_s = np.arange(0.0, 7201.0, 300.0)
    curve = march(two_body_network(), np.array([773.15, 303.15, AMBIENT_K]), at_s)
    exact = np.array([expm(rates * t) @ np.array([480.0, 10.0]) for t in at_s])
    ours = curve.temperature_k[0, :, :2] - AMBIENT_K
    assert np.abs(ours - exact).max() < 1e-6 * 480.0


def test_radiation_alone_follows_its_closed_form() -> None:
    """From 900 to 400 K: each temperature at its time, to a millionth."""
    area_m2, heat_j_per_k = 0.8 * 0.6, 45.0 * 1200.0
    network = small_network(
        {"stack": (45.0, 1200.0), "idle": (1.0, 1000.0)},
        (("stack", "idle", 0.0),),
        np.array([area_m2, 0.0]),
    )

    def level(t: float) -> float:
        logarithm = math.log((t + AMBIENT_K) / (t - AMBIENT_K))
        return (logarithm + 2.0 * math.atan(t / AMBIENT_K)) / (4.0 * AMBIENT_K**3)

    reached_k = np.linspace(900.0, 400.0, 26)
    scale = heat_j_per_k / (STEFAN_BOLTZMANN_W_PER_M2_K4 * area_m2)
    at_s = np.array([scale * (level(t) - level(900.0)) for t in reached_k])
    curve = march(network, np.array([900.0, AMBIENT_K]), at_s)
    assert np.abs(curve.node_k("stack")[0] - reached_k).max() < 1e-6 * 900.0


def slab() -> Network:
    """A disc of 24 mm, heated on both faces, cut into cells, one square metre."""
    width_m = THICK_M / CELLS
    cells = {f"cell {k}": (RHO_C * width_m / 1e3, 1000.0) for k in range(CELLS)}
    links = tuple(
        (f"cell {k}", f"cell {k + 1}", CONDUCTIVITY / width_m) for k in range(CELLS - 1)
    )
    heat = np.zeros(CELLS)
    heat[[0, -1]] = 0.5
    return replace(small_network(cells, links), heat_fraction=heat)


def whole() -> Network:
    """The same disc as one node, beside one that does nothing."""
    network = small_network(
        {"disc": (RHO_C * THICK_M / 1e3, 1000.0), "idle": (1.0, 1000.0)},
        (("disc", "idle", 0.0),),
    )
    return replace(network, heat_fraction=np.array([1.0, 0.0]))


def test_a_disc_alone_has_the_mean_of_its_slab_and_its_face_is_laid_over() -> None:
    """Mean within 1 K and face within 1 % of a slab of sixty cells, during a stop."""
    at_s = np.linspace(0.0, 60.0, 241)
    power_w = 2.0 * FLUX_W_PER_M2 * np.linspace(1.0, 0.0, 33)[None]
    phases = (alone(STOP_S, Heat(power_w=power_w)), alone(60.0 - STOP_S))
    one, many = (
        cool(
            network,
            Variation.nominal(),
            phases,
            np.full((1, len(network.nodes)), AMBIENT_K),
            at_s,
            tolerance_k=0.05,
        )
        for network in (whole(), slab())
    )
    mean_k = many.temperature_k[0].mean(axis=1)
    assert np.abs(one.node_k("disc")[0] - mean_k).max() < 1.0
    flux = FLUX_W_PER_M2 * np.maximum(1.0 - at_s / STOP_S, 0.0)
    excess_k = face_excess_k(at_s, flux, 0.5 * THICK_M, CONDUCTIVITY, RHO_C)
    to_face_k = flux * 0.5 * THICK_M / CELLS / CONDUCTIVITY
    face_k = many.temperature_k[0, :, 0] + to_face_k
    ours_k = one.node_k("disc")[0] + excess_k
    later = at_s > 1.0
    off_k = np.abs(ours_k - face_k)[later]
    assert off_k.max() < 0.01 * (face_k.max() - AMBIENT_K)


@dataclass(frozen=True, kw_only=True, eq=False)
class Pair:
    """One landing of a brake with discs as nodes, and with discs in layers."""

    network: Network
    power_w: FloatArray
    one: CoolingCurve
    many: CoolingCurve

    @property
    def mean_k(self) -> FloatArray:
        """Temperature of each layered disc's mean enthalpy, shape (time, disc)."""
        discs = self.network.disc_count
        table = property_table(self.network.brake.stack_material)
        layers = table.enthalpy(self.many.temperature_k[0, :, : discs * LAYERS])
        per_disc = layers.reshape(-1, discs, LAYERS).mean(axis=2)
        return np.asarray(table.temperature(per_disc))


@cache
def pair(brake: str) -> Pair:
    """Four tenths of the stack's limit, then an hour and a half of still air."""
    network = network_of(brake)
    limit_j = network.brake.limits.stack_j_per_kg * network.brake.stack_mass_kg
    power_w = HEAT_FRACTION * limit_j / STOP_S * np.linspace(1.6, 0.4, 33)
    rows = rows_like(1, roll_s=STOP_S, roll_power_w=power_w[None])
    at_s = np.append(np.arange(-325.0, -290.0), np.arange(-290.0, 5400.0, 30.0))
    one, many = (
        cool_rows(some, rows, landing_phases(rows, 5400.0), at_s, tolerance_k=0.1)
        for some in (network, layered(network, LAYERS))
    )
    return Pair(network=network, power_w=power_w, one=one, many=many)


@pytest.mark.parametrize("brake", known_brakes())
def test_a_brake_in_layers_is_no_hotter_where_limits_look(brake: str) -> None:
    """Mean stack within 1.2 K; hottest disc and plug at most 1.5 and 0.6 K hotter.

    With discs as nodes the end discs, heated on one face, are up to 12 K too hot and
    the discs beside them up to 9 K too cool at the end of the stop.
    """
    both = pair(brake)
    table, discs = (
        property_table(both.network.brake.stack_material),
        both.network.disc_count,
    )
    mass_kg = both.network.mass_kg[:discs]
    per_kg = table.enthalpy(both.mean_k) @ mass_kg / mass_kg.sum()
    assert np.abs(table.temperature(per_kg) - both.one.stack_k[0]).max() < 1.2
    assert (both.mean_k.max(axis=1) - both.one.hottest_k[0]).max() < 1.5
    assert (both.many.plug_k - both.one.plug_k).max() < 0.6
    assert np.abs(both.mean_k - both.one.temperature_k[0, :, :discs]).max() < 13.0


@pytest.mark.parametrize("brake", known_brakes())
def test_the_face_laid_over_a_brake_s_disc_is_that_of_its_layers(brake: str) -> None:
    """A rotor in the middle of the stack, while it brakes: within 5 % of its rise."""
    both = pair(brake)
    network, brake_data = both.network, both.network.brake
    rotor = 2 * (brake_data.rotor_count // 2) + 1
    while_braking = both.one.time_s < -325.0 + STOP_S
    time_s = both.one.time_s[while_braking] + 325.0
    power_w = np.interp(time_s / STOP_S, np.linspace(0.0, 1.0, 33), both.power_w)
    flux = 0.5 * network.heat_fraction[rotor] * power_w / brake_data.friction_area_m2
    disc_k = both.one.temperature_k[0, while_braking, rotor]
    table = property_table(brake_data.stack_material)
    middle_k = np.float64(0.5 * (disc_k[0] + disc_k[-1]))
    conductivity = float(table.conductivity(middle_k))
    # Rotors reach beyond the swept faces: what is heated is all of the disc.
    face_m2 = network.mass_kg[rotor] / (
        table.material.density_kg_per_m3 * brake_data.rotor_thickness_m
    )
    heat = float(table.specific_heat(middle_k)) * table.material.density_kg_per_m3
    excess_k = face_excess_k(
        time_s,
        flux,
        0.5 * brake_data.rotor_thickness_m,
        conductivity,
        heat * face_m2 / brake_data.friction_area_m2,
    )
    layer_k = both.many.temperature_k[0, while_braking, rotor * LAYERS]
    width_m = brake_data.rotor_thickness_m / LAYERS
    face_k = layer_k + 0.5 * flux * width_m / conductivity
    later = time_s >= 5.0
    off_k = np.abs(disc_k + excess_k - face_k)[later]
    assert off_k.max() < 0.05 * (face_k.max() - face_k[0])
