"""One recorded cool-down of one brake: its landing, the air, readings over time."""

from dataclasses import dataclass

import numpy as np

from thermal.air import isa_pressure_pa
from thermal.arrays import FloatArray, check_range, frozen_array
from thermal.errors import ParameterError

ENERGY_SD_FRACTION = 0.03


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CoolDown:
    """Readings of one brake after one landing; time zero is the end of the stop.

    Attributes
    ----------
    energy_j : float
        Heat of this brake, with its uncertainty as a share (one standard deviation).
    fan_from_s, fan_to_s : float or None
        When a ground fan blew with ``fan_m_per_s`` through the stack.
    residual_k : float or None
        Discs at touchdown; as the air where not given.
    roll_s : float
        Length of the stop, in which the power falls linearly to nothing.
    time_s, indicated_k : array, shape (reading,)
        Rising instants and what the indicator showed.
    """

    name: str
    energy_j: float
    ambient_k: float
    time_s: FloatArray
    indicated_k: FloatArray
    energy_sd_fraction: float = ENERGY_SD_FRACTION
    pressure_pa: float = float(isa_pressure_pa(0.0))
    wind_m_per_s: float = 0.0
    fan_from_s: float | None = None
    fan_to_s: float | None = None
    fan_m_per_s: float = 8.0
    wear: float = 0.0
    brakes_set: bool = False
    residual_k: float | None = None
    roll_s: float = 30.0

    def __post_init__(self) -> None:
        """Refuse heat, air and times outside what is meant."""
        count = int(np.size(self.time_s))
        for name in ("time_s", "indicated_k"):
            values = frozen_array(f"{self.name}: {name}", getattr(self, name), (count,))
            object.__setattr__(self, name, values)
        check_range(f"{self.name}: energy_j", self.energy_j, 1e5, 5e8, "J")
        sd = self.energy_sd_fraction
        check_range(f"{self.name}: energy_sd_fraction", sd, 0.0, 0.5, "")
        check_range(f"{self.name}: ambient_k", self.ambient_k, 213.0, 333.0, "K")
        check_range(f"{self.name}: time_s", self.time_s, 0.0, 86400.0, "s")
        check_range(f"{self.name}: indicated_k", self.indicated_k, 213.0, 1500.0, "K")
        if not (count > 0 and (np.diff(self.time_s) > 0.0).all()):
            raise ParameterError.of(f"{self.name}: time_s", "rising instants", count)
        given = self.fan_from_s is not None, self.fan_to_s is not None
        begin, end = self.fan_from_s or 0.0, self.fan_to_s or 0.0
        if any(given) and not (all(given) and 0.0 <= begin < end):
            raise ParameterError.of(f"{self.name}: fan", "from before to", given)
