"""What the runway lets the brakes of an aircraft give at each speed.

In: the reported condition of the runway, the aircraft's friction on a dry one, its tyre
pressure, and which brakes and anti-skid serve. Out: brake force per load on all wheels.

- Dry: what was shown in certification; a stop margin counts code 6, 90 % of it.
- Wet and codes 5 to 1: `thermal.friction`, times the share of the load that rests on
  the braked wheels, never more than code 6.
- Code 0 is no runway to land on; if one rolls there all the same, half of code 1.
- Faster than the curves of the regulation reach (180 kt) friction falls as one over
  speed; tyre pressures outside them count as the nearest curve.
- Anti-skid inoperative: half of all that, since wheels must not lock (engineering
  estimate).
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.friction import (
    PSI_PA,
    AntiSkid,
    RunwayCondition,
    condition_code_friction,
    deep_water_speed_m_per_s,
    wet_friction,
)
from thermal.units import KNOT_M_PER_S

# Load on the main wheels against all wheels: engineering estimate.
BRAKED_LOAD_SHARE = 0.9
WITHOUT_ANTI_SKID = 0.5
_FASTEST_M_PER_S = 180.0 * KNOT_M_PER_S
_LOWEST_PA, _HIGHEST_PA = 50.0 * PSI_PA, 300.0 * PSI_PA


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A runway under an aircraft.

    Attributes
    ----------
    dry_friction : float
        As `thermal.aircraft.Aircraft` has it.
    serviceable_fraction : float
        Share of the brakes that serve.
    """

    condition: RunwayCondition
    dry_friction: float
    tyre_pressure_pa: float
    anti_skid: AntiSkid = AntiSkid.FULLY_MODULATING
    anti_skid_serves: bool = True
    serviceable_fraction: float = 1.0

    def __post_init__(self) -> None:
        """Refuse friction and shares that no aircraft has."""
        check_range("dry_friction", self.dry_friction, 0.1, 0.8, "")
        check_range("tyre_pressure_pa", self.tyre_pressure_pa, 2e5, 2.5e6, "Pa")
        check_range("serviceable_fraction", self.serviceable_fraction, 0.0, 1.0, "")

    @property
    def bends_m_per_s(self) -> tuple[float, ...]:
        """Ground speeds at which friction jumps or bends."""
        if self.condition.is_dry:
            return ()
        if self.condition.code != 2:
            return (_FASTEST_M_PER_S,)
        return (_FASTEST_M_PER_S, float(deep_water_speed_m_per_s(self._pressure_pa)))

    @property
    def _pressure_pa(self) -> float:
        """Tyre pressure within the curves."""
        return float(np.clip(self.tyre_pressure_pa, _LOWEST_PA, _HIGHEST_PA))

    def friction(self, ground_speed_m_per_s: FloatLike) -> FloatArray:
        """Greatest brake force per load on all wheels, anti-skid in it.

        Parameters
        ----------
        ground_speed_m_per_s : float or array, shape (...)
            Not negative.

        Returns
        -------
        friction : array, shape (...)
        """
        speed = np.asarray(ground_speed_m_per_s, dtype=np.float64)
        share = self.serviceable_fraction
        share *= 1.0 if self.anti_skid_serves else WITHOUT_ANTI_SKID
        if self.condition is RunwayCondition.DRY:
            return np.full(speed.shape, share * self.dry_friction)
        dry = np.full(speed.shape, self.dry_friction)
        good = condition_code_friction(6, _LOWEST_PA, 0.0, dry)
        if self.condition.is_dry:
            return share * good
        within = np.clip(speed, 0.0, _FASTEST_M_PER_S)
        found = BRAKED_LOAD_SHARE * self._wheels(within)
        found = np.minimum(found, good)
        fading = within / np.maximum(speed, 1e-9)
        return np.asarray(share * found * np.where(speed > within, fading, 1.0))

    def _wheels(self, speed: FloatArray) -> FloatArray:
        """Friction of the braked wheels on a runway that is not dry."""
        pressure, code = self._pressure_pa, self.condition.code
        if code == 5:
            return wet_friction(pressure, speed, self.anti_skid)
        if code == 0:
            return 0.5 * condition_code_friction(1, pressure, speed, self.dry_friction)
        return condition_code_friction(code, pressure, speed, self.dry_friction)
