"""What the estimate moves: inputs of a row, and rows from inputs.

Enters: `Rows` as drawn. Leaves: one number per row and input, against the middle row,
and back again. Heat is a factor on that of the middle row; air and discs at touchdown
are kelvins on its own; the others are factors and shares as in `Rows`.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermal.arrays import FloatArray
from thermal.rows import Rows

HEAT = 0
NAMES = (
    "heat",
    "convection_factor",
    "radiation_factor",
    "joint_factor",
    "fan_factor",
    "ambient",
    "residual",
    "stack_fraction",
    "wind_m_per_s",
)
COMMON = NAMES[:7]
_LIMITS = {
    "convection_factor": (0.5, 1.6),
    "radiation_factor": (0.6, 1.4),
    "joint_factor": (0.35, 2.5),
    "fan_factor": (0.35, 1.6),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Base:
    """The middle row of one aircraft; heats and temperatures count from it."""

    row: Rows
    heat_j: float

    @classmethod
    def of(cls, rows: Rows) -> "Base":
        """Take the row in the middle of all heats."""
        heat_j = rows.arrival_j
        middle = int(np.argsort(heat_j)[heat_j.size // 2])
        return cls(row=rows.select(np.array([middle])), heat_j=float(heat_j[middle]))

    @property
    def ambient_k(self) -> float:
        """Air in the first hour."""
        return float(self.row.ambient_k[0, 0])


def row_inputs(base: Base, rows: Rows) -> FloatArray:
    """Give the inputs of rows, shape (row, input), columns by `NAMES`."""
    ambient = rows.ambient_k[:, 0]
    columns = {
        "heat": rows.arrival_j / base.heat_j,
        "ambient": ambient - base.ambient_k,
        "residual": rows.residual_k - ambient,
    }
    return np.stack(
        [
            columns[name] if name in columns else getattr(rows, name).astype(np.float64)
            for name in NAMES
        ],
        axis=1,
    )


def within_limits(inputs: FloatArray) -> FloatArray:
    """Keep factors physical, shape (..., input)."""
    within = inputs.copy()
    within[..., HEAT] = np.maximum(within[..., HEAT], 0.0)
    for name, (low, high) in _LIMITS.items():
        place = NAMES.index(name)
        within[..., place] = np.clip(within[..., place], low, high)
    residual = NAMES.index("residual")
    within[..., residual] = np.maximum(within[..., residual], 0.0)
    return within


def rows_with(rows: Rows, base: Base, inputs: FloatArray) -> Rows:
    """Give the same rows other inputs.

    A row without heat stays without it.
    """
    before_j, after_j = rows.arrival_j, inputs[:, HEAT] * base.heat_j
    factor = np.where(before_j > 0, after_j / np.where(before_j > 0, before_j, 1.0), 0)
    named = dict(zip(NAMES, inputs.T, strict=True))
    warmer = base.ambient_k + named["ambient"] - rows.ambient_k[:, 0]
    ambient_k = rows.ambient_k + warmer[:, None]
    return replace(
        rows,
        roll_power_w=rows.roll_power_w * factor[:, None],
        taxi_in_j=rows.taxi_in_j * factor,
        ambient_k=ambient_k,
        residual_k=ambient_k[:, 0] + named["residual"],
        convection_factor=named["convection_factor"],
        radiation_factor=named["radiation_factor"],
        joint_factor=named["joint_factor"],
        fan_factor=named["fan_factor"],
    )
