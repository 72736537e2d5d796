"""How the samples of a batch differ in one brake: wear, radiation and joints."""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray, check_range
from thermal.errors import ParameterError


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Variation:
    """How the samples differ, every array of shape (batch,).

    ``stack_fraction`` is the disc mass left (wear); the factors scale all radiation
    and all joints of a sample.
    """

    stack_fraction: FloatArray
    radiation_factor: FloatArray
    joint_factor: FloatArray

    def __post_init__(self) -> None:
        """Refuse factors that are not positive and batches that differ."""
        check_range("stack_fraction", self.stack_fraction, 0.3, 1.0, "")
        check_range("radiation_factor", self.radiation_factor, 0.1, 3.0, "")
        check_range("joint_factor", self.joint_factor, 0.05, 10.0, "")
        shapes = {self.radiation_factor.shape, self.joint_factor.shape}
        if shapes != {self.stack_fraction.shape}:
            raise ParameterError.of("variation", "one batch shape", shapes)

    @property
    def batch(self) -> int:
        """Number of samples."""
        return int(self.stack_fraction.size)

    @classmethod
    def nominal(cls, batch: int = 1, stack_fraction: float = 1.0) -> "Variation":
        """Build samples that do not differ."""
        one = np.ones(batch)
        return cls(
            stack_fraction=stack_fraction * one, radiation_factor=one, joint_factor=one
        )

    def select(self, rows: np.ndarray | slice) -> "Variation":
        """Take some of the samples."""
        return Variation(
            stack_fraction=self.stack_fraction[rows],
            radiation_factor=self.radiation_factor[rows],
            joint_factor=self.joint_factor[rows],
        )
