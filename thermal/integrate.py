"""One batched, linearly implicit step in enthalpy, and its step control.

Enters: a `Network`, the samples' `Variation`, a `Phase` and the enthalpies at its
start. Leaves: the enthalpies at its end, the steps taken, and the heat lost.

- A step has two stages that share one factorisation of ``C + gamma dt L``, L with the
  conductances at its start and radiation by its secant conductance. The order is two
  whatever L is, and the fast modes die out (Verwer, Spee, Blom, Hundsdorfer, SIAM J.
  Sci. Comput. 20(4) 1999, doi 10.1137/S1064827597326651).
- Each stage books flows as enthalpy: what one node loses another gains, so that the
  balance closes to rounding.
- A step after which a node lies outside the temperatures around it is taken again,
  shorter.
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

GAMMA = 1.0 - 0.5**0.5
FIRST_STEP_S = 2.0
_HEATED_FIRST_STEP_S = 0.5
_SLACK_K = 1e-3
_GROWTH, _SHRINK, _SAFETY = 4.0, 0.35, 0.9
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

    @property
    def operation_count(self) -> int:
        """Row operations of the linear algebra of one step."""
        return self._work.factor_count + 2 * self._work.solve_count

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

    def factorise(self, duration_s: FloatArray, state: State) -> None:
        """Factorise ``C + gamma dt L`` with the conductances at a state."""
        work, weight_s = self._work, GAMMA * duration_s
        np.multiply(
            self.conductances.row_sums(state.flows), weight_s, out=work.diagonal
        )
        work.diagonal += state.capacity
        pairs = work.conductance[: self._elimination.linked_pair_count]
        joined = np.asarray(self._pair_sum @ state.flows[0], dtype=np.float64)
        np.multiply(joined, weight_s, out=pairs)
        work.factorise()

    def solve(self, flow_w: FloatArray) -> FloatArray:
        """Temperature rate under a heat flow into each node, shape (node, batch)."""
        self._work.right[:] = flow_w
        return self._work.solve()

    def step(
        self, state: State, duration_s: FloatArray, heat_j: FloatArray | None
    ) -> tuple[FloatArray, FloatArray, float]:
        """One step: new enthalpy, heat lost, error estimate in kelvin.

        The estimate is infinite where a node would leave the range of temperatures
        around it: the step is then to be taken again, shorter.
        """
        self.factorise(duration_s, state)
        power_w: FloatArray | float = 0.0
        if heat_j is not None:
            power_w = heat_j / np.where(duration_s > 0, duration_s, 1.0)
        first = self.solve(state.flows[2] + power_w).copy()
        first_w = state.capacity * first
        trial = self.state(state.enthalpy + duration_s * first_w / self.mass_kg)
        second = self.solve(trial.flows[2] + power_w - 2.0 * first_w)
        lost_w = self._lost_w(state, trial, first, second, duration_s)
        second += first
        second *= 0.5 * duration_s
        error = float(np.max(np.abs(second)))
        second += duration_s * first
        if heat_j is None and not self._between(state.temperature_k, second):
            error = np.inf
        second *= state.capacity
        second /= self.mass_kg
        return state.enthalpy + second, duration_s * lost_w, error

    def _lost_w(
        self,
        state: State,
        trial: State,
        first: FloatArray,
        second: FloatArray,
        duration_s: FloatArray,
    ) -> FloatArray:
        """Mean heat flow to the surroundings over a step, from its own fluxes."""
        moved = first + second
        moved *= GAMMA * duration_s
        moved += state.temperature_k - self.ambient_k
        moved *= state.flows[1]
        moved += trial.flows[1] * (trial.temperature_k - self.ambient_k)
        return 0.5 * np.asarray(moved.sum(axis=0), dtype=np.float64)

    def _between(self, temperature_k: FloatArray, change_k: FloatArray) -> bool:
        """Whether no sample leaves the temperatures around it, to a thousandth."""
        reach = temperature_k + change_k
        low = np.minimum(temperature_k.min(axis=0), self.ambient_k) - _SLACK_K
        high = np.maximum(temperature_k.max(axis=0), self.ambient_k) + _SLACK_K
        return bool(
            (reach.min(axis=0) >= low).all() and (reach.max(axis=0) <= high).all()
        )

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
    first_s = FIRST_STEP_S if phase.heat is None else _HEATED_FIRST_STEP_S
    if phase.continues:
        first_s = integrator.last_step_s
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
            after, drop, error = _tried(integrator, state, duration_s, heat_j)
            grow = _SAFETY * np.sqrt(tolerance_k / max(error, 1e-9))
            if error <= 2.0 * tolerance_k:
                break
            width = (end - fraction) * max(grow, _SHRINK)
            if width * longest < 1e-6:
                raise IntegrationError("too hot for its table, or no step short enough")
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


def _tried(
    integrator: Integrator,
    state: State,
    duration_s: FloatArray,
    heat_j: FloatArray | None,
) -> tuple[FloatArray, FloatArray, float]:
    """Try a step; one whose trial leaves the material tables has no error bound."""
    try:
        return integrator.step(state, duration_s, heat_j)
    except IntegrationError:
        return state.enthalpy, np.zeros_like(duration_s), np.inf


def _heat(
    phase: Phase, start: float, end: float, split: FloatArray
) -> FloatArray | None:
    if phase.heat is None:
        return None
    added = phase.heat.until(end) - phase.heat.until(start)
    return np.asarray(split * (phase.duration_s * added), dtype=np.float64)
