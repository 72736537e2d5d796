"""A timeline of phases through a network: `CoolingCurve`.

Enters: network, samples, phases, temperatures at the start. Leaves: temperatures at
the asked instants, the state at the end, and the energy books. Work is done in
chunks of samples whose arrays fit the processor's cache.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray, FloatLike
from thermal.errors import ParameterError
from thermal.integrate import Integrator, integrate_phase
from thermal.materials import property_table
from thermal.network import Network
from thermal.recording import Recording
from thermal.timeline import Phase
from thermal.variation import Variation

CHUNK = 1024
DEFAULT_TOLERANCE_K = 0.6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CoolingCurve:
    """Temperatures of one brake for every sample.

    Attributes
    ----------
    time_s : array, shape (time,)
        Instants, on the same axis as the start.
    nodes : tuple of str
        Nodes kept in ``temperature_k``.
    temperature_k : array, shape (batch, time, node)
    stack_j_per_kg, hottest_k : array, shape (batch, time)
        Mean enthalpy of the stack above 20 °C and its hottest disc.
    end_k : array, shape (batch, node of the network)
        Temperatures at the end of the last phase.
    input_j, lost_j, stored_j : array, shape (batch,)
        Friction heat, heat given to the surroundings, and the rise of enthalpy.
    step_count : int array, shape (batch,)
        Steps taken, the same for all samples of a chunk.
    """

    network: Network
    time_s: FloatArray
    nodes: tuple[str, ...]
    temperature_k: FloatArray
    stack_j_per_kg: FloatArray
    hottest_k: FloatArray
    end_k: FloatArray
    input_j: FloatArray
    lost_j: FloatArray
    stored_j: FloatArray
    step_count: np.ndarray

    def node_k(self, node: str) -> FloatArray:
        """Temperature of one kept node, shape (batch, time)."""
        return self.temperature_k[:, :, self.nodes.index(node)]

    @property
    def stack_k(self) -> FloatArray:
        """Temperature that belongs to the stack's mean enthalpy, (batch, time)."""
        table = property_table(self.network.brake.stack_material)
        return table.temperature(self.stack_j_per_kg)

    @property
    def plug_k(self) -> FloatArray:
        """Fuse plug temperature, shape (batch, time)."""
        return self.node_k("plug")

    @property
    def indicated_k(self) -> FloatArray:
        """What the indicator shows before its display step, shape (batch, time)."""
        return self.node_k("indicator")


def cool(
    network: Network,
    variation: Variation,
    phases: tuple[Phase, ...],
    start_k: FloatArray,
    at_s: FloatArray,
    *,
    start_s: FloatLike = 0.0,
    nodes: tuple[str, ...] | None = None,
    tolerance_k: float = DEFAULT_TOLERANCE_K,
) -> CoolingCurve:
    """Integrate all phases for all samples.

    Parameters
    ----------
    start_k : array, shape (batch, node)
        Temperatures of all nodes at the start.
    at_s : array, shape (time,)
        Rising instants at which temperatures are wanted.
    start_s : float or array, shape (batch,)
        Instant of the start on the axis of ``at_s``.
    nodes : tuple of str, optional
        Nodes to keep; all by default.
    tolerance_k : float
        Bound on the difference between one whole and two half steps.

    Raises
    ------
    ParameterError
        If shapes differ or an instant lies before the start or after the end.
    IntegrationError
        If a node leaves the material tables or a step gets too small.
    """
    batch = variation.batch
    if start_k.shape != (batch, len(network.nodes)):
        raise ParameterError.of(
            "start_k", f"shape {(batch, len(network.nodes))}", start_k.shape
        )
    kept = network.nodes if nodes is None else nodes
    begin = np.broadcast_to(np.asarray(start_s, dtype=np.float64), (batch,))
    curve = _empty(network, at_s, kept, batch)
    for low in range(0, batch, CHUNK):
        rows = slice(low, min(low + CHUNK, batch))
        integrator = Integrator(network, variation.select(rows))
        chunk = tuple(phase.select(rows) for phase in phases)
        record = Recording(integrator, kept)
        start = np.ascontiguousarray(start_k[rows].T)
        _march(
            curve, rows, integrator, chunk, (start, begin[rows]), record, tolerance_k
        )
    return curve


def _empty(
    network: Network, at_s: FloatArray, kept: tuple[str, ...], batch: int
) -> CoolingCurve:
    """Arrays for the whole batch, to be filled chunk by chunk."""
    return CoolingCurve(
        network=network,
        time_s=at_s,
        nodes=kept,
        temperature_k=np.empty((batch, at_s.size, len(kept))),
        stack_j_per_kg=np.empty((batch, at_s.size)),
        hottest_k=np.empty((batch, at_s.size)),
        end_k=np.empty((batch, len(network.nodes))),
        input_j=np.zeros(batch),
        lost_j=np.zeros(batch),
        stored_j=np.zeros(batch),
        step_count=np.zeros(batch, dtype=np.intp),
    )


def _march(
    curve: CoolingCurve,
    rows: slice,
    integrator: Integrator,
    phases: tuple[Phase, ...],
    start: tuple[FloatArray, FloatArray],
    record: Recording,
    tolerance_k: float,
) -> None:
    """Integrate one chunk and write it into its rows of the curve."""
    start_k, clock = start
    enthalpy = first = integrator.enthalpy(start_k)
    for phase in phases:
        record.origin_s = clock
        enthalpy, lost = integrate_phase(
            integrator, phase, enthalpy, tolerance_k=tolerance_k, record=record
        )
        curve.lost_j[rows] += lost
        clock = clock + phase.duration_s
        if phase.heat is not None:
            curve.input_j[rows] += phase.heat.energy_j(phase.duration_s)
    record.origin_s = clock
    integrator.begin(phases[-1])
    state = integrator.state(enthalpy)
    record(np.zeros(clock.size), state, None)
    values = record.sample(curve.time_s)
    curve.stack_j_per_kg[rows] = values[0].T
    curve.hottest_k[rows] = values[1].T
    curve.temperature_k[rows] = values[2:].transpose(2, 1, 0)
    curve.end_k[rows] = state.temperature_k.T
    curve.stored_j[rows] = ((enthalpy - first) * integrator.mass_kg).sum(axis=0)
    curve.step_count[rows] = len(record.start_s) - 1
