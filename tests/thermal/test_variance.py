"""First-order shares of variance against functions whose shares are known."""

import numpy as np
import pytest

from thermal.errors import EstimationError, ParameterError
from thermal.variance import first_order_shares


def points(count: int, inputs: int, seed: int) -> np.ndarray:
    """Independent uniform numbers between 0 and 1."""
    return np.random.default_rng(seed).random((count, inputs))


def dealer() -> np.random.Generator:
    """Deal groups for the error."""
    return np.random.default_rng(11)


def test_ishigami_function() -> None:
    """Shares 0.3139, 0.4424 and 0 for a = 7, b = 0.1.

    Ishigami and Homma, Uncertainty Modeling and Analysis, 1990; values from memory.
    """
    x = np.pi * (2.0 * points(16384, 3, 5) - 1.0)
    outcome = (1.0 + 0.1 * x[:, 2] ** 4) * np.sin(x[:, 0]) + 7.0 * np.sin(x[:, 1]) ** 2
    found = first_order_shares(x, outcome, dealer())
    assert found.share.tolist() == pytest.approx([0.3139, 0.4424, 0.0], abs=0.015)
    assert (found.error < 0.02).all()


def test_linear_model() -> None:
    """Squares of the coefficients over their sum; an input left out gets nothing."""
    x = points(2048, 4, 7)
    found = first_order_shares(x, x @ [4.0, 2.0, 1.0, 0.0], dealer())
    expected = np.array([16.0, 4.0, 1.0, 0.0]) / 21.0
    assert (np.abs(found.share - expected) < 3.0 * found.error + 0.002).all()
    assert (found.error < 0.025).all()
    assert found.share.sum() < 1.0 + 3.0 * found.error.max()


def test_shares_of_a_product_leave_a_rest() -> None:
    """What two inputs do only together belongs to neither."""
    x = points(4096, 2, 3)
    found = first_order_shares(x, (x[:, 0] - 0.5) * (x[:, 1] - 0.5), dealer())
    assert np.abs(found.share).max() < 0.03


def test_the_error_is_the_scatter_between_seeds() -> None:
    """Independent samples: the error told is that seen, within a factor of two."""
    shares, errors = [], []
    for seed in range(30):
        x = points(1024, 3, seed)
        noisy = x @ [1.0, 1.0, 0.0] + 0.5 * np.sin(40.0 * x[:, 2])
        found = first_order_shares(x, noisy, dealer())
        shares.append(found.share)
        errors.append(found.error)
    ratio = np.mean(errors, axis=0) / np.std(shares, axis=0, ddof=1)
    assert ((ratio > 0.5) & (ratio < 2.0)).all()


def test_the_groups_move_the_error_only() -> None:
    """Another deal of the groups leaves the shares as they are."""
    x = points(1024, 2, 1)
    first, second = (
        first_order_shares(x, x @ [1.0, 2.0], np.random.default_rng(seed))
        for seed in (1, 2)
    )
    assert first.share.tolist() == second.share.tolist()
    assert first.error.tolist() != second.error.tolist()


def test_an_outcome_that_stands_still_has_no_shares() -> None:
    """Nothing moves it: all zero, no division."""
    x = points(1024, 2, 1)
    found = first_order_shares(x, np.full(1024, 37.0), dealer())
    assert found.share.tolist() == [0.0, 0.0]


def test_too_few_samples_are_refused() -> None:
    """Bins of one or two samples say nothing about their scatter."""
    x = points(64, 2, 1)
    with pytest.raises(EstimationError, match="at least 137"):
        first_order_shares(x, x[:, 0], dealer())


@pytest.mark.parametrize("fault", ["shape", "nan"])
def test_bad_samples_are_refused(fault: str) -> None:
    """Lengths that differ, and minutes that are no number."""
    x = points(1024, 2, 1)
    outcome = x[:512, 0] if fault == "shape" else np.where(x[:, 0] > 0.5, np.nan, 1.0)
    with pytest.raises(ParameterError):
        first_order_shares(x, outcome, dealer())
