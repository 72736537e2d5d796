"""Our integrator on networks of one and two bodies with known curves.

Rounded, so that the page does not change with the last digits of a step.
"""

from functools import cache

import numpy as np

from tests.small_networks import (
    AMBIENT_K,
    SINK_KG,
    cool_small,
    crossing_s,
    peak,
    small_network,
)
from thermal.cooling import CoolingCurve
from thermal.units import celsius

from .registry import published


@published("cooling-lumped-500-to-150")
def lumped_minutes() -> float:
    """One body and a sink."""
    network = small_network(
        {"stack": (45.0, 1233.0), "air": (SINK_KG, 1000.0)}, (("stack", "air", 18.0),)
    )
    curve = cool_small(network, np.array([773.15, AMBIENT_K]), 6000.0, 5.0)
    found_s = crossing_s(curve.time_s, curve.node_k("stack")[0], 423.15)
    return round(found_s / 60.0, 2)


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
def _indicator() -> tuple[float, float]:
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
    return at_s / 60.0, (peak_k - AMBIENT_K) / 400.0


@published("cooling-indicator-peak-time")
def indicator_minutes() -> float:
    """When the indication is highest."""
    return round(_indicator()[0], 2)


@published("cooling-indicator-peak-height")
def indicator_share() -> float:
    """How high it gets."""
    return round(_indicator()[1], 4)


@cache
def two_bodies() -> CoolingCurve:
    """Stack and wheel, each losing to the air."""
    network = small_network(
        {
            "stack": (45.0, 1233.0),
            "wheel": (60.0, 900.0),
            "air": (SINK_KG, 1000.0),
        },
        (("stack", "wheel", 12.0), ("stack", "air", 14.0), ("wheel", "air", 8.0)),
    )
    return cool_small(network, np.array([773.15, 303.15, AMBIENT_K]), 7200.0, 20.0)


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
