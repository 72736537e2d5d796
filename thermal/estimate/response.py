"""How temperatures answer to inputs: polynomials fitted to integrated rows.

Enters: inputs and outputs of some hundred rows. Leaves: outputs of any inputs within
the same ranges. Heat has powers to the fourth, since specific heat and radiation bend
with it; all other inputs have squares and products in pairs.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from thermal.arrays import FloatArray

HEAT_POWERS = 4
_RIDGE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Response:
    """Fitted polynomials; ``error`` is their scatter, shape (output,)."""

    low: FloatArray
    high: FloatArray
    coefficients: FloatArray
    error: FloatArray

    @classmethod
    def fitted(cls, inputs: FloatArray, outputs: FloatArray) -> "Response":
        """Fit all outputs at once.

        Parameters
        ----------
        inputs : array, shape (row, input)
            The first is the heat.
        outputs : array, shape (row, output)
        """
        low, high = inputs.min(axis=0), inputs.max(axis=0)
        terms = _terms(_scaled(inputs, low, high))
        square = terms.T @ terms
        square[np.diag_indices_from(square)] += _RIDGE * np.trace(square)
        inverse = np.linalg.inv(square)
        coefficients = inverse @ (terms.T @ outputs)
        # What each row would be missed by if it were left out of the fit.
        leverage = np.einsum("ij,jk,ik->i", terms, inverse, terms)
        missed = outputs - terms @ coefficients
        missed /= np.maximum(1.0 - leverage, 0.05)[:, None]
        return cls(
            low=low,
            high=high,
            coefficients=coefficients,
            error=np.sqrt((missed**2).mean(axis=0)),
        )

    def __call__(
        self, inputs: FloatArray, outputs: np.ndarray | slice = slice(None)
    ) -> FloatArray:
        """Give outputs at inputs of shape (row, input), shape (row, output)."""
        within = np.clip(inputs, self.low, self.high)
        terms = _terms(_scaled(within, self.low, self.high))
        return np.asarray(terms @ self.coefficients[:, outputs])

    def with_slopes(
        self, inputs: FloatArray, outputs: np.ndarray
    ) -> tuple[FloatArray, FloatArray]:
        """Give some outputs and their slopes.

        Returns
        -------
        values : array, shape (row, output)
        slopes : array, shape (row, output, input)
        """
        half = 0.5 * (self.high - self.low)
        within = np.clip(inputs, self.low, self.high)
        scaled = _scaled(within, self.low, self.high)
        heat, others = scaled[:, :1, None], scaled[:, 1:, None]
        powers, linear, squares, pairs = self._parts(outputs)
        # Shapes (row, other, output) from here on.
        by_pairs = np.tensordot(scaled[:, 1:], pairs, axes=(1, 0))
        first = linear[0] + heat * (linear[1] + heat * linear[2])
        bend = others * squares
        values = (others * (first + bend + 0.5 * by_pairs)).sum(axis=1)
        by_heat = (others * (linear[1] + 2.0 * heat * linear[2])).sum(axis=1)
        for power in range(HEAT_POWERS, -1, -1):
            values = values + powers[power] * heat[:, 0] ** power
            if power:
                by_heat += power * powers[power] * heat[:, 0] ** (power - 1)
        slopes = np.empty((*values.shape, scaled.shape[1]))
        slopes[:, :, 0] = by_heat
        slopes[:, :, 1:] = (first + 2.0 * bend + by_pairs).transpose(0, 2, 1)
        slopes *= np.where(half > 0, 1.0 / np.where(half > 0, half, 1.0), 0.0)
        return values, slopes

    def _parts(
        self, outputs: np.ndarray
    ) -> tuple[FloatArray, list[FloatArray], FloatArray, FloatArray]:
        """Coefficients by power of heat, of others, of squares and of pairs."""
        count, some = self.low.size - 1, self.coefficients[:, outputs]
        at = HEAT_POWERS + 1
        linear = [some[at + k * count : at + (k + 1) * count] for k in range(3)]
        squares = some[at + 3 * count : at + 4 * count]
        pairs = np.zeros((count, count, some.shape[1]))
        first, second = np.triu_indices(count, 1)
        pairs[first, second] = pairs[second, first] = some[at + 4 * count :]
        return some[:at], linear, squares, pairs


def _scaled(inputs: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """Bring inputs to -1 to 1; zero where an input does not vary."""
    half = 0.5 * (high - low)
    centred = inputs - 0.5 * (high + low)
    return np.asarray(centred / np.where(half > 0, half, 1.0))


def _terms(scaled: FloatArray) -> FloatArray:
    """Monomials, shape (row, term)."""
    heat = scaled[:, :1]
    others = scaled[:, 1:]
    pairs = list(combinations(range(others.shape[1]), 2))
    parts = [
        np.ones_like(heat),
        *(heat**power for power in range(1, HEAT_POWERS + 1)),
        others,
        others * heat,
        others * heat**2,
        others**2,
    ]
    if pairs:
        first, second = np.array(pairs).T
        parts.append(others[:, first] * others[:, second])
    return np.concatenate(parts, axis=1)
