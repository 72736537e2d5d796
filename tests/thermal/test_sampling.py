"""Safe bounds from samples: coverage by counting, refusals, ties and infinities."""

import numpy as np
import pytest
from scipy.stats import binom

from thermal.errors import EstimationError
from thermal.sampling import bound_rank, upper_bound


@pytest.mark.parametrize(
    ("count", "confidence", "assurance"),
    [(59, 0.95, 0.95), (512, 0.99, 0.95), (1024, 0.99, 0.95), (200, 0.9, 0.9)],
)
def test_rank_is_the_lowest_that_gives_the_assurance(
    count: int, confidence: float, assurance: float
) -> None:
    """The chance that the ranked sample lies above the quantile, from the binomial.

    59 samples are the known least number for 95 % at 95 % (Wilks 1941).
    """
    rank = bound_rank(count, confidence, assurance)
    assert binom.cdf(rank - 1, count, confidence) >= assurance
    assert binom.cdf(rank - 2, count, confidence) < assurance


@pytest.mark.parametrize(("count", "confidence"), [(512, 0.99), (100, 0.9)])
def test_bounds_cover_as_often_as_they_claim(count: int, confidence: float) -> None:
    """Uniform samples, 4000 times: the bound lies above the true quantile."""
    generator = np.random.default_rng(3)
    rank = bound_rank(count, confidence, 0.95)
    samples = np.sort(generator.random((4000, count)), axis=1)
    covered = (samples[:, rank - 1] >= confidence).mean()
    claimed = float(binom.cdf(rank - 1, count, confidence))
    assert covered == pytest.approx(claimed, abs=0.015)
    assert covered > 0.935


def test_256_samples_cannot_support_99_at_95_percent() -> None:
    """Even the largest is too low; the message says how many it takes."""
    with pytest.raises(
        EstimationError, match=r"at least 299 for 99\.00% at 95%, got 256"
    ):
        bound_rank(256, 0.99, 0.95)


@pytest.mark.parametrize(("count", "enough"), [(298, False), (299, True)])
def test_299_samples_are_the_least(count: int, enough: bool) -> None:
    """ln 0.05 over ln 0.99 is 298.07."""
    if enough:
        assert bound_rank(count, 0.99, 0.95) == count
        return
    with pytest.raises(EstimationError):
        bound_rank(count, 0.99, 0.95)


@pytest.mark.parametrize(
    ("confidence", "assurance"), [(1.0, 0.95), (0.4, 0.95), (0.99, np.nan)]
)
def test_levels_without_meaning_are_refused(
    confidence: float, assurance: float
) -> None:
    """Certainty cannot be sampled, and less than half is no bound."""
    with pytest.raises(EstimationError, match=r"expected 0\.5 to below 1"):
        bound_rank(512, confidence, assurance)


def test_bound_names_the_sample_that_sets_it() -> None:
    """Value, rank and sample belong together; infinite minutes count as largest."""
    values = np.arange(512.0)[::-1].copy()
    values[0] = np.inf
    bound = upper_bound(values, 0.99, 0.95)
    assert bound.rank == bound_rank(512, 0.99, 0.95)
    assert values[bound.sample] == bound.value
    assert (values < bound.value).sum() == bound.rank - 1
    assert (bound.count, bound.confidence, bound.assurance) == (512, 0.99, 0.95)


def test_bound_is_infinite_where_too_many_samples_never_pass() -> None:
    """A limit that fails in two per cent of cases has no safe minute at 99 %."""
    values = np.zeros(512)
    values[::50] = np.inf
    assert upper_bound(values, 0.99, 0.95).value == np.inf
