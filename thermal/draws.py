"""Draws of the uncertain inputs: scrambled Sobol points, reproducible from the seed.

Common factors (weight, weather, cooling) get one coordinate each, per-brake factors
one per brake, in the order of the ranges: a brake added to the end changes no other
draw.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray, check_range
from thermal.errors import ParameterError

MOST_BRAKES = 24


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Draws:
    """Uniform coordinates between 0 and 1 for every sample.

    Attributes
    ----------
    common : array, shape (sample, input)
    per_brake : array, shape (sample, input, brake)
    """

    seed: int
    common_names: tuple[str, ...]
    per_brake_names: tuple[str, ...]
    common: FloatArray
    per_brake: FloatArray

    @property
    def count(self) -> int:
        """Number of samples."""
        return int(self.common.shape[0])

    def between(self, name: str, low: float, high: float) -> FloatArray:
        """Draws of a common input between two bounds, shape (sample,)."""
        column = self.common[:, self.common_names.index(name)]
        return low + (high - low) * column

    def between_per_brake(self, name: str, low: float, high: float) -> FloatArray:
        """Draws of a per-brake input between two bounds, shape (sample, brake)."""
        block = self.per_brake[:, self.per_brake_names.index(name)]
        return low + (high - low) * block


def draw(
    count: int,
    seed: Sequence[int],
    common_names: tuple[str, ...],
    per_brake_names: tuple[str, ...],
    brake_count: int,
) -> Draws:
    """Draw ``count`` samples of all inputs.

    Parameters
    ----------
    count : int
        A power of two, as Sobol points want.
    seed : sequence of int
        Entropy of a `numpy.random.SeedSequence`, for example plan seed and row.

    Raises
    ------
    ParameterError
        If the count is not a power of two, or there are more brakes than on any type.
    """
    from scipy.stats import qmc

    if not (count > 0 and count & (count - 1) == 0):
        raise ParameterError.of("samples", "a power of two", count)
    check_range("brake_count", brake_count, 1, MOST_BRAKES, "brakes")
    common, per_brake = len(common_names), len(per_brake_names)
    generator = np.random.Generator(np.random.PCG64(np.random.SeedSequence(seed)))
    # Scrambling depends on the number of dimensions: it is the same for any aircraft.
    dimensions = common + per_brake * MOST_BRAKES
    points = qmc.Sobol(dimensions, scramble=True, rng=generator).random(count)
    by_brake = points[:, common:].reshape(count, MOST_BRAKES, per_brake)
    return Draws(
        seed=int(seed[0]),
        common_names=common_names,
        per_brake_names=per_brake_names,
        common=points[:, :common],
        per_brake=np.ascontiguousarray(by_brake[:, :brake_count].transpose(0, 2, 1)),
    )


def central_draws(
    count: int,
    seed: Sequence[int],
    common_names: tuple[str, ...],
    per_brake_names: tuple[str, ...],
    brake_count: int,
) -> Draws:
    """Build samples that all lie in the middle of every range."""
    return Draws(
        seed=int(seed[0]),
        common_names=common_names,
        per_brake_names=per_brake_names,
        common=np.full((count, len(common_names)), 0.5),
        per_brake=np.full((count, len(per_brake_names), brake_count), 0.5),
    )
