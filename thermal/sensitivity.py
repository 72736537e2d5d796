"""Which uncertain input moves brake-ready most, for one brake and one landing heat.

Enters: a `ReadyQuestion`, SI and kelvin. Leaves: `Sensitivity`, inputs with their
shares of the variance of the minute from which the brake lets the aircraft go. Inputs
are drawn independently and uniformly from their ranges; shares are first-order, each
with its sampling error (`thermal.variance`).
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.catalogue import Range
from thermal.ready import ReadyQuestion, ready_minutes, uncertain_inputs
from thermal.variance import VarianceShares, first_order_shares

SAMPLE_COUNT = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """An input, and its share of the variance with one standard error."""

    input: Range
    share: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sensitivity:
    """Inputs from the most to the least moving, and what they move.

    Attributes
    ----------
    ready_minute : array, shape (sample,)
        Brake-ready after the end of the stop; ``look_minutes`` where it is later.
    late_count : int
        Samples that were not ready within the look.
    """

    influences: tuple[Influence, ...]
    ready_minute: FloatArray
    late_count: int
    seed: int


def sensitivity(
    asked: ReadyQuestion, *, seed: int, sample_count: int = SAMPLE_COUNT
) -> Sensitivity:
    """Rank the uncertain inputs by their share of the variance of brake-ready.

    Parameters
    ----------
    seed : int
        Of the draws; the same seed gives the same table.
    sample_count : int

    Raises
    ------
    EstimationError
        If there are too few samples for the shares.
    IntegrationError
        If the heat is more than the materials stand.
    """
    inputs = uncertain_inputs(asked)
    rng = np.random.default_rng(seed)
    unit = rng.random((sample_count, len(inputs)))
    drawn = {
        item.name: item.low + (item.high - item.low) * column
        for item, column in zip(inputs, unit.T, strict=True)
    }
    minute = ready_minutes(asked, drawn)
    late = ~np.isfinite(minute)
    minute = np.where(late, asked.look_minutes, minute)
    return Sensitivity(
        influences=_ranked(inputs, first_order_shares(unit, minute, rng)),
        ready_minute=minute,
        late_count=int(late.sum()),
        seed=seed,
    )


def _ranked(inputs: tuple[Range, ...], found: VarianceShares) -> tuple[Influence, ...]:
    influences = [
        Influence(input=item, share=float(share), error=float(error))
        for item, share, error in zip(inputs, found.share, found.error, strict=True)
    ]
    return tuple(sorted(influences, key=lambda one: -one.share))
