"""One brake and its wheel: dimensions → masses, areas and limits.

Enters: dimensions in SI from the catalogue. Leaves: a checked `Brake` with the
derived masses and areas the network is built from. A stack has ``rotor_count``
rotors and one stator more, the two end stators being thinner: they take heat on one
face only. Wear thins every disc in proportion.
"""

from dataclasses import dataclass, fields
from itertools import pairwise
from math import pi

import numpy as np

from thermal.arrays import FloatArray, check_range
from thermal.errors import ParameterError
from thermal.materials import material


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the brake's own data allow; None where the data give no figure.

    ``stack_j_per_kg`` is the mean enthalpy of the stack above 20 °C that it may hold
    at the end of an accelerate-stop, set from a stack at ``stack_initial_k``;
    ``disc_k`` the hottest disc at that moment. ``wheel_well_k`` is the hottest disc
    that may be retracted, ``indicated_k`` the highest indication for take-off.
    """

    stack_j_per_kg: float
    stack_initial_k: float
    disc_k: float
    wheel_well_k: float
    indicated_k: float
    indicated_valid_after_s: float
    fan_invalid_s: float
    housing_k: float | None = None
    bead_k: float | None = None
    wheel_k: float | None = None
    inspect_above_k: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FusePlug:
    """Release temperature with its spread, the margin kept, and the plug's own lag."""

    release_k: float
    release_sd_k: float
    margin_k: float
    mass_kg: float
    lag_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """The indicator: probe lag, display lag and step, and what the probe touches.

    The weights say how much of the probe's coupling goes to the end stator, the
    torque tube and the piston housing; they sum to one.
    """

    lag_s: float
    display_lag_s: float
    display_step_k: float
    end_stator_fraction: float
    tube_fraction: float
    housing_fraction: float
    mass_kg: float = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Brake:
    """Dimensions and limits of one brake with its wheel (SI, kelvin).

    ``onboard_fan_m_per_s`` is the air that a fan of the aircraft's own drives through
    the stack; None where there is none.
    """

    name: str
    stack_material: str
    rotor_count: int
    friction_inner_radius_m: float
    friction_outer_radius_m: float
    rotor_outer_radius_m: float
    stator_inner_radius_m: float
    rotor_thickness_m: float
    stator_thickness_m: float
    end_thickness_m: float
    worn_fraction: float
    clearance_m: float
    contact_w_per_m2_k: float
    joint_w_per_m2_k: float
    key_area_m2: float
    spline_area_m2: float
    piston_area_m2: float
    tube_material: str
    tube_outer_radius_m: float
    tube_wall_m: float
    tube_length_factor: float
    housing_mass_kg: float
    housing_area_m2: float
    shield_radius_m: float
    shield_thickness_m: float
    shield_emissivity: float
    rim_radius_m: float
    rim_width_m: float
    wheel_inboard_kg: float
    wheel_outboard_kg: float
    wheel_emissivity: float
    joint_area_m2: float
    bearing_area_m2: float
    axle_radius_m: float
    axle_wall_m: float
    axle_length_m: float
    bead_mass_kg: float
    bead_thickness_m: float
    vent_fraction: float
    fan_reach: float
    open_fraction: float
    plug: FusePlug
    probe: Probe
    limits: Limits
    onboard_fan_m_per_s: float | None = None

    def __post_init__(self) -> None:
        """Refuse dimensions that do not fit into each other."""
        for item in fields(self):
            value = getattr(self, item.name)
            if isinstance(value, float) and not value > 0:
                raise ParameterError.of(f"{self.name}: {item.name}", "> 0", value)
        check_range("rotor_count", self.rotor_count, 2, 9, "rotors")
        check_range("worn_fraction", self.worn_fraction, 0.4, 1.0, "")
        radii = (
            self.axle_radius_m,
            self.tube_outer_radius_m,
            self.stator_inner_radius_m,
            self.friction_inner_radius_m,
            self.friction_outer_radius_m,
            self.rotor_outer_radius_m,
            self.shield_radius_m,
            self.rim_radius_m,
        )
        if not all(a <= b for a, b in pairwise(radii)):
            raise ParameterError.of(
                f"{self.name}: radii",
                "axle <= tube <= stator <= friction <= rotor <= shield <= rim",
                radii,
            )
        weights = (
            self.probe.end_stator_fraction
            + self.probe.tube_fraction
            + self.probe.housing_fraction
        )
        if not abs(weights - 1.0) < 1e-9:
            raise ParameterError.of(f"{self.name}: probe weights", "sum 1", weights)

    @property
    def disc_count(self) -> int:
        """Rotors and stators together."""
        return 2 * self.rotor_count + 1

    @property
    def friction_area_m2(self) -> float:
        """Swept area of one friction face."""
        return pi * (self.friction_outer_radius_m**2 - self.friction_inner_radius_m**2)

    @property
    def disc_thickness_m(self) -> FloatArray:
        """Thickness of each new disc from the piston side, shape (disc,)."""
        thickness = np.empty(self.disc_count)
        thickness[0::2] = self.stator_thickness_m
        thickness[1::2] = self.rotor_thickness_m
        thickness[[0, -1]] = self.end_thickness_m
        return thickness

    @property
    def disc_mass_kg(self) -> FloatArray:
        """Mass of each new disc, shape (disc,)."""
        area = np.empty(self.disc_count)
        area[0::2] = self.friction_outer_radius_m**2 - self.stator_inner_radius_m**2
        area[1::2] = self.rotor_outer_radius_m**2 - self.friction_inner_radius_m**2
        density = material(self.stack_material).density_kg_per_m3
        return density * pi * area * self.disc_thickness_m

    @property
    def stack_mass_kg(self) -> float:
        """Mass of the new stack."""
        return float(self.disc_mass_kg.sum())

    @property
    def stack_length_m(self) -> float:
        """Length of the new stack with its clearances."""
        gaps = 2 * self.rotor_count * self.clearance_m
        return float(self.disc_thickness_m.sum()) + gaps

    @property
    def tube_length_m(self) -> float:
        """Length of the torque tube, foot included."""
        return self.stack_length_m * self.tube_length_factor

    @property
    def tube_mass_kg(self) -> float:
        """Mass of the torque tube."""
        return _tube_mass_kg(
            self.tube_material,
            self.tube_outer_radius_m,
            self.tube_wall_m,
            self.tube_length_m,
        )

    @property
    def axle_mass_kg(self) -> float:
        """Mass of the axle stub that takes part."""
        return _tube_mass_kg(
            "steel", self.axle_radius_m, self.axle_wall_m, self.axle_length_m
        )

    @property
    def shield_mass_kg(self) -> float:
        """Mass of the heat shield."""
        volume = (
            2 * pi * self.shield_radius_m * self.rim_width_m * self.shield_thickness_m
        )
        return material("stainless").density_kg_per_m3 * volume

    def stack_fraction(self, wear: FloatArray | float) -> FloatArray:
        """Share of the new stack mass left at ``wear`` 0 (new) … 1 (fully worn)."""
        worn = np.asarray(wear, dtype=np.float64)
        check_range("wear", worn, 0.0, 1.0, "")
        return 1.0 - (1.0 - self.worn_fraction) * worn


def _tube_mass_kg(name: str, outer_m: float, wall_m: float, length_m: float) -> float:
    section = pi * (outer_m**2 - (outer_m - wall_m) ** 2)
    return material(name).density_kg_per_m3 * section * length_m
