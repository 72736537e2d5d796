"""What is read, what is found odd, and what comes out: records of the estimate.

Times are seconds after in-block (negative while taxiing in), temperatures kelvin.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from thermal.arrays import FloatArray, frozen_array
from thermal.errors import ParameterError
from thermal.rows import Rows

HOTTEST = -1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """Indicated temperatures of one aircraft, in any order.

    Attributes
    ----------
    time_s, shown_k : array, shape (reading,)
    brake : int array, shape (reading,)
        Which brake; `HOTTEST` where only the hottest of all is known.
    """

    time_s: FloatArray
    shown_k: FloatArray
    brake: np.ndarray

    def __post_init__(self) -> None:
        """Convert to arrays and refuse shapes that differ."""
        time_s = np.asarray(self.time_s, dtype=np.float64)
        for name in ("time_s", "shown_k"):
            value = frozen_array(name, getattr(self, name), time_s.shape)
            object.__setattr__(self, name, value)
        brake = np.asarray(self.brake, dtype=np.intp)
        if brake.shape != time_s.shape:
            raise ParameterError.of("brake", f"shape {time_s.shape}", brake.shape)
        object.__setattr__(self, "brake", brake)

    @property
    def count(self) -> int:
        """Number of readings."""
        return int(self.brake.size)

    def select(self, which: np.ndarray) -> "Readings":
        """Take some of the readings."""
        return Readings(
            time_s=self.time_s[which],
            shown_k=self.shown_k[which],
            brake=self.brake[which],
        )

    @classmethod
    def of(cls, entries: Sequence[tuple[float, int, float]]) -> "Readings":
        """From (time in s, brake, temperature in K) triples."""
        columns = np.array(entries, dtype=np.float64).reshape(-1, 3)
        return cls(time_s=columns[:, 0], brake=columns[:, 1], shown_k=columns[:, 2])


@dataclass(frozen=True, slots=True, kw_only=True)
class FanSpan:
    """Air that a fan drove through the stacks, in minutes after in-block."""

    start_minute: float
    end_minute: float
    air_m_per_s: float

    def __post_init__(self) -> None:
        """Air takes time, and only blows at the stand."""
        if not 0.0 <= self.start_minute < self.end_minute:
            span = (self.start_minute, self.end_minute)
            raise ParameterError.of("fan span", "start before end, from 0 on", span)


class Oddity(StrEnum):
    """What is wrong with a reading; the values are what people read."""

    OUT_OF_RANGE = "outside what a brake can show"
    FAHRENHEIT = "fits in °F, not in °C"
    IMPOSSIBLE_RISE = "rises faster than the indicator can"
    FROZEN = "does not move while the brake must"
    SWAPPED = "fits another position"
    FAULT = "fits no landing that explains the others: sensor or entry at fault"


@dataclass(frozen=True, slots=True, kw_only=True)
class OddReading:
    """A reading that was left out, or moved to another brake, and why."""

    reading: int
    oddity: Oddity
    expected_k: float
    other_brake: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OddBrake:
    """A brake that takes too much or too little heat.

    ``share`` is its heat against an even one, with its 5 to 95 % range.
    """

    brake: int
    probability: float
    share: float
    share_range: tuple[float, float]

    @property
    def is_idle(self) -> bool:
        """Whether it takes too little."""
        return self.share < 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Estimate:
    """What the brakes of one aircraft are, after the readings.

    Attributes
    ----------
    rows : Rows
        Posterior draws, each as likely as any other, sample-major as they came.
    minute : array, shape (time,)
        Minutes after in-block of the curves.
    stack_k, plug_k : array, shape (sample, brake, time)
        Mean stack temperature and plug of every draw.
    heat_factor : array, shape (sample, brake)
        Heat of each brake against the middle of all draws before the readings.
    used : int array
        Readings that counted.
    odd_readings, odd_brakes : tuple
        What was left out and why; which brakes differ from the others.
    odd_probability : array, shape (brake,)
        That the brake takes too much or too little heat.
    rising : tuple of int
        Brakes whose indication rises although nothing heats them any more.
    effective_count : float
        How many equally weighted draws the posterior is worth.
    misfit : float
        Root mean square of what the draws leave unexplained, in standard deviations.
    narrowing : array, shape (brake,)
        Spread of each brake's heat after the readings, as a share of before.
    """

    rows: Rows
    minute: FloatArray
    stack_k: FloatArray
    plug_k: FloatArray
    heat_factor: FloatArray
    used: np.ndarray
    odd_readings: tuple[OddReading, ...]
    odd_brakes: tuple[OddBrake, ...]
    odd_probability: FloatArray
    rising: tuple[int, ...]
    effective_count: float
    misfit: float
    narrowing: FloatArray
    text: str = ""

    def plug_probability(self, release_k: FloatArray) -> tuple[float, float]:
        """Share of draws in which a plug gets to its release, and its standard error.

        Parameters
        ----------
        release_k : array, shape (sample, brake)
        """
        released = (self.plug_k.max(axis=2) > release_k).any(axis=1)
        share = float(released.mean())
        error = np.sqrt(max(share * (1.0 - share), 0.0) / self.effective_count)
        return share, float(error)

    def stack_range_k(
        self, low: float = 0.05, high: float = 0.95
    ) -> tuple[FloatArray, FloatArray]:
        """Quantiles of each brake's stack temperature, each of shape (brake, time)."""
        found = np.quantile(self.stack_k, (low, high), axis=0)
        return found[0], found[1]
