"""An exported network → the rates of its temperatures, for a solver of scipy.

Enters: the dictionary of `thermal.export.export_network`. Leaves: one `Span` after the
other, each with the links, surfaces and heat that hold in it, as functions of time and
temperature. Only the tables are read; nothing of the integrator that made the plan.

A surface is treated as a link to the air: flow ``c (Ti - Tj) + sigma R (Ti^4 - Tj^4)``
with ``c`` tabulated over the mean temperature (links) or over Ti (surfaces).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import ParameterError
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4, kelvin

Entries = list[dict[str, Any]]
_EDGE_S = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lookup:
    """Tables on uniform grids behind each other in one array, one row per user.

    ``low``, ``per_step`` and ``offset`` have shape (row,): where each grid begins, the
    inverse of its step, and where its table starts.
    """

    low: FloatArray
    per_step: FloatArray
    offset: np.ndarray
    last: np.ndarray
    values: FloatArray
    rises: FloatArray

    @classmethod
    def of(cls, grids_k: list[FloatArray], tables: list[FloatArray]) -> "Lookup":
        """From one grid and one table per row."""
        sizes = np.array([table.size for table in tables])
        for grid in grids_k:
            if not np.allclose(np.diff(grid), grid[1] - grid[0]):
                raise ParameterError.of("exported grid", "equal steps", "others")
        return cls(
            low=np.array([grid[0] for grid in grids_k]),
            per_step=np.array([1.0 / (grid[1] - grid[0]) for grid in grids_k]),
            offset=np.concatenate([[0], np.cumsum(sizes)[:-1]]),
            last=sizes - 2,
            values=np.concatenate(tables),
            rises=np.concatenate([np.append(np.diff(table), 0.0) for table in tables]),
        )

    def at(self, temperature_k: FloatArray) -> FloatArray:
        """Value of each row's table, on the last straight piece beyond its ends."""
        place = (temperature_k - self.low) * self.per_step
        cell = np.minimum(np.maximum(place.astype(np.intp), 0), self.last)
        place -= cell
        cell += self.offset
        return np.asarray(self.values.take(cell) + place * self.rises.take(cell))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Span:
    """What holds from ``begin_s`` to ``end_s``: flows, heat and capacities.

    Flows run from node ``first`` to node ``second``; the row behind the last node is
    the air. ``incidence`` has shape (node, flow).
    """

    begin_s: float
    end_s: float
    first: np.ndarray
    second: np.ndarray
    mean_fraction: FloatArray
    conduction: Lookup
    radiation_w_per_k4: FloatArray
    air_k: float
    incidence: FloatArray
    mass_kg: FloatArray
    specific_heat: Lookup
    heat_s: FloatArray
    heat_w: FloatArray

    def rate(self, time_s: float, temperature_k: FloatArray) -> FloatArray:
        """Rate of each node in K/s, shape (node,)."""
        warm, cool = self._ends(temperature_k)
        drop = warm - cool
        flow = self.conduction.at(warm - self.mean_fraction * drop) * drop
        warm *= warm
        cool *= cool
        flow += self.radiation_w_per_k4 * (warm * warm - cool * cool)
        net = self.incidence @ flow
        if self.heat_s.size:
            net += self._heat_w(time_s)
        net /= self.mass_kg * self.specific_heat.at(temperature_k)
        return np.asarray(net)

    def jacobian(self, time_s: float, temperature_k: FloatArray) -> FloatArray:
        """Differentiate the rate, shape (node, node), with properties held.

        Left out are the slopes of the tables; it serves the solver's corrector only.
        """
        del time_s
        warm, cool = self._ends(temperature_k)
        held = self.conduction.at(warm - self.mean_fraction * (warm - cool))
        slope = 4.0 * self.radiation_w_per_k4
        nodes = temperature_k.size
        full = np.zeros((nodes, nodes + 1))
        np.add.at(full.T, self.first, (self.incidence * (held + slope * warm**3)).T)
        np.add.at(full.T, self.second, -(self.incidence * (held + slope * cool**3)).T)
        capacity = self.mass_kg * self.specific_heat.at(temperature_k)
        return np.asarray(full[:, :nodes] / capacity[:, None])

    def _ends(self, temperature_k: FloatArray) -> tuple[FloatArray, FloatArray]:
        state = np.append(temperature_k, self.air_k)
        return state.take(self.first), state.take(self.second)

    def _heat_w(self, time_s: float) -> FloatArray:
        cell = int(np.searchsorted(self.heat_s, time_s, side="right")) - 1
        cell = min(max(cell, 0), self.heat_s.size - 2)
        width = self.heat_s[cell + 1] - self.heat_s[cell]
        part = (time_s - self.heat_s[cell]) / width
        low = self.heat_w[cell]
        return np.asarray(low + part * (self.heat_w[cell + 1] - low))


