"""An aircraft as far as its brakes see it: weights, speeds, aerodynamics, wheels.

What enters and leaves is SI; the catalogue's TOML states its own units.
"""

from dataclasses import dataclass

from thermal.arrays import FloatLike, check_range
from thermal.errors import ParameterError

REFERENCE_DENSITY_KG_PER_M3 = 1.225

_RANGES: tuple[tuple[str, float, float, str], ...] = (
    ("brake_count", 2, 24, "brakes"),
    ("maximum_landing_kg", 2e3, 7e5, "kg"),
    ("wing_area_m2", 5, 1500, "m2"),
    ("drag_coefficient_ground", 0, 0.6, ""),
    ("lift_coefficient_ground", -0.5, 2, ""),
    ("rolling_fraction", 0, 0.06, ""),
    ("approach_speed_m_per_s", 30, 100, "m/s"),
    ("v1_m_per_s", 30, 110, "m/s"),
    ("touchdown_fraction", 0.8, 1.0, ""),
    ("engine_count", 1, 8, "engines"),
    ("idle_n", 0, 2e5, "N"),
    ("reverse_n", 0, 1e6, "N"),
    ("tyre_pressure_pa", 2e5, 2.5e6, "Pa"),
    ("default_deceleration_m_per_s2", 0.3, 5, "m/s2"),
    ("dry_friction", 0.1, 0.8, ""),
    ("rotating_mass_fraction", 0, 0.05, ""),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """Weights, speeds, aerodynamics, thrust and wheel layout of a type.

    Speeds are true air speeds at sea level in the ISA and scale with the square root
    of weight over density: the approach speed (without additive) belongs to the
    maximum landing weight, V1 to the maximum take-off weight. Thrusts are for all
    engines together, at sea level; ``reverse_n`` is at full reverse and touchdown
    speed, ``idle_n`` forward idle thrust at low speed. Coefficients refer to
    ``wing_area_m2`` in ground attitude with spoilers out. ``dry_friction`` is what the
    braked wheels give on a dry runway with working anti-skid, per weight on all
    wheels. ``rotating_mass_fraction`` is the inertia of wheels and brakes as a share of
    the aircraft's mass.
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
        for field, low, high, unit in _RANGES:
            check_range(field, getattr(self, field), low, high, unit)
        for level in self.automatic_decelerations_m_per_s2:
            check_range("automatic_decelerations_m_per_s2", level, 0.3, 5, "m/s2")
        if not (
            0
            < self.operating_empty_kg
            < self.maximum_landing_kg
            <= self.maximum_take_off_kg
        ):
            raise ParameterError.of(
                f"{self.name}: weights",
                "0 < operating empty < maximum landing <= maximum take-off",
                (
                    self.operating_empty_kg,
                    self.maximum_landing_kg,
                    self.maximum_take_off_kg,
                ),
            )

    @property
    def reference_touchdown_m_per_s(self) -> float:
        """Touchdown speed at sea level and maximum landing weight, calm."""
        return self.approach_speed_m_per_s * self.touchdown_fraction

    def check_weight(self, weight_kg: FloatLike) -> None:
        """Refuse weights far outside the type's, spread of draws allowed for.

        Raises
        ------
        ParameterError
            If any weight is below half the empty or 10 % above the take-off weight.
        """
        low, high = 0.5 * self.operating_empty_kg, 1.1 * self.maximum_take_off_kg
        check_range(f"{self.name}: weight_kg", weight_kg, low, high, "kg")
