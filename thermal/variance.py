"""Which input moves a figure most: first-order shares of its variance.

Enters: samples of inputs and of what came out. Leaves: per input the share of the
outcome's variance that goes with this input alone (Sobol', Mathematics and Computers in
Simulation 55, 2001, 271-280, from memory), and the sampling error of that share.

The samples of each input are sorted into bins of equal count; the variance between the
means of the bins, less what the scatter inside them puts there, is the share. All
inputs share the samples: no further runs per input. Variation inside a bin is missed: 1
part in the square of the number of bins for a straight line. Samples have to be
independent draws: Sobol points spread more evenly, and too much would be taken off.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import EstimationError, ParameterError

BIN_COUNT = 32
GROUP_COUNT = 16
_LEAST_IN_BIN = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VarianceShares:
    """First-order shares per input, and one standard error of each.

    A share of an input that does nothing scatters around zero, to either side.

    Attributes
    ----------
    share, error : array, shape (input,)
    """

    share: FloatArray
    error: FloatArray


def first_order_shares(
    inputs: FloatArray,
    outcome: FloatArray,
    rng: np.random.Generator,
    *,
    bin_count: int = BIN_COUNT,
) -> VarianceShares:
    """Shares of the outcome's variance by binned conditional means.

    Parameters
    ----------
    inputs : array, shape (sample, input)
        Independent of each other, and from sample to sample.
    outcome : array, shape (sample,)
    rng : numpy.random.Generator
        Deals the samples into groups, of which one at a time is left out for the
        error (jackknife).
    bin_count : int
        Bins per input; more of them follow a bending curve closer, fewer scatter less.

    Returns
    -------
    shares : VarianceShares
        All zero where the outcome does not vary.

    Raises
    ------
    ParameterError
        If shapes differ or a value is not finite.
    EstimationError
        If there are fewer than four samples a bin with one group left out.
    """
    if inputs.ndim != 2 or outcome.shape != inputs.shape[:1]:
        raise ParameterError.of(
            "inputs, outcome", "shapes (n, inputs) and (n,)", inputs.shape
        )
    if not (np.isfinite(inputs).all() and np.isfinite(outcome).all()):
        raise ParameterError.of("inputs, outcome", "finite numbers", "NaN or infinity")
    least = _LEAST_IN_BIN * bin_count * GROUP_COUNT // (GROUP_COUNT - 1) + 1
    if outcome.size < least:
        raise EstimationError(f"samples: expected at least {least}, got {outcome.size}")
    share = _shares(inputs, outcome, bin_count)
    group = rng.permutation(np.arange(outcome.size) % GROUP_COUNT)
    without = np.array(
        [
            _shares(inputs[group != left], outcome[group != left], bin_count)
            for left in range(GROUP_COUNT)
        ]
    )
    apart = ((without - without.mean(axis=0)) ** 2).sum(axis=0)
    error = np.sqrt((GROUP_COUNT - 1) / GROUP_COUNT * apart)
    return VarianceShares(share=share, error=error)


def _shares(inputs: FloatArray, outcome: FloatArray, bin_count: int) -> FloatArray:
    """Variance between bins over all variance, shape (input,); one-way analysis."""
    size = outcome.size // bin_count
    order = np.argsort(inputs, axis=0, kind="stable")[: size * bin_count]
    # (bin, sample in the bin, input)
    binned = outcome[order].reshape(bin_count, size, -1)
    within = binned.var(axis=1, ddof=1).mean(axis=0)
    between = binned.mean(axis=1).var(axis=0, ddof=1) - within / size
    total = between + within
    flat = np.ptp(outcome) <= 1e-12 * np.abs(outcome).max(initial=0.0)
    if flat:
        return np.zeros_like(total)
    return np.asarray(between / total)
