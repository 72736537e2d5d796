"""Phases of a brake's day: what the air does, whether the brakes are set, what heat.

Enters: durations, weather and heat per sample. Leaves: `Phase` records in order,
from which the integrator takes film coefficients and heat. Air over the outside and
air through the stack are separate: a fan or an extended gear drives air through it,
wind at the stand only counts where the station gives credit for it.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import ceil, floor

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.errors import ParameterError


class PhaseKind(StrEnum):
    """What the aircraft is doing."""

    ROLLOUT = "rollout"
    TAXI_IN = "taxi-in"
    PARKED = "parked"
    ONBOARD_FAN = "onboard fan"
    FAN = "fan"
    TAXI_OUT = "taxi-out"
    TAKE_OFF_RUN = "take-off run"
    GEAR_DOWN = "gear down"
    WHEEL_WELL = "wheel well"
    APPROACH = "approach"


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Air at the wheel: speed outside and through the stack, state of the air.

    ``contact_fraction`` scales convection where the wheel is enclosed; ``ambient_k``
    is the temperature at which film properties are taken.
    """

    ambient_k: float
    pressure_pa: float
    outer_m_per_s: float = 0.0
    through_m_per_s: float = 0.0
    contact_fraction: float = 1.0

    def __post_init__(self) -> None:
        """Refuse air that is nowhere on an airfield."""
        check_range("ambient_k", self.ambient_k, 200.0, 400.0, "K")
        check_range("pressure_pa", self.pressure_pa, 1e4, 1.2e5, "Pa")
        check_range("outer_m_per_s", self.outer_m_per_s, 0.0, 150.0, "m/s")
        check_range("through_m_per_s", self.through_m_per_s, 0.0, 150.0, "m/s")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heat:
    """Friction power of one brake during a phase, piecewise linear.

    ``power_w`` has shape (batch, knot); the knots lie at equal fractions of the
    phase, whatever each sample's duration.
    """

    power_w: FloatArray

    def energy_j(self, duration_s: FloatArray) -> FloatArray:
        """Heat of the whole phase, shape (batch,)."""
        inner = self.power_w[:, 1:-1].sum(axis=1)
        ends = 0.5 * (self.power_w[:, 0] + self.power_w[:, -1])
        mean_w: FloatArray = (inner + ends) / (self.power_w.shape[1] - 1)
        return mean_w * duration_s

    def at(self, fraction: float) -> FloatArray:
        """Power at a fraction of the phase, shape (batch,)."""
        position = fraction * (self.power_w.shape[1] - 1)
        knot = min(int(position), self.power_w.shape[1] - 2)
        left, right = self.power_w[:, knot], self.power_w[:, knot + 1]
        power: FloatArray = left + (position - knot) * (right - left)
        return power

    def next_knot(self, fraction: float) -> float:
        """First knot after a fraction of the phase."""
        pieces = self.power_w.shape[1] - 1
        knot = min(floor(fraction * pieces + 1e-6) + 1, pieces)
        return float(knot / pieces)

    def bend(self, start: float, end: float) -> FloatArray:
        """How far the heat between two fractions may lie off that of linear power.

        Per second of the phase, from the knots in between, shape (batch,).
        """
        pieces = self.power_w.shape[1] - 1
        knots = np.arange(floor(start * pieces + 1e-6) + 1, ceil(end * pieces - 1e-6))
        low, high = self.at(start)[:, None], self.at(end)[:, None]
        line = low + (high - low) * ((knots / pieces - start) / (end - start))
        off = np.abs(self.power_w[:, knots] - line).max(axis=1, initial=0.0)
        return 0.5 * (end - start) * np.asarray(off, dtype=np.float64)

    def until(self, fraction: float) -> FloatArray:
        """Heat up to a fraction of the phase, per second of its duration."""
        position = fraction * (self.power_w.shape[1] - 1)
        knot = min(int(position), self.power_w.shape[1] - 2)
        rest = position - knot
        left, right = self.power_w[:, knot], self.power_w[:, knot + 1]
        whole = self.power_w[:, : knot + 1].sum(axis=1)
        whole = whole - 0.5 * (self.power_w[:, 0] + left)
        partial = rest * (left + 0.5 * rest * (right - left))
        mean_w: FloatArray = (whole + partial) / (self.power_w.shape[1] - 1)
        return mean_w


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Phase:
    """One phase for a batch of samples.

    Attributes
    ----------
    duration_s, ambient_k, convection_factor : array, shape (batch,)
        Per sample; a duration may be zero.
    air : tuple of Air
        Distinct conditions; ``air_index`` says which one each sample sees.
    continues : bool
        True where nothing jumps at the start (only the weather moves on), so that
        the step need not start small.
    """

    kind: PhaseKind
    duration_s: FloatArray
    ambient_k: FloatArray
    air: tuple[Air, ...]
    air_index: np.ndarray
    convection_factor: FloatArray
    brakes_set: bool = False
    heat: Heat | None = None
    continues: bool = False

    def __post_init__(self) -> None:
        """Refuse negative durations and batches that differ."""
        check_range(f"{self.kind}: duration_s", self.duration_s, 0.0, 1e6, "s")
        batch = self.duration_s.shape
        for name in ("ambient_k", "convection_factor", "air_index"):
            if getattr(self, name).shape != batch:
                raise ParameterError.of(f"{self.kind}: {name}", f"shape {batch}", name)

    def select(self, rows: np.ndarray | slice) -> "Phase":
        """Take the same phase for some of the samples."""
        return Phase(
            kind=self.kind,
            duration_s=self.duration_s[rows],
            ambient_k=self.ambient_k[rows],
            air=self.air,
            air_index=self.air_index[rows],
            convection_factor=self.convection_factor[rows],
            brakes_set=self.brakes_set,
            heat=None if self.heat is None else Heat(power_w=self.heat.power_w[rows]),
            continues=self.continues,
        )


def phase(
    kind: PhaseKind,
    duration_s: FloatLike,
    air: Air,
    *,
    batch: int,
    ambient_k: FloatLike | None = None,
    convection_factor: FloatLike = 1.0,
    brakes_set: bool = False,
    heat: Heat | None = None,
) -> Phase:
    """Build a phase in which every sample sees the same air."""
    ambient = air.ambient_k if ambient_k is None else ambient_k

    def full(value: FloatLike) -> FloatArray:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), (batch,)).copy()

    return Phase(
        kind=kind,
        duration_s=full(duration_s),
        ambient_k=full(ambient),
        air=(air,),
        air_index=np.zeros(batch, dtype=np.intp),
        convection_factor=full(convection_factor),
        brakes_set=brakes_set,
        heat=heat,
    )
