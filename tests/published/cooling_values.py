"""Our integrator on networks of one and two bodies with known curves.

Rounded, so that the page does not change with the last digits of a step.
"""

from functools import cache

import numpy as np

from tests.brake_days import SEA_LEVEL_PA
from tests.small_networks import (
    AMBIENT_K,
    SINK_KG,
    cool_small,
    crossing_s,
    peak,
    small_network,
)
from thermal.cooling import CoolingCurve
from thermal.export import export_network
from thermal.faces import face_excess_k
from thermal.network import Network
from thermal.timeline import Air, PhaseKind, phase
from thermal.units import celsius
from thermal.variation import Variation

from .registry import published, register_each

CELLS, CONDUCTIVITY, RHO_C = 40, 20.0, 1750.0 * 1400.0
FOURIER = (1.0, 1.8)


@cache
def _lumped() -> CoolingCurve:
    """One body and a sink."""
    network = small_network(
        {"stack": (45.0, 1233.0), "air": (SINK_KG, 1000.0)}, (("stack", "air", 18.0),)
    )
    return cool_small(network, np.array([773.15, AMBIENT_K]), 6000.0, 5.0)


def _lumped_minutes(level_k: float) -> float:
    """When it is as cold as that."""
    curve = _lumped()
    return crossing_s(curve.time_s, curve.node_k("stack")[0], level_k) / 60.0


@published("cooling-lumped-500-to-150")
def lumped_minutes() -> float:
    return round(_lumped_minutes(423.15), 2)


@published("cooling-lumped-constant")
def lumped_constant() -> float:
    """480 K above the sink at first."""
    return round(_lumped_minutes(AMBIENT_K + 480.0 * np.exp(-1.0)), 3)


@published("cooling-bead")
def bead_s() -> float:
    """A body that follows the gas with a lag of a second."""
    network = small_network(
        {"bead": (0.001, 400.0), "gas": (SINK_KG, 1000.0)}, (("bead", "gas", 0.4),)
    )
    curve = cool_small(network, np.array([298.15, 473.15]), 8.0, 0.02)
    left_k = 473.15 - curve.node_k("bead")[0]
    return round(crossing_s(curve.time_s, left_k, 1.0), 2)


@published("cooling-radiation-500-to-300")
def radiation_s() -> float:
    """One body that sees the surroundings, beside one that does nothing."""
    network = small_network(
        {"stack": (45.0, 1200.0), "idle": (1.0, 1000.0)},
        (("stack", "idle", 0.0),),
        np.array([0.8 * 0.6, 0.0]),
    )
    curve = cool_small(network, np.array([773.15, AMBIENT_K]), 3000.0, 5.0)
    return round(crossing_s(curve.time_s, curve.node_k("stack")[0], 573.15), 1)


@cache
def _indicator() -> tuple[float, float, float]:
    network = small_network(
        {"stack": (45.0, 1200.0), "air": (SINK_KG, 1000.0), "probe": (1e-6, 480.0)},
        (
            ("stack", "air", 45.0 * 1200.0 / 3600.0),
            ("stack", "probe", 1e-6 * 480.0 / 240.0),
        ),
    )
    start_k = np.array([AMBIENT_K + 400.0, AMBIENT_K, AMBIENT_K])
    curve = cool_small(network, start_k, 1800.0, 10.0)
    at_s, peak_k = peak(curve.time_s, curve.node_k("probe")[0])
    true_k = float(np.interp(at_s, curve.time_s, curve.node_k("stack")[0]))
    shares = [(value_k - AMBIENT_K) / 400.0 for value_k in (peak_k, true_k)]
    return at_s / 60.0, shares[0], shares[1]


@published("cooling-indicator-peak-time")
def indicator_minutes() -> float:
    """When the indication is highest."""
    return round(_indicator()[0], 3)


@published("cooling-indicator-peak-height")
def indicator_share() -> float:
    """How high it gets."""
    return round(_indicator()[1], 4)


@published("cooling-indicator-crossing")
def indicator_crossing() -> float:
    """What it follows at that time."""
    return round(_indicator()[2], 4)


@cache
def two_body_network() -> Network:
    """Stack and wheel, each losing to the air."""
    return small_network(
        {
            "stack": (45.0, 1233.0),
            "wheel": (60.0, 900.0),
            "air": (SINK_KG, 1000.0),
        },
        (("stack", "wheel", 12.0), ("stack", "air", 14.0), ("wheel", "air", 8.0)),
    )


