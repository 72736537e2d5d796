"""One batched, linearly implicit step in enthalpy, and its step control.

Enters: a `Network`, the samples' `Variation`, a `Phase` and the enthalpies at its
start. Leaves: the enthalpies at its end, the steps taken, and the heat lost.

- A step solves ``(C + dt L) delta = dt f(T) + E`` with conductances frozen at the
  start, radiation by its secant conductance, and books ``C delta`` as enthalpy: what
  one node loses another gains, so the balance closes to rounding.
- Two half steps and one whole step are extrapolated to second order; where the
  extrapolation leaves the range of temperatures around it, the half steps stand.
- All samples share the fractions of the phase at which steps end, so that a sample's
  result depends on its neighbours in the batch within the tolerance.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from thermal.arrays import FloatArray
from thermal.conductances import Conductances, Flows
from thermal.elimination import Elimination
from thermal.enthalpies import EnthalpyTables
from thermal.errors import IntegrationError
from thermal.materials import property_table
from thermal.network import Network
from thermal.timeline import Phase
from thermal.variation import Variation

FIRST_STEP_S = 0.5
_GROWTH, _SHRINK, _SAFETY = 2.5, 0.35, 0.85
# In tolerances: by how much the heat of one step may differ from that of linear power.
_LARGEST_BEND = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class State:
    """Where a chunk is: arrays of shape (node, batch), and the flows there."""

    enthalpy: FloatArray
    temperature_k: FloatArray
    capacity: FloatArray
    flows: Flows


class Integrator:
    """A network and a chunk of samples, with the work arrays for stepping them."""

    def __init__(self, network: Network, variation: Variation) -> None:
        self.network = network
        self.conductances = Conductances(network, variation)
        self._elimination = Elimination(network.first, network.second, network.order)
        batch, nodes = variation.batch, len(network.nodes)
        mass = np.repeat(network.mass_kg[:, None], batch, axis=1)
        mass[: network.disc_count] *= variation.stack_fraction
        self.mass_kg = mass
        self.last_step_s = FIRST_STEP_S
        self._work = self._elimination.workspace(nodes, batch)
        self._tables = EnthalpyTables(network.materials)
        links = np.arange(network.first.size)
        pairs = (self._elimination.link_pair, links)
        shape = (self._elimination.linked_pair_count, links.size)
        self._pair_sum = csr_array((np.ones(links.size), pairs), shape)

    def enthalpy(self, temperature_k: FloatArray) -> FloatArray:
        """Specific enthalpy of each node, shape (node, batch)."""
        rows = [
            property_table(name).enthalpy(row)
            for name, row in zip(self.network.materials, temperature_k, strict=True)
        ]
        return np.array(rows)

    def temperature(self, enthalpy: FloatArray) -> FloatArray:
        """Temperature of each node, shape (node, batch)."""
        return self._tables.look_up(enthalpy)[0]

    def begin(self, phase: Phase) -> None:
        """Take a phase's air, contacts and surfaces."""
        self.conductances.begin(phase)
        self.ambient_k = phase.ambient_k

    def solve(
        self,
        duration_s: FloatArray,
        capacity: FloatArray,
        flows: Flows,
        heat_j: FloatArray | None,
    ) -> FloatArray:
        """Temperature change of one implicit step, shape (node, batch)."""
        link, _, inflow = flows
        work = self._work
        np.multiply(self.conductances.row_sums(flows), duration_s, out=work.diagonal)
        work.diagonal += capacity
        pairs = work.conductance[: self._elimination.linked_pair_count]
        joined = np.asarray(self._pair_sum @ link, dtype=np.float64)
        np.multiply(joined, duration_s, out=pairs)
        np.multiply(inflow, duration_s, out=work.right)
        if heat_j is not None:
            work.right += heat_j
        return work.solve().copy()

    def step(
        self,
        enthalpy: FloatArray,
        state: State,
        duration_s: FloatArray,
        heat_j: tuple[FloatArray, FloatArray] | None,
    ) -> tuple[FloatArray, FloatArray, float]:
        """One extrapolated step: new enthalpy, heat lost, error estimate in kelvin."""
        half_s = 0.5 * duration_s
        first_j = None if heat_j is None else heat_j[0]
        whole_j = None if heat_j is None else heat_j[0] + heat_j[1]
        second_j = None if heat_j is None else heat_j[1]
        whole = self.solve(duration_s, state.capacity, state.flows, whole_j)
        early = self.solve(half_s, state.capacity, state.flows, first_j)
        gain = state.capacity * early
        middle = self.state(enthalpy + gain / self.mass_kg)
        late = self.solve(half_s, middle.capacity, middle.flows, second_j)
        gain += middle.capacity * late
        coarse = state.capacity * whole
        difference = gain - coarse
        error = float(np.max(np.abs(difference) / state.capacity))
        ambient = self.ambient_k
        above = state.temperature_k - ambient
        lost_coarse = duration_s * (state.flows[1] * (above + whole)).sum(axis=0)
        lost = half_s * (
            (state.flows[1] * (above + early)).sum(axis=0)
            + (middle.flows[1] * (middle.temperature_k - ambient + late)).sum(axis=0)
        )
        use = np.ones(duration_s.size)
        if heat_j is None:
            use = self._trusted(state, gain + difference)
        gain += difference * use
        lost += (lost - lost_coarse) * use
        return enthalpy + gain / self.mass_kg, lost, error

    def _trusted(self, state: State, gain: FloatArray) -> FloatArray:
        """1 where the extrapolation stays between the temperatures around, else 0."""
        reach = state.temperature_k + gain / state.capacity
        low = np.minimum(state.temperature_k.min(axis=0), self.ambient_k) - 1e-3
        high = np.maximum(state.temperature_k.max(axis=0), self.ambient_k) + 1e-3
        inside = (reach >= low) & (reach <= high)
        return np.asarray(inside.all(axis=0), dtype=np.float64)

    def state(self, enthalpy: FloatArray) -> State:
        """Temperature, capacity and flows at an enthalpy."""
        temperature_k, inverse_heat = self._tables.look_up(enthalpy)
        return State(
            enthalpy=enthalpy,
            temperature_k=temperature_k,
            capacity=self.mass_kg / inverse_heat,
            flows=self.conductances.flows(temperature_k),
        )


