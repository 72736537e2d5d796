"""Cooling of many landings: the batch against general solvers, landing by landing.

``python -m tests.benchmarks.cooling --landings 10000 --seed 1 --json``

All landings share a brake and six hours; energy, wear, air, taxi heat and cooling
differ. Peers get the same network and events through the exported tables, with a
right-hand side vectorised over nodes; they run a sample of the landings and are scaled
up, which is said. The error of both is taken against LSODA at ``rtol`` 1e-8.
"""

import argparse
import json
import resource
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import pairwise
from multiprocessing import get_context
from multiprocessing.shared_memory import SharedMemory
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from tests.benchmarks.one_vector import one_vector, traffic_share
from thermal.catalogue import known_brakes, load_brake
from thermal.cooling import CoolingCurve, cool
from thermal.export import export_network
from thermal.network import Network, build_network
from thermal.timeline import Air, Heat, Phase, PhaseKind, phase
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4 as SIGMA
from thermal.variation import Variation

HOURS = 6.0
AT_S = np.arange(0.0, HOURS * 3600.0 + 1.0, 60.0)
KEPT = ("plug", "indicator")
# At which the worst error is that of LSODA at rtol 1e-4.
TOLERANCE_K = 0.9
GROUPS = {
    "discs": lambda name: name.startswith(("rotor", "stator")),
    "wheel": lambda name: name.startswith(("wheel", "tyre", "plug")),
    "rest": lambda name: (
        not name.startswith(("rotor", "stator", "wheel", "tyre", "plug"))
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Batch:
    """Landings of one brake: samples, phases and temperatures at touchdown."""

    network: Network
    variation: Variation
    phases: tuple[Phase, ...]
    start_k: np.ndarray

    def rows(self, rows: np.ndarray) -> "Batch":
        """Return some of the landings."""
        return Batch(
            network=self.network,
            variation=self.variation.select(rows),
            phases=tuple(part.select(rows) for part in self.phases),
            start_k=self.start_k[rows],
        )


def make_batch(brake: str, landings: int, seed: int) -> Batch:
    """Draw landings: 60 to 110 % of a heat that brings the new stack to 420 °C."""
    network = build_network(load_brake(brake))
    draw = np.random.default_rng(seed).uniform
    per_kg = 4.9e5 if network.brake.stack_material == "carbon" else 2.0e5
    energy = per_kg * network.brake.stack_mass_kg * draw(0.6, 1.1, landings)
    ambient, factor = draw(268.0, 313.0, landings), draw(0.85, 1.15, landings)
    knots = np.linspace(1.0, 0.0, 33)
    roll = Heat(power_w=2.0 * energy[:, None] / 30.0 * knots)
    taxi_w = 0.04 * energy / 300.0
    legs = (
        (PhaseKind.ROLLOUT, 30.0, 20.0, roll, True),
        (PhaseKind.TAXI_IN, 300.0, 4.0, Heat(power_w=taxi_w[:, None] * [1, 1]), False),
        (PhaseKind.PARKED, HOURS * 3600.0 - 330.0, 0.0, None, False),
    )
    phases = tuple(
        phase(
            kind,
            duration,
            Air(ambient_k=290.0, pressure_pa=95000.0, outer_m_per_s=wind),
            batch=landings,
            ambient_k=ambient,
            convection_factor=factor,
            brakes_set=closed,
            heat=heat,
        )
        for kind, duration, wind, heat, closed in legs
    )
    variation = Variation(
        stack_fraction=network.brake.stack_fraction(draw(0.0, 1.0, landings)),
        radiation_factor=draw(0.9, 1.08, landings),
        joint_factor=draw(0.7, 1.4, landings),
    )
    start = np.repeat(ambient[:, None], len(network.nodes), axis=1)
    return Batch(network=network, variation=variation, phases=phases, start_k=start)


def run_ours(batch: Batch, nodes: tuple[str, ...] = KEPT) -> CoolingCurve:
    """One-minute output of stack, hottest disc and kept nodes."""
    return cool(
        batch.network,
        batch.variation,
        batch.phases,
        batch.start_k,
        AT_S,
        nodes=nodes,
        tolerance_k=TOLERANCE_K,
    )


def _values(memory: SharedMemory, landings: int) -> np.ndarray:
    """Stack and kept nodes of all landings, shape (landing, time, value)."""
    return np.ndarray((landings, AT_S.size, 1 + len(KEPT)), buffer=memory.buf)


def _part(given: tuple[str, int, int, int, int, str]) -> None:
    """Cool some landings and write them where all processes read."""
    brake, landings, seed, low, high, name = given
    curve = run_ours(make_batch(brake, landings, seed).rows(np.arange(low, high)))
    memory = SharedMemory(name)
    values = _values(memory, landings)
    values[low:high, :, 0] = curve.stack_j_per_kg
    values[low:high, :, 1:] = curve.temperature_k
    del values
    memory.close()


class Reference:
    """One landing from its exported tables, for a general solver."""

    def __init__(self, batch: Batch, row: int) -> None:
        one = batch.rows(np.array([row]))
        self.data = export_network(
            one.network, one.variation, one.phases, one.start_k[0]
        )
        nodes = self.data["nodes"]
        self.at = {node["name"]: k for k, node in enumerate(nodes)}
        self.start = np.array([node["initial_c"] for node in nodes]) + 273.15
        self.mass = np.array([node["mass_kg"] for node in nodes])
        tables = [self.data["materials"][node["material"]] for node in nodes]
        self.heat_grid = np.array([t["specific_heat_j_per_kg_k"] for t in tables])
        self.heat_low = tables[0]["temperature_c"][0] + 273.15
        self.rows = np.arange(len(nodes))
        self.calls, self.seconds = 0, 0.0

    def solve(self, method: str, **options: Any) -> np.ndarray:
        """Temperatures at ``AT_S``, shape (time, node)."""
        out = np.empty((AT_S.size, self.start.size))
        state = self.start
        edges = sorted({link["start_s"] for link in self.data["links"]})
        for begin, end in zip(edges, [*edges[1:], AT_S[-1]], strict=True):
            rates = self._rates(begin)
            inside = (begin <= AT_S) & (end >= AT_S)
            at = np.union1d(AT_S[inside], [end])
            found = solve_ivp(
                self._timed(rates), (begin, end), state, method, t_eval=at, **options
            )
            out[inside] = found.y.T[np.isin(at, AT_S[inside])]
            state = found.y[:, -1]
        return out

    def _timed(self, rates: Callable[..., np.ndarray]) -> Callable[..., np.ndarray]:
        def call(time_s: float, state: np.ndarray) -> np.ndarray:
            begin = time.perf_counter()
            found = rates(time_s, state)
            self.seconds += time.perf_counter() - begin
            self.calls += 1
            return found

        return call

    def _rates(self, begin: float) -> Callable[[float, np.ndarray], np.ndarray]:
        """Right-hand side of one phase, everything vectorised over links and nodes."""
        links = [k for k in self.data["links"] if k["start_s"] == begin]
        first = np.array([self.at[k["from"]] for k in links])
        second = np.array([self.at[k["to"]] for k in links])
        grid = np.array(links[0]["mean_temperature_c"]) + 273.15
        low, step = grid[0], grid[1] - grid[0]
        table = np.array([k["conduction_w_per_k"] for k in links])
        exchange = SIGMA * np.array([k["radiation_m2"] for k in links])
        spread = np.zeros((self.start.size, len(links)))
        spread[first, np.arange(len(links))] = -1.0
        spread[second, np.arange(len(links))] = 1.0
        walls = [k for k in self.data["boundaries"] if k["start_s"] == begin]
        wall = np.array([self.at[k["node"]] for k in walls])
        air = walls[0]["ambient_c"] + 273.15
        surface = np.array(walls[0]["surface_c"]) + 273.15
        film = np.array([k["conductance_w_per_k"] for k in walls])
        sky = SIGMA * np.array([k["radiation_m2"] for k in walls])
        film_rows, film_low = np.arange(len(walls)), surface[0]
        film_step, link_rows = surface[1] - surface[0], np.arange(len(links))
        heat = self._heat(begin)

        def rates(time_s: float, state: np.ndarray) -> np.ndarray:
            warm, cold = state[first], state[second]
            place = (0.5 * (warm + cold) - low) / step
            cell = place.astype(int)
            before = table[link_rows, cell]
            link = before + (place - cell) * (table[link_rows, cell + 1] - before)
            flow = spread @ (link * (warm - cold) + exchange * (warm**4 - cold**4))
            skin = state[wall]
            place = (skin - film_low) / film_step
            cell = place.astype(int)
            before = film[film_rows, cell]
            skin_film = before + (place - cell) * (film[film_rows, cell + 1] - before)
            flow[wall] -= skin_film * (skin - air) + sky * (skin**4 - air**4)
            if heat is not None:
                flow += heat[1] * np.interp(time_s, *heat[0])
            place = state - self.heat_low
            cell = place.astype(int)
            before = self.heat_grid[self.rows, cell]
            after = self.heat_grid[self.rows, cell + 1]
            return flow / (self.mass * (before + (place - cell) * (after - before)))

        return rates

    def _heat(
        self, begin: float
    ) -> tuple[tuple[np.ndarray, np.ndarray], np.ndarray] | None:
        entries = self.data["heat_input"]
        knots = np.array(entries[0]["time_s"])
        if begin >= knots[-1]:
            return None
        share = np.zeros(self.start.size)
        total = np.sum([entry["power_w"] for entry in entries], axis=0)
        peak = total.argmax()
        for entry in entries:
            share[self.at[entry["node"]]] = entry["power_w"][peak] / total[peak]
        return (knots, total), share


PEERS: dict[str, tuple[str, dict[str, float]]] = {
    "lsoda": ("LSODA", {"rtol": 1e-4, "atol": 1e-3}),
    "bdf": ("BDF", {"rtol": 1e-4, "atol": 1e-3}),
    "rk45": ("RK45", {"rtol": 1e-4, "atol": 1e-3}),
}


def measure(
    brake: str, landings: int, seed: int, *, sample: int, processes: int
) -> dict[str, Any]:
    """Seconds of ours and of each peer, and the worst error per node group."""
    batch = make_batch(brake, landings, seed)
    run_ours(batch.rows(np.arange(min(64, landings))))
    begin = time.perf_counter()
    if processes == 1:
        curve = run_ours(batch)
        seconds = time.perf_counter() - begin
        values = curve.stack_j_per_kg.size + curve.temperature_k.size
    else:
        seconds, values = _spread(brake, landings, seed, processes)
    memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    found: dict[str, Any] = {
        "brake": brake,
        "landings": landings,
        "seed": seed,
        "processes": processes,
        "nodes": len(batch.network.nodes),
        "values": values,
        "seconds": seconds,
        "peak_memory_mb": memory_mb,
    }
    rows = np.random.default_rng(seed).choice(landings, size=sample, replace=False)
    found["peers"] = {
        name: _peer(batch, rows, landings, *how) for name, how in PEERS.items()
    }
    found["one_vector"] = {
        name: _one_vector(batch, landings, count, method)
        for name, count, method in (("rk45", 256, "RK45"), ("lsoda", 8, "LSODA"))
    }
    few = batch.rows(np.arange(min(1024, landings)))
    found["traffic"] = traffic_share(
        few.network, few.variation, few.phases[-1], few.start_k + 200.0
    )
    found["ratio_lsoda"] = found["peers"]["lsoda"]["seconds"] / seconds
    found["worst_error_k"] = _errors(batch, rows)
    return found


def _spread(brake: str, landings: int, seed: int, processes: int) -> tuple[float, int]:
    """Ours in several processes; workers are started and warm before the clock."""
    edges = np.linspace(0, landings, processes + 1).astype(int).tolist()
    size = landings * AT_S.size * (1 + len(KEPT))
    memory = SharedMemory(create=True, size=8 * size)
    try:
        with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
            few = min(64, landings)
            warm = [(brake, few, seed, 0, few, memory.name)] * processes
            list(pool.map(_part, warm))
            work = [
                (brake, landings, seed, low, high, memory.name)
                for low, high in pairwise(edges)
            ]
            begin = time.perf_counter()
            list(pool.map(_part, work))
            seconds = time.perf_counter() - begin
        # Untouched memory is zero: no plug is as cold.
        if not (_values(memory, landings)[:, :, 1:] > 0.0).all():
            raise RuntimeError("a process left its landings out")
    finally:
        memory.close()
        memory.unlink()
    return seconds, size


def _peer(
    batch: Batch,
    rows: np.ndarray,
    landings: int,
    method: str,
    options: dict[str, float],
) -> dict[str, float]:
    cases = [Reference(batch, int(row)) for row in rows]
    begin = time.perf_counter()
    for case in cases:
        case.solve(method, **options)
    seconds = time.perf_counter() - begin
    calls = sum(case.calls for case in cases)
    return {
        "seconds": seconds * landings / len(cases),
        "landings_run": len(cases),
        "seconds_per_landing": seconds / len(cases),
        "calls_per_landing": calls / len(cases),
        "microseconds_per_call": 1e6 * sum(case.seconds for case in cases) / calls,
    }


def _one_vector(batch: Batch, landings: int, count: int, method: str) -> dict[str, Any]:
    few = batch.rows(np.arange(min(count, landings)))
    found = one_vector(few.network, few.variation, few.phases, few.start_k, method)
    found["seconds"] *= landings / found["landings_run"]
    return found


def _errors(batch: Batch, rows: np.ndarray) -> dict[str, dict[str, float]]:
    """Worst difference from LSODA at 1e-8, later than a minute after any event."""
    few = rows[:12]
    curve = cool(
        batch.network,
        batch.rows(few).variation,
        batch.rows(few).phases,
        batch.start_k[few],
        AT_S,
        tolerance_k=TOLERANCE_K,
    )
    edges = np.cumsum([part.duration_s[0] for part in batch.phases])
    far = np.all(
        [(edge > AT_S) | (edge + 60.0 < AT_S) for edge in (0.0, *edges[:-1])], axis=0
    )
    ours = np.zeros(len(batch.network.nodes))
    lsoda = np.zeros(len(batch.network.nodes))
    for place, row in enumerate(few):
        exact = Reference(batch, int(row)).solve("LSODA", rtol=1e-8, atol=1e-6)
        rough = Reference(batch, int(row)).solve("LSODA", rtol=1e-4, atol=1e-3)
        gap = np.abs(curve.temperature_k[place] - exact)[far].max(axis=0)
        ours = np.maximum(ours, gap)
        lsoda = np.maximum(lsoda, np.abs(rough - exact)[far].max(axis=0))
    return {
        who: {
            group: float(
                max(
                    value
                    for name, value in zip(batch.network.nodes, values, strict=True)
                    if belongs(name)
                )
            )
            for group, belongs in GROUPS.items()
        }
        for who, values in (("ours", ours), ("lsoda_1e-4", lsoda))
    }


def main() -> int:
    """Measure and print, as text or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--landings", type=int, default=10000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--brake", choices=known_brakes(), default="carbon-wide")
    parser.add_argument("--sample", type=int, default=24, help="landings per peer")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    found = measure(
        given.brake,
        given.landings,
        given.seed,
        sample=given.sample,
        processes=given.processes,
    )
    if given.json:
        json.dump(found, sys.stdout, indent=2)
        sys.stdout.write("\n")
        return 0
    sys.stdout.write(
        f"{found['landings']} landings x {HOURS:g} h, {found['nodes']} nodes, "
        f"{found['processes']} processes: {found['seconds']:.2f} s, "
        f"{found['peak_memory_mb']:.0f} MB\n"
    )
    for name, peer in found["peers"].items():
        ratio = peer["seconds"] / found["seconds"]
        sys.stdout.write(
            f"{name:6s} {peer['seconds']:9.1f} s scaled from {peer['landings_run']} "
            f"landings, {peer['microseconds_per_call']:.0f} us a call: {ratio:.0f} x\n"
        )
    for name, peer in found["one_vector"].items():
        ratio = peer["seconds"] / found["seconds"]
        sys.stdout.write(
            f"{name:6s} {peer['seconds']:9.1f} s, {peer['landings_run']} landings in "
            f"one vector, scaled: {ratio:.0f} x\n"
        )
    traffic = found["traffic"]
    sys.stdout.write(
        f"a step: {traffic['share_streaming']:.0%} of its time is streaming rows at "
        f"{traffic['gigabytes_per_second']:.0f} GB/s, "
        f"{traffic['share_with_calls']:.0%} with the calls that do it\n"
    )
    sys.stdout.write(f"worst error, K: {json.dumps(found['worst_error_k'])}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
