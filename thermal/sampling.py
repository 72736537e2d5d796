"""Safe bounds from a batch of samples: one-sided order statistics.

The bound at ``confidence`` (of the limit) and ``assurance`` (of the bound) is the
sample of a rank such that, with that assurance, at least that share of all cases lies
at or below it (Wilks 1941, doi 10.1214/aoms/1177731788). It holds for independent
samples of any distribution; scrambled Sobol points spread more evenly than those.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import EstimationError


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """An upper bound, the sample that sets it, and how it was got."""

    value: float
    sample: int
    rank: int
    count: int
    confidence: float
    assurance: float


def bound_rank(count: int, confidence: float, assurance: float) -> int:
    """Rank (1 = smallest) of the sample that bounds a share ``confidence``.

    Raises
    ------
    EstimationError
        If so few samples cannot support it: even the largest is too low.
    """
    from scipy.stats import binom

    if not (0.5 <= confidence < 1.0 and 0.5 <= assurance < 1.0):
        raise EstimationError("confidence and assurance: expected 0.5 to below 1")
    rank = int(binom.ppf(assurance, count, confidence)) + 1
    if rank > count:
        least = int(np.ceil(np.log(1.0 - assurance) / np.log(confidence)))
        raise EstimationError(
            f"samples: expected at least {least} for {confidence:.2%} at "
            f"{assurance:.0%}, got {count}"
        )
    return rank


def upper_bound(values: FloatArray, confidence: float, assurance: float) -> Bound:
    """Safe upper bound of the sampled values, shape (sample,); infinity counts."""
    rank = bound_rank(values.size, confidence, assurance)
    sample = int(np.argsort(values, kind="stable")[rank - 1])
    return Bound(
        value=float(values[sample]),
        sample=sample,
        rank=rank,
        count=values.size,
        confidence=confidence,
        assurance=assurance,
    )