@cache
def two_bodies() -> CoolingCurve:
    """Both from 500 and 30 °C."""
    start_k = np.array([773.15, 303.15, AMBIENT_K])
    return cool_small(two_body_network(), start_k, 7200.0, 20.0)


@cache
def _eigenvalues() -> tuple[float, float]:
    """Of the links and capacities that the export gives, fastest first."""
    air = Air(ambient_k=AMBIENT_K, pressure_pa=SEA_LEVEL_PA)
    tables = export_network(
        two_body_network(),
        Variation.nominal(),
        (phase(PhaseKind.PARKED, 60.0, air, batch=1),),
        np.full(3, AMBIENT_K),
    )
    place = {node["name"]: row for row, node in enumerate(tables["nodes"])}
    matrix = np.zeros((3, 3))
    for link in tables["links"]:
        one, other = place[link["from"]], place[link["to"]]
        flow = link["conduction_w_per_k"][0]
        matrix[[one, other], [one, other]] -= flow
        matrix[[one, other], [other, one]] += flow
    for row, node in enumerate(tables["nodes"]):
        heat = tables["materials"][node["material"]]["specific_heat_j_per_kg_k"][0]
        matrix[row] /= node["mass_kg"] * heat
    fast, slow, _ = np.sort(np.linalg.eigvals(matrix).real)
    return float(fast), float(slow)


@published("cooling-two-body-fast")
def fast_eigenvalue() -> float:
    return _eigenvalues()[0]


@published("cooling-two-body-slow")
def slow_eigenvalue() -> float:
    return _eigenvalues()[1]


def _wheel_peak() -> tuple[float, float]:
    curve = two_bodies()
    return peak(curve.time_s, curve.node_k("wheel")[0])


@published("cooling-two-body-peak-time")
def wheel_peak_minutes() -> float:
    """When the wheel is hottest."""
    return round(_wheel_peak()[0] / 60.0, 1)


@published("cooling-two-body-peak")
def wheel_peak_c() -> float:
    """How hot it gets."""
    return round(float(celsius(_wheel_peak()[1])), 1)


@published("cooling-two-body-stack")
def stack_c() -> float:
    """The stack at that time."""
    curve = two_bodies()
    at_s = _wheel_peak()[0]
    stack_k = np.interp(at_s, curve.time_s, curve.node_k("stack")[0])
    return round(float(celsius(stack_k)), 1)


@cache
def slab(biot: float) -> tuple[float, float]:
    """First root and first coefficient of half a slab of 2 cm, cut into cells.

    From the middle's temperature at two Fourier numbers, late enough for one term.
    """
    half_m = 0.02
    width_m = half_m / CELLS
    film = biot * CONDUCTIVITY / half_m
    cells = {f"cell {k}": (RHO_C * width_m / 1e3, 1000.0) for k in range(CELLS)}
    inner = tuple(
        (f"cell {k}", f"cell {k + 1}", CONDUCTIVITY / width_m) for k in range(CELLS - 1)
    )
    outer = 1.0 / (0.5 * width_m / CONDUCTIVITY + 1.0 / film)
    network = small_network(
        {**cells, "gas": (SINK_KG, 1000.0)},
        (*inner, (f"cell {CELLS - 1}", "gas", outer)),
    )
    start_k = np.append(np.full(CELLS, 773.15), AMBIENT_K)
    fourier_s = half_m**2 * RHO_C / CONDUCTIVITY
    curve = cool_small(network, start_k, 1.9 * fourier_s, 0.1 * fourier_s)
    middle = (curve.node_k("cell 0")[0] - AMBIENT_K) / 480.0
    first, second = np.interp(FOURIER, curve.time_s / fourier_s, np.log(middle))
    root = float(np.sqrt((first - second) / (FOURIER[1] - FOURIER[0])))
    # The first cell's middle lies half a cell off the slab's.
    there = float(np.cos(root * 0.5 / CELLS))
    return root, float(np.exp(first + root**2 * FOURIER[0])) / there


register_each("slab-root-{}", lambda biot: round(slab(biot)[0], 4), 1, 0.1)
register_each("slab-coefficient-{}", lambda biot: round(slab(biot)[1], 4), 1, 0.1)


@published("face-semi-infinite")
def face_rise_k() -> float:
    """Mean and excess together, of a disc too thick for the heat to get through."""
    time_s, thick_m, flux = np.linspace(0.0, 20.0, 401), 0.2, 1e6
    excess_k = face_excess_k(
        time_s, np.full(time_s.size, flux), thick_m, CONDUCTIVITY, RHO_C
    )
    return float(excess_k[-1] + flux * 20.0 / (RHO_C * thick_m))
