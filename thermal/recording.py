"""Values of a march at the start of every step, and between them.

Enters: states and flows at the start of each step. Leaves: values at any instants,
by a quadratic per step through both ends and the rate at its start. It is one of
enthalpy, so that steel passes its peak of specific heat as it does.
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
        kinds = (network.materials[0], *(network.materials[row] for row in self._rows))
        self._tables = EnthalpyTables(kinds)
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
        self._values.append(self._kept(state.enthalpy, hottest))
        self._rates.append(self._kept(inflow / self._mass, hottest))

    def _kept(self, per_kg: FloatArray, hottest: np.ndarray) -> FloatArray:
        """Mean of the stack, its hottest disc, the nodes kept, shape (value, batch)."""
        discs, mass = per_kg[: self._discs], self._mass[: self._discs]
        mean = (discs * mass).sum(axis=0) / mass.sum(axis=0)
        hot = np.take_along_axis(discs, hottest[None], axis=0)
        return np.concatenate([mean[None], hot, per_kg[self._rows]])

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
        wanted = out[1:].reshape(out.shape[0] - 1, -1)
        out[1:] = self._tables.look_up(wanted)[0].reshape(out[1:].shape)
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
        part = (at_s[:, None] - begin) / np.where(span > 0, span, 1.0)
        inside = (part >= -1e-6) & (part <= 1.0 + 1e-6)
        first, slope = self._values[k], self._rates[k] * span
        bend = self._values[k + 1] - first - slope
        block = (bend[:, None] * part + slope[:, None]) * part + first[:, None]
        np.copyto(out, block, where=inside[None])
