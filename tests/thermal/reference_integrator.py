"""An exported network integrated again: dictionary, numpy and scipy, nothing of ours.

In temperature form, as far as can be from the enthalpy steps it is compared with.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

SIGMA_W_PER_M2_K4 = 5.670374419e-8
ZERO_C = 273.15
Rates = Callable[[float, np.ndarray], np.ndarray]


class _Tables:
    """Several functions on uniform grids of one size, each at its own argument."""

    def __init__(self, grids: list[list[float]], values: list[list[float]]) -> None:
        starts = np.array([grid[0] for grid in grids])
        steps = np.array([grid[1] - grid[0] for grid in grids])
        for grid, step in zip(grids, steps, strict=True):
            assert np.allclose(np.diff(grid), step)
        self._start, self._step = starts, steps
        self._values = np.array(values)
        self._rows = np.arange(len(values))

    def __call__(self, argument: np.ndarray) -> np.ndarray:
        place = (argument - self._start) / self._step
        cell = np.clip(place.astype(int), 0, self._values.shape[1] - 2)
        low = self._values[self._rows, cell]
        return low + (place - cell) * (self._values[self._rows, cell + 1] - low)


def integrate(
    network: dict[str, Any], at_s: np.ndarray, *, rtol: float = 1e-8
) -> np.ndarray:
    """Temperatures in °C at rising instants, shape (time, node)."""
    temperature = np.array([node["initial_c"] for node in network["nodes"]])
    events = _events(network)
    out = np.empty((at_s.size, temperature.size))
    for begin, end in pairwise(events):
        inside = (at_s >= begin) & (at_s <= end)
        wanted = np.unique(np.append(at_s[inside], end))
        solution = solve_ivp(
            _rates(network, begin, end),
            (begin, end),
            temperature,
            method="LSODA",
            t_eval=wanted,
            rtol=rtol,
            atol=1e-7,
        )
        assert solution.success, solution.message
        out[inside] = solution.y.T[np.isin(wanted, at_s)]
        temperature = solution.y[:, -1]
    return out


def _events(network: dict[str, Any]) -> list[float]:
    spans = [*network["links"], *network["boundaries"]]
    return sorted({span[key] for span in spans for key in ("start_s", "end_s")})


def _rates(network: dict[str, Any], begin: float, end: float) -> Rates:
    nodes = network["nodes"]
    place = {node["name"]: row for row, node in enumerate(nodes)}
    mass_kg = np.array([node["mass_kg"] for node in nodes])
    solids = [network["materials"][node["material"]] for node in nodes]
    heat = _Tables(
        [solid["temperature_c"] for solid in solids],
        [solid["specific_heat_j_per_kg_k"] for solid in solids],
    )
    links = _present(network["links"], begin)
    first = np.array([place[link["from"]] for link in links])
    second = np.array([place[link["to"]] for link in links])
    conduction = _Tables(
        [link["mean_temperature_c"] for link in links],
        [link["conduction_w_per_k"] for link in links],
    )
    exchange = SIGMA_W_PER_M2_K4 * np.array([link["radiation_m2"] for link in links])
    films = _present(network["boundaries"], begin)
    surface = np.array([place[film["node"]] for film in films])
    ambient = np.array([film["ambient_c"] for film in films])
    film_w_per_k = _Tables(
        [film["surface_c"] for film in films],
        [film["conductance_w_per_k"] for film in films],
    )
    sky = SIGMA_W_PER_M2_K4 * np.array([film["radiation_m2"] for film in films])
    onto = np.zeros((len(nodes), first.size + surface.size))
    onto[first, np.arange(first.size)] = -1.0
    onto[second, np.arange(first.size)] = 1.0
    onto[surface, first.size + np.arange(surface.size)] = -1.0
    sources = [
        (place[source["node"]], np.array(source["time_s"]), np.array(source["power_w"]))
        for source in network["heat_input"]
        if _heats(source, begin, end)
    ]

    def rates(time_s: float, temperature: np.ndarray) -> np.ndarray:
        fourth = (temperature + ZERO_C) ** 4
        warm, cool = temperature[first], temperature[second]
        across = conduction(0.5 * (warm + cool)) * (warm - cool)
        across += exchange * (fourth[first] - fourth[second])
        skin = temperature[surface]
        lost = film_w_per_k(skin) * (skin - ambient)
        lost += sky * (fourth[surface] - (ambient + ZERO_C) ** 4)
        flow = onto @ np.concatenate([across, lost])
        now = min(max(time_s, begin + 1e-9), end - 1e-9)
        for row, times, power in sources:
            flow[row] += np.interp(now, times, power, left=0.0, right=0.0)
        return flow / (mass_kg * heat(temperature))

    return rates


def _present(spans: list[dict[str, Any]], begin: float) -> list[dict[str, Any]]:
    return [span for span in spans if span["start_s"] <= begin < span["end_s"]]


def _heats(source: dict[str, Any], begin: float, end: float) -> bool:
    """Whether a source gives any heat between two instants."""
    time_s, power_w = np.array(source["time_s"]), np.array(source["power_w"])
    inner = time_s[(time_s > begin) & (time_s < end)]
    looks = [begin + 1e-9, *inner, end - 1e-9]
    return bool(np.interp(looks, time_s, power_w, left=0.0, right=0.0).any())