def spans_of(exported: dict[str, Any]) -> tuple[Span, ...]:
    """All spans in order of time.

    Raises
    ------
    ParameterError
        If the spans leave a gap, or a table has unequal steps.
    """
    nodes = [node["name"] for node in exported["nodes"]]
    mass_kg = np.array([node["mass_kg"] for node in exported["nodes"]])
    heat = _specific_heat(exported)
    parts: dict[tuple[float, float], tuple[Entries, Entries]] = {}
    for place, key in enumerate(("links", "boundaries")):
        for entry in exported[key]:
            window = entry["start_s"], entry["end_s"]
            parts.setdefault(window, ([], []))[place].append(entry)
    spans: list[Span] = []
    for window, (links, surfaces) in sorted(parts.items(), key=lambda item: item[0]):
        if spans and abs(spans[-1].end_s - window[0]) > _EDGE_S:
            raise ParameterError.of("exported spans", "no gap", window)
        flows = _flows(nodes, links, surfaces)
        heat_s, heat_w = _heat_in(exported["heat_input"], nodes, window)
        spans.append(
            Span(
                begin_s=window[0],
                end_s=window[1],
                mass_kg=mass_kg,
                specific_heat=heat,
                heat_s=heat_s,
                heat_w=heat_w,
                **flows,
            )
        )
    return tuple(spans)


def _specific_heat(exported: dict[str, Any]) -> Lookup:
    tables = [exported["materials"][node["material"]] for node in exported["nodes"]]
    return Lookup.of(
        [kelvin(np.array(table["temperature_c"])) for table in tables],
        [np.array(table["specific_heat_j_per_kg_k"]) for table in tables],
    )


def _flows(nodes: list[str], links: Entries, surfaces: Entries) -> dict[str, Any]:
    """Links and surfaces of one span, as fields of `Span`."""
    at = {name: row for row, name in enumerate(nodes)}
    first = [at[link["from"]] for link in links] + [at[s["node"]] for s in surfaces]
    second = [at[link["to"]] for link in links] + [len(nodes)] * len(surfaces)
    incidence = np.zeros((len(nodes) + 1, len(first)))
    incidence[first, range(len(first))] -= 1.0
    incidence[second, range(len(first))] += 1.0
    air_c = {surface["ambient_c"] for surface in surfaces}
    if len(air_c) != 1:
        raise ParameterError.of("exported surfaces", "one air temperature", air_c)
    exchange = np.array([entry["radiation_m2"] for entry in [*links, *surfaces]])
    return {
        "first": np.array(first),
        "second": np.array(second),
        "mean_fraction": np.repeat([0.5, 0.0], [len(links), len(surfaces)]),
        "conduction": Lookup.of(
            [kelvin(np.array(link["mean_temperature_c"])) for link in links]
            + [kelvin(np.array(surface["surface_c"])) for surface in surfaces],
            [np.array(link["conduction_w_per_k"]) for link in links]
            + [np.array(surface["conductance_w_per_k"]) for surface in surfaces],
        ),
        "radiation_w_per_k4": STEFAN_BOLTZMANN_W_PER_M2_K4 * exchange,
        "air_k": float(kelvin(air_c.pop())),
        "incidence": incidence[:-1],
    }


def _heat_in(
    inputs: Entries, nodes: list[str], window: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Knots of the heat inside a window and the power of each node at them."""
    begin, end = window
    if not inputs:
        return np.zeros(0), np.zeros((0, len(nodes)))
    time_s = np.array(inputs[0]["time_s"])
    inner = np.unique(time_s[(time_s > begin + _EDGE_S) & (time_s < end - _EDGE_S)])
    knots = np.concatenate([[begin], inner, [end]])
    # Powers jump where two phases meet: take the side that lies inside the window.
    asked = np.concatenate([[begin + _EDGE_S], inner, [end - _EDGE_S]])
    power_w = np.zeros((knots.size, len(nodes)))
    for entry in inputs:
        values = np.interp(asked, entry["time_s"], entry["power_w"], 0.0, 0.0)
        power_w[:, nodes.index(entry["node"])] = values
    if not power_w.any():
        return np.zeros(0), np.zeros((0, len(nodes)))
    return knots, power_w
