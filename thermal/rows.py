"""What differs between the turnarounds of one brake type that are cooled together.

Enters and leaves: arrays with one row per sample, brake and aircraft.
"""

from dataclasses import dataclass, field, fields

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import ParameterError
from thermal.timeline import Heat
from thermal.units import MINUTE_S
from thermal.variation import Variation

SEGMENT_S = 3600.0


def _nothing() -> FloatArray:
    """Stand for zero in every row."""
    return np.zeros(0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """What differs between rows; arrays of shape (row,) unless said otherwise.

    Attributes
    ----------
    case, sample, brake : int array
        Which turnaround, draw and brake position a row is.
    roll_power_w : array, shape (row, knot)
        Friction power of this brake at equal fractions of ``roll_s``.
    taxi_in_j, taxi_out_j, stop_j : array
        Heat of this brake taxiing in and out, and of its accelerate-stop.
    ambient_k : array, shape (row, hour)
        Air at the stand in each hour from in-block on; the last one goes on.
    residual_k : array
        Discs at touchdown; the other parts start half way to the air.
    pressure_pa, wind_m_per_s : array
        Station pressure; wind at the wheel, zero without credit.
    well_warmer_k : array
        Wheel well above the air on the ground.
    brakes_set : array
        1 where the parking brake is set at the stand, else 0; the same in all rows.
    onboard_fan_m_per_s, onboard_fan_s : array
        Air that the aircraft's own fan drives through the stack, and how long it runs
        from in-block on. These three are zero in every row where they are not given.
    """

    case: np.ndarray
    sample: np.ndarray
    brake: np.ndarray
    stack_fraction: FloatArray
    radiation_factor: FloatArray
    joint_factor: FloatArray
    convection_factor: FloatArray
    fan_factor: FloatArray
    roll_s: FloatArray
    roll_power_w: FloatArray
    taxi_in_s: FloatArray
    taxi_in_j: FloatArray
    taxi_out_s: FloatArray
    taxi_out_j: FloatArray
    stop_j: FloatArray
    gear_down_s: FloatArray
    ambient_k: FloatArray
    residual_k: FloatArray
    pressure_pa: FloatArray
    wind_m_per_s: FloatArray
    well_warmer_k: FloatArray
    brakes_set: FloatArray = field(default_factory=_nothing)
    onboard_fan_m_per_s: FloatArray = field(default_factory=_nothing)
    onboard_fan_s: FloatArray = field(default_factory=_nothing)

    def __post_init__(self) -> None:
        """Fill in what is not given."""
        for name in ("brakes_set", "onboard_fan_m_per_s", "onboard_fan_s"):
            if getattr(self, name).size == 0:
                object.__setattr__(self, name, np.zeros(self.count))

    @property
    def count(self) -> int:
        """Number of rows."""
        return int(self.case.size)

    @property
    def arrival_j(self) -> FloatArray:
        """Heat of rollout and taxi-in."""
        roll = Heat(power_w=self.roll_power_w).energy_j(self.roll_s)
        return roll + self.taxi_in_j

    def select(self, rows: np.ndarray) -> "Rows":
        """Take some of the rows, in the given order; rows may repeat."""
        return Rows(
            **{item.name: getattr(self, item.name)[rows] for item in fields(self)}
        )

    @classmethod
    def joined(cls, parts: "list[Rows]") -> "Rows":
        """Rows of several turnarounds of one brake type behind each other."""
        if not parts:
            raise ParameterError.of("rows", "at least one part", "none")
        return cls(
            **{
                item.name: np.concatenate([getattr(part, item.name) for part in parts])
                for item in fields(cls)
            }
        )

    @property
    def variation(self) -> Variation:
        """Wear and cooling factors for the integrator."""
        return Variation(
            stack_fraction=self.stack_fraction,
            radiation_factor=self.radiation_factor,
            joint_factor=self.joint_factor,
        )

    @property
    def are_brakes_set(self) -> bool:
        """Whether the parking brake is set at the stand."""
        if np.unique(self.brakes_set).size > 1:
            raise ParameterError.of("parking brake", "one setting in all rows", "two")
        return bool(self.brakes_set.any())

    def ambient_at_k(self, minute: FloatArray) -> FloatArray:
        """Air at the stand at a minute after in-block, shape (row,)."""
        hour = np.floor(np.asarray(minute) * MINUTE_S / SEGMENT_S).astype(np.intp)
        hour = np.clip(hour, 0, self.ambient_k.shape[1] - 1)
        return self.ambient_k[np.arange(self.count), hour]
