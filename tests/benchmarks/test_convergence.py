"""The study of sample counts draws as it says and marks what the rule refuses."""

import numpy as np
import pytest

from tests.benchmarks.convergence import (
    LANDINGS,
    METHODS,
    independent,
    minutes_of,
    one_landing,
    study_row,
)


def test_independent_draws_stand_in_for_sobol_points() -> None:
    """Same names and shapes, the same again from the same seed, other points."""
    one, again, other = (
        independent(64, (seed, 5), ("a", "b"), ("c",), 4) for seed in (1, 1, 2)
    )
    assert one.common.shape == (64, 2)
    assert one.per_brake.shape == (64, 1, 4)
    assert np.array_equal(one.per_brake, again.per_brake)
    assert not np.array_equal(one.common, other.common)


@pytest.mark.parametrize("method", METHODS)
def test_a_row_holds_the_bounds_of_its_seeds(method: str) -> None:
    """Too few samples are marked, and the largest of each seed stands in the mean."""
    day = one_landing(LANDINGS["steel-narrow"])
    row = study_row(day, "steel-narrow", method, 64, (7, 8), 1e4)
    largest = [found.minute.max() for found in minutes_of(day, 64, (7, 8), method)]
    assert (row.refused, row.rank, row.below) == (True, 64, 1.0)
    assert row.mean_minute == pytest.approx(np.mean(largest))
    assert row.spread_minutes == pytest.approx(np.std(largest, ddof=1))


def test_methods_differ() -> None:
    """Independent draws are really used: other minutes than from Sobol points."""
    day = one_landing(LANDINGS["steel-narrow"])
    first, second = (minutes_of(day, 64, (7,), method)[0] for method in METHODS)
    assert first.minute.max() != second.minute.max()
