"""Two yardsticks for the batch: one solver call for all, and the machine's limit.

`one_vector` gives a general solver all landings as one state vector, with our own
vectorised right-hand side. `traffic_share` says how much of a step's time the array
operations would take if each only streamed its rows through the cache.
"""

import time
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from thermal.integrate import Integrator
from thermal.network import Network
from thermal.timeline import Phase
from thermal.variation import Variation


def one_vector(
    network: Network,
    variation: Variation,
    phases: tuple[Phase, ...],
    start_k: np.ndarray,
    method: str,
) -> dict[str, Any]:
    """Seconds of one solver call per phase with all samples in one vector."""
    integrator = Integrator(network, variation)
    shape = (len(network.nodes), variation.batch)
    split = network.heat_fraction[:, None]
    enthalpy = integrator.enthalpy(np.ascontiguousarray(start_k.T)).ravel()
    calls, begin = 0, time.perf_counter()
    for phase in phases:
        integrator.begin(phase)
        whole_s = float(phase.duration_s[0])

        def rate(
            time_s: float,
            flat: np.ndarray,
            phase: Phase = phase,
            whole_s: float = whole_s,
        ) -> np.ndarray:
            nonlocal calls
            calls += 1
            flow = integrator.state(flat.reshape(shape)).flows[2]
            if phase.heat is not None:
                flow = flow + split * phase.heat.at(min(time_s / whole_s, 1.0))
            return (flow / integrator.mass_kg).ravel()

        found = solve_ivp(rate, (0.0, whole_s), enthalpy, method, rtol=1e-4, atol=1.0)
        enthalpy = found.y[:, -1]
    seconds = time.perf_counter() - begin
    return {"seconds": seconds, "landings_run": variation.batch, "calls": calls}


def traffic_share(
    network: Network, variation: Variation, phase: Phase, start_k: np.ndarray
) -> dict[str, float]:
    """Share of a step that streaming its rows through the cache would take."""
    integrator = Integrator(network, variation)
    integrator.begin(phase)
    state = integrator.state(integrator.enthalpy(np.ascontiguousarray(start_k.T)))
    duration = np.full(variation.batch, 60.0)
    step_s = _seconds(lambda: integrator.step(state, duration, None))
    rows = _rows_per_step(integrator, network)
    first, second = np.ones((2, variation.batch))
    out = np.empty_like(first)
    row_s = _seconds(lambda: np.multiply(first, second, out=out))
    # Large blocks, so that the call itself costs nothing beside the data.
    block = np.ones((64, variation.batch))
    target = np.empty_like(block)
    stream_s = _seconds(lambda: np.multiply(block, block, out=target)) / 64
    return {
        "step_seconds": step_s,
        "row_operations": float(rows),
        "share_streaming": rows * stream_s / step_s,
        "share_with_calls": min(rows * row_s / step_s, 1.0),
        "gigabytes_per_second": 24.0 * variation.batch / stream_s / 1e9,
    }


def _rows_per_step(integrator: Integrator, network: Network) -> int:
    """Rows that one step reads two of and writes one: elimination, flows, stages."""
    elimination = integrator.operation_count
    links, nodes = network.first.size, len(network.nodes)
    # Per state: about 14 passes over the links and 24 over the nodes; two states a
    # step, and some 20 passes over the nodes for the stages themselves.
    return elimination + 2 * (14 * links + 24 * nodes) + 20 * nodes


def _seconds(call: Any, repeats: int = 200) -> float:
    call()
    begin = time.perf_counter()
    for _ in range(repeats):
        call()
    return (time.perf_counter() - begin) / repeats
