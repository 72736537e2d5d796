"""Values of a march at the start of every step, and between them.

Enters: states and flows at the start of each step. Leaves: values at any instants,
by a quadratic per step through both ends and the rate at its start. For parts of the
stack's material it is one of enthalpy, so that steel passes its peak of specific heat
as it does; for all others, whose specific heat hardly changes, one of temperature.
"""

from itertools import pairwise

import numpy as np

from thermal.arrays import FloatArray
from thermal.enthalpies import EnthalpyTables
from thermal.errors import ParameterError
from thermal.integrate import Integrator, State


class Recording:
    """Values and rates at the start of every step; sampled by a quadratic per step."""

    def __init__(self, integrator: Integrator, kept: tuple[str, ...]) -> None:
        network = integrator.network
        self._rows = np.array([network.index(node) for node in kept], dtype=np.intp)
        self._discs = network.disc_count
        self._mass = integrator.mass_kg
        stack = network.materials[0]
        self._heats = np.array([network.materials[row] == stack for row in self._rows])
        # The hottest disc comes right behind the mean of the stack.
        self._converted = np.concatenate([[1], 2 + np.flatnonzero(self._heats)])
        self._tables = EnthalpyTables((stack,) * self._converted.size)
        self.origin_s: FloatArray = np.zeros(0)
        self.start_s: list[FloatArray] = []
        self._values: list[FloatArray] = []
        self._rates: list[FloatArray] = []

    def __call__(
        self, since_s: FloatArray, state: State, power_w: FloatArray | None
    ) -> None:
        """Keep one instant."""
        inflow = state.flows[2] if power_w is None else state.flows[2] + power_w
        hottest = state.enthalpy[: self._discs].argmax(axis=0)
        self.start_s.append(self.origin_s + since_s)
        rate = inflow / self._mass
        self._values.append(self._kept(state.enthalpy, state.temperature_k, hottest))
        self._rates.append(self._kept(rate, inflow / state.capacity, hottest))

    def _kept(
        self, per_kg: FloatArray, kelvin: FloatArray, hottest: np.ndarray
    ) -> FloatArray:
        """Mean of the stack, its hottest disc, the nodes kept, shape (value, batch)."""
        discs, mass = per_kg[: self._discs], self._mass[: self._discs]
        out = np.empty((2 + self._rows.size, hottest.size))
        np.einsum("ij,ij->j", discs, mass, out=out[0])
        out[0] /= mass.sum(axis=0)
        out[1] = np.take_along_axis(discs, hottest[None], axis=0)
        for place, (row, heats) in enumerate(zip(self._rows, self._heats, strict=True)):
            out[2 + place] = per_kg[row] if heats else kelvin[row]
        return out

    def sample(self, at_s: FloatArray) -> FloatArray:
        """Mean enthalpy of the stack, then temperatures: its hottest disc, the nodes.

        Shape (value, time, batch).
        """
        if at_s.size and not (
            at_s[0] >= self.start_s[0].max() - 1e-6
            and at_s[-1] <= self.start_s[-1].min() + 1e-6
        ):
            raise ParameterError.of(
                "at_s",
                f"{self.start_s[0].max():.1f} to {self.start_s[-1].min():.1f} s",
                f"{at_s[0]:.1f} to {at_s[-1]:.1f}",
            )
        out = np.empty((self._values[0].shape[0], at_s.size, self.start_s[0].size))
        for k, (begin, end) in enumerate(pairwise(self.start_s)):
            low = int(np.searchsorted(at_s, begin.min() - 1e-6))
            high = int(np.searchsorted(at_s, end.max() + 1e-6, side="right"))
            if low < high:
                self._fill(out[:, low:high], k, at_s[low:high], begin, end)
        wanted = out[self._converted].reshape(self._converted.size, -1)
        found = self._tables.look_up(wanted)[0]
        out[self._converted] = found.reshape(self._converted.size, *out.shape[1:])
        return out

    def _fill(
        self,
        out: FloatArray,
        k: int,
        at_s: FloatArray,
        begin: FloatArray,
        end: FloatArray,
    ) -> None:
        span = end - begin
        first, slope = self._values[k], self._rates[k] * span
        bend = self._values[k + 1] - first - slope
        if np.ptp(begin) == 0.0 and np.ptp(end) == 0.0 and span[0] > 0:
            # One clock for all samples: the same parts of the step for everyone.
            part = ((at_s - begin[0]) / span[0])[:, None]
            np.multiply(bend[:, None], part, out=out)
            out += slope[:, None]
            out *= part
            out += first[:, None]
            return
        part = (at_s[:, None] - begin) / np.where(span > 0, span, 1.0)
        inside = (part >= -1e-6) & (part <= 1.0 + 1e-6)
        block = (bend[:, None] * part + slope[:, None]) * part + first[:, None]
        np.copyto(out, block, where=inside[None])
