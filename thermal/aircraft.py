"""An aircraft as far as its brakes see it: weights, speeds, aerodynamics, wheels.

What enters and leaves is SI; the catalogue's TOML states its own units.
"""

from dataclasses import dataclass

from thermal.arrays import check_range
from thermal.errors import ParameterError


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """Weights, speeds, aerodynamics, thrust and wheel layout of a type.

    Speeds are true air speeds at sea level in the ISA at the reference weight and
    scale with the square root of weight over density. Thrusts are for all engines
    together, at sea level; ``reverse_n`` is at full reverse and touchdown speed,
    ``idle_n`` forward idle thrust at low speed. Coefficients refer to ``wing_area_m2``
    in ground attitude with spoilers out.
    """

    name: str
    brake: str
    brake_count: int
    maximum_take_off_kg: float
    maximum_landing_kg: float
    operating_empty_kg: float
    wing_area_m2: float
    drag_coefficient_ground: float
    lift_coefficient_ground: float
    rolling_fraction: float
    approach_speed_m_per_s: float
    v1_m_per_s: float
    touchdown_fraction: float
    engine_count: int
    idle_n: float
    reverse_n: float
    tyre_pressure_pa: float
    automatic_decelerations_m_per_s2: tuple[float, ...]
    default_deceleration_m_per_s2: float
    dry_friction: float
    rotating_mass_fraction: float = 0.01

    def __post_init__(self) -> None:
        """Refuse values that no transport aircraft has."""
        check_range("brake_count", self.brake_count, 2, 24, "brakes")
        check_range("maximum_landing_kg", self.maximum_landing_kg, 2e3, 7e5, "kg")
        check_range("approach_speed_m_per_s", self.approach_speed_m_per_s, 30, 100, "")
        check_range("v1_m_per_s", self.v1_m_per_s, 30, 110, "m/s")
        check_range("touchdown_fraction", self.touchdown_fraction, 0.8, 1.0, "")
        check_range("dry_friction", self.dry_friction, 0.1, 0.8, "")
        if not (
            self.operating_empty_kg
            < self.maximum_landing_kg
            <= self.maximum_take_off_kg
        ):
            raise ParameterError.of(
                f"{self.name}: weights",
                "operating empty < maximum landing <= maximum take-off",
                (
                    self.operating_empty_kg,
                    self.maximum_landing_kg,
                    self.maximum_take_off_kg,
                ),
            )
