"""Order of convergence of the step: cooling without events, and across them.

Fixed steps of 120, 60, 30, 15 and 7.5 s on every brake of the catalogue, from twenty
minutes after a landing with four tenths of the stack's limit. Without events for
sixteen minutes; across an event for four minutes before and eight after it. Errors are
the largest of all nodes at the end, against a step of 3.75 s and the one before it,
extrapolated.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from tests.brake_days import (
    AIR_K,
    SEA_LEVEL_PA,
    cool_rows,
    landing_phases,
    network_of,
    rows_like,
)
from thermal.arrays import FloatArray
from thermal.catalogue import known_brakes
from thermal.integrate import Integrator
from thermal.timeline import Air, Phase, PhaseKind, phase

STEPS_S = (120.0, 60.0, 30.0, 15.0, 7.5)
FINEST_S = 3.75
COOLED_S, BEFORE_S, AFTER_S = 960.0, 240.0, 480.0
HEAT_FRACTION, FAN_M_PER_S, STOP_S = 0.4, 6.0, 25.0
EVENTS = ("none", "a fan comes on", "the discs are released")
HEADING = """
## Order of convergence

How fast the error of a step falls when the step is halved: 2 is second order. Fixed
steps from 120 down to 7.5 s, without step control, on every brake; cooling without an
event has to reach 1.9 at every halving. Across an event (a fan coming on, set discs
released) the order is told, without a bar. The error is the largest of all nodes,
after sixteen minutes or eight minutes after the event.

| brake | event | worst order | last order | error at 120 s, K | at 7.5 s, K |
|---|---|---:|---:|---:|---:|
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Convergence:
    """Errors of one brake at each of `STEPS_S`, in kelvin."""

    brake: str
    event: str
    errors_k: tuple[float, ...]

    @property
    def orders(self) -> FloatArray:
        """Order at each halving, shape (halving,)."""
        errors_k = np.array(self.errors_k)
        return np.log2(errors_k[:-1] / errors_k[1:])


def _stretches(event: str) -> tuple[Phase, ...]:
    """One phase without an event, two with one between them."""
    still = Air(ambient_k=AIR_K, pressure_pa=SEA_LEVEL_PA)
    kind = PhaseKind.PARKED
    if event == EVENTS[0]:
        return (phase(kind, COOLED_S, still, batch=1),)
    if event == EVENTS[1]:
        blown = Air(
            ambient_k=AIR_K, pressure_pa=SEA_LEVEL_PA, through_m_per_s=FAN_M_PER_S
        )
        before = phase(kind, BEFORE_S, still, batch=1)
        return before, phase(PhaseKind.FAN, AFTER_S, blown, batch=1)
    clamped = phase(kind, BEFORE_S, still, batch=1, brakes_set=True)
    return clamped, phase(kind, AFTER_S, still, batch=1)


def _march(
    integrator: Integrator,
    start_k: FloatArray,
    stretches: tuple[Phase, ...],
    step_s: float,
) -> FloatArray:
    enthalpy = integrator.enthalpy(start_k.T)
    for stretch in stretches:
        integrator.begin(stretch)
        for _ in range(round(float(stretch.duration_s[0]) / step_s)):
            state = integrator.state(enthalpy)
            enthalpy, _, _ = integrator.step(state, np.array([step_s]), None)
    return integrator.temperature(enthalpy)[:, 0]


@cache
def convergence(brake: str, event: str) -> Convergence:
    """March one brake at every step."""
    network = network_of(brake)
    heat_j = (
        HEAT_FRACTION
        * network.brake.limits.stack_j_per_kg
        * network.brake.stack_mass_kg
    )
    power_w = heat_j / STOP_S * np.linspace(1.6, 0.4, 33)[None]
    rows = rows_like(1, roll_s=STOP_S, roll_power_w=power_w)
    at_s = np.array([1200.0])
    start_k = cool_rows(network, rows, landing_phases(rows, 1200.0), at_s).end_k
    integrator = Integrator(network, rows.variation)
    ends = [
        _march(integrator, start_k, _stretches(event), step_s)
        for step_s in (*STEPS_S, FINEST_S)
    ]
    # Second order taken for granted only to better the finest one.
    exact = ends[-1] + (ends[-1] - ends[-2]) / 3.0
    errors_k = tuple(float(np.abs(end - exact).max()) for end in ends[:-1])
    return Convergence(brake=brake, event=event, errors_k=errors_k)


def orders_text() -> str:
    """The section as Markdown."""
    rows = [convergence(brake, event) for event in EVENTS for brake in known_brakes()]
    return HEADING + "".join(
        f"| {row.brake} | {row.event} | {row.orders.min():.2f} | {row.orders[-1]:.2f} "
        f"| {row.errors_k[0]:.2g} | {row.errors_k[-1]:.1g} |\n"
        for row in rows
    )
