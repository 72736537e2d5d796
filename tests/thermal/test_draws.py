"""Draws: reproducible, spread evenly, and undisturbed by one more brake."""

import numpy as np
import pytest

from thermal.draws import Draws, central_draws, draw
from thermal.errors import ParameterError

COMMON, PER_BRAKE = ("weight", "additive", "ambient"), ("share", "release")


def drawn(count: int = 256, seed: int = 7, brakes: int = 4) -> Draws:
    """Draws of a small problem."""
    return draw(count, (seed, 3), COMMON, PER_BRAKE, brakes)


def test_same_seed_gives_the_same_draws() -> None:
    """To the last bit, in every coordinate."""
    one, other = drawn(), drawn()
    np.testing.assert_array_equal(one.common, other.common)
    np.testing.assert_array_equal(one.per_brake, other.per_brake)
    assert one.seed == 7


@pytest.mark.parametrize("seed", [(8, 3), (7, 4)])
def test_another_seed_or_stream_gives_other_draws(seed: tuple[int, int]) -> None:
    """Plan seed and turnaround both matter."""
    other = draw(256, seed, COMMON, PER_BRAKE, 4)
    assert np.abs(other.common - drawn().common).max() > 0.5


def test_another_brake_changes_no_other_draw() -> None:
    """Weights, weather and the other brakes stay when one is added at the end."""
    few, more = drawn(brakes=4), drawn(brakes=5)
    np.testing.assert_array_equal(few.common, more.common)
    np.testing.assert_array_equal(few.per_brake, more.per_brake[:, :, :4])


def test_draws_fill_their_ranges_evenly() -> None:
    """Every tenth of a range gets a tenth of 1024 draws, give or take one."""
    values = drawn(1024).between("additive", 5.0, 15.0)
    counts, _ = np.histogram(values, bins=8, range=(5.0, 15.0))
    assert np.abs(counts - 128).max() <= 1
    assert values.min() >= 5.0
    assert values.max() <= 15.0


def test_brakes_are_drawn_apart() -> None:
    """Shares of two brakes are not the same numbers, nor those of the release."""
    share = drawn().between_per_brake("share", 0.9, 1.1)
    release = drawn().between_per_brake("release", 0.9, 1.1)
    assert share.shape == (256, 4)
    assert abs(np.corrcoef(share[:, 0], share[:, 1])[0, 1]) < 0.2
    assert np.abs(share - release).max() > 0.1


def test_central_draws_lie_in_the_middle() -> None:
    """One nominal sample: half way in every range."""
    central = central_draws(1, (7, 3), COMMON, PER_BRAKE, 4)
    assert central.between("weight", 10.0, 20.0) == pytest.approx(15.0)
    assert central.between_per_brake("share", 0.8, 1.2) == pytest.approx(
        np.ones((1, 4))
    )
    assert central.count == 1


@pytest.mark.parametrize("count", [0, 3, 500, -4])
def test_counts_that_are_no_power_of_two_are_refused(count: int) -> None:
    """Sobol points lose their balance otherwise."""
    with pytest.raises(ParameterError, match="samples: expected a power of two"):
        drawn(count)


@pytest.mark.parametrize("brakes", [0, 25])
def test_brakes_beyond_any_type_are_refused(brakes: int) -> None:
    """The scrambling reserves room for as many as any aircraft has."""
    with pytest.raises(ParameterError, match="brake_count: expected 1 to 24"):
        drawn(brakes=brakes)
