"""Temperatures of one exported case over time, by the stiff solver LSODA of scipy.

Enters: an exported network and the instants that are wanted. Leaves: `History`.
"""

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np

from scheduler.verify.exported import Span, spans_of
from thermal.arrays import FloatArray
from thermal.errors import IntegrationError
from thermal.units import kelvin

RELATIVE_TOLERANCE = 1e-6
ABSOLUTE_TOLERANCE_K = 1e-3
_HEATED_STEPS = 8
_SAME_INSTANT_S = 1e-4
_MOST_STEPS = 5000
_SAME_S = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class History:
    """Node temperatures at the wanted instants.

    Attributes
    ----------
    time_s : array, shape (time,)
    temperature_k : array, shape (time, node)
    mass_kg : array, shape (node,)
    """

    time_s: FloatArray
    temperature_k: FloatArray
    nodes: tuple[str, ...]
    mass_kg: FloatArray
    stack_table: tuple[FloatArray, FloatArray]

    def node_k(self, name: str) -> FloatArray:
        """Temperature of one node, shape (time,)."""
        return self.temperature_k[:, self.nodes.index(name)]

    def at(self, time_s: float) -> int:
        """Row of a wanted instant."""
        return int(np.abs(self.time_s - time_s).argmin())

    @property
    def discs(self) -> list[int]:
        """Columns of the rotors and stators."""
        return [
            column
            for column, name in enumerate(self.nodes)
            if name.startswith(("rotor", "stator"))
        ]

    @property
    def stack_kg(self) -> float:
        """Mass of the stack as it is worn."""
        return float(self.mass_kg[self.discs].sum())

    @property
    def hottest_k(self) -> FloatArray:
        """Hottest disc, shape (time,)."""
        return np.asarray(self.temperature_k[:, self.discs].max(axis=1))

    @property
    def stack_j_per_kg(self) -> FloatArray:
        """Mean enthalpy of the stack above 20 °C, shape (time,)."""
        share = self.mass_kg[self.discs] / self.stack_kg
        return np.asarray(self.enthalpy(self.temperature_k[:, self.discs]) @ share)

    def enthalpy(self, temperature_k: FloatArray | float) -> FloatArray:
        """Enthalpy of the stack's material above 20 °C, by the exported table."""
        return np.asarray(np.interp(temperature_k, *self.stack_table))

    def stack_at_k(self, enthalpy_j_per_kg: FloatArray | float) -> FloatArray:
        """Temperature that belongs to an enthalpy of the stack's material."""
        grid_k, enthalpy = self.stack_table
        return np.asarray(np.interp(enthalpy_j_per_kg, enthalpy, grid_k))


def history_of(exported: dict[str, Any], at_s: FloatArray) -> History:
    """Integrate an exported case from its first span through the last.

    Parameters
    ----------
    exported : dict
        As `thermal.export.export_network` gives it.
    at_s : array, shape (time,)
        Rising instants inside the spans.

    Raises
    ------
    IntegrationError
        If the solver gives up or an instant lies outside the spans.
    """
    spans = spans_of(exported)
    nodes = exported["nodes"]
    state_k = np.array([float(kelvin(node["initial_c"])) for node in nodes])
    kept = np.full((at_s.size, len(nodes)), np.nan)
    for span in spans:
        inside = (at_s > span.begin_s - _SAME_S) & (at_s < span.end_s + _SAME_S)
        found = _through(span, state_k, at_s[inside])
        kept[inside], state_k = found[1:-1], found[-1]
    if not np.isfinite(kept).all():
        raise IntegrationError("an instant lies outside the exported spans")
    discs = [node for node in nodes if node["name"].startswith("rotor")]
    return History(
        time_s=at_s,
        temperature_k=kept,
        nodes=tuple(node["name"] for node in nodes),
        mass_kg=np.array([node["mass_kg"] for node in nodes]),
        stack_table=_enthalpy_table(exported["materials"][discs[0]["material"]]),
    )


def _through(span: Span, state_k: FloatArray, inside_s: FloatArray) -> FloatArray:
    """States at the span's begin, the instants inside and its end, (time, node)."""
    from scipy.integrate import ODEintWarning, odeint

    instants = np.clip(inside_s, span.begin_s, span.end_s)
    # An instant a rounding error beside an end is that end: steps need some length.
    for end_s in (span.begin_s, span.end_s):
        instants[np.abs(instants - end_s) < _SAME_INSTANT_S] = end_s
    times = np.concatenate([[span.begin_s], instants, [span.end_s]])
    unique, back = np.unique(times, return_inverse=True)
    with warnings.catch_warnings():
        warnings.simplefilter("error", ODEintWarning)
        try:
            found = odeint(
                span.rate,
                state_k,
                unique,
                Dfun=span.jacobian,
                rtol=RELATIVE_TOLERANCE,
                atol=ABSOLUTE_TOLERANCE_K,
                tcrit=[span.end_s],
                hmax=_longest_step_s(span),
                mxstep=_MOST_STEPS,
                tfirst=True,
            )
        except ODEintWarning as warning:
            raise IntegrationError(f"second integration: {warning}") from warning
    return np.asarray(found[back])


def _longest_step_s(span: Span) -> float:
    """No limit, except where a heat pulse could be stepped over."""
    if not span.heat_s.size:
        return 0.0
    return (span.end_s - span.begin_s) / _HEATED_STEPS


def _enthalpy_table(material: dict[str, list[float]]) -> tuple[FloatArray, FloatArray]:
    """Temperature and the integral of the specific heat from 20 °C, shape (grid,)."""
    grid_c = np.array(material["temperature_c"])
    heat = np.array(material["specific_heat_j_per_kg_k"])
    cells = 0.5 * np.diff(grid_c) * (heat[1:] + heat[:-1])
    enthalpy = np.concatenate([[0.0], np.cumsum(cells)])
    return kelvin(grid_c), enthalpy - np.interp(20.0, grid_c, enthalpy)