Recorder = Callable[[FloatArray, State, FloatArray | None], None]


def integrate_phase(
    integrator: Integrator,
    phase: Phase,
    enthalpy: FloatArray,
    *,
    tolerance_k: float,
    record: Recorder,
) -> tuple[FloatArray, FloatArray]:
    """March one phase; returns the enthalpies at its end and the heat lost.

    ``record`` is called at the start of each step with the seconds since the start
    of the phase, shape (batch,), the state there, and the friction power into each
    node, shape (node, batch), or None.
    """
    integrator.begin(phase)
    longest = float(phase.duration_s.max())
    lost = np.zeros(phase.duration_s.size)
    if longest == 0.0:
        return enthalpy, lost
    fraction = 0.0
    first_s = integrator.last_step_s if phase.continues else FIRST_STEP_S
    width = min(first_s / longest, 1.0)
    split = integrator.network.heat_fraction[:, None]
    state = integrator.state(enthalpy)
    while fraction < 1.0:
        power_w = None if phase.heat is None else split * phase.heat.at(fraction)
        record(fraction * phase.duration_s, state, power_w)
        per_joule_k = (split / state.capacity).max(axis=0) / tolerance_k
        while True:
            end = _end(phase, fraction, width, per_joule_k * phase.duration_s)
            duration_s = (end - fraction) * phase.duration_s
            heat_j = _heat(phase, fraction, end, split)
            after, drop, error = integrator.step(enthalpy, state, duration_s, heat_j)
            grow = _SAFETY * np.sqrt(tolerance_k / max(error, 1e-9))
            if error <= 2.0 * tolerance_k:
                break
            width = (end - fraction) * max(grow, _SHRINK)
            if width * longest < 1e-6:
                raise IntegrationError("step below a microsecond")
        width = (end - fraction) * min(max(grow, _SHRINK), _GROWTH)
        if end < 1.0:
            integrator.last_step_s = width * longest
        fraction, enthalpy = end, after
        lost += drop
        state = integrator.state(enthalpy)
    return enthalpy, lost


def _end(phase: Phase, fraction: float, width: float, bends: FloatArray) -> float:
    """End of a step: of the phase, or of the heat's piece where its power bends.

    ``bends`` turns a bend of the heat, per second of the phase, into tolerances.
    """
    end = 1.0 if fraction + 1.3 * width > 1.0 else fraction + width
    if phase.heat is None:
        return end
    knot = phase.heat.next_knot(fraction)
    if end <= knot:
        return end
    bent = float((phase.heat.bend(fraction, end) * bends).max())
    return end if bent <= _LARGEST_BEND else knot


def _heat(
    phase: Phase, start: float, end: float, split: FloatArray
) -> tuple[FloatArray, FloatArray] | None:
    if phase.heat is None:
        return None
    before = phase.heat.until(start)
    middle = phase.heat.until(0.5 * (start + end))
    after = phase.heat.until(end)
    scale = split * phase.duration_s
    return scale * (middle - before), scale * (after - middle)
