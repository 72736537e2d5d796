"""Forces that slow a rolling aircraft, or push it on.

In: an aircraft, its weight, wind, air density, slope, the deceleration held, the
friction available and a ground speed (SI). Out: retarding forces in newtons.

- Retarding forces count positive; forward thrust is a negative retarding force.
- The brakes give only what drag, rolling and reverse thrust leave of the deceleration
  held: never less than nothing, never more than the friction ceiling. Should even the
  ceiling leave less than `LEAST_DECELERATION_M_PER_S2`, the brakes count as if they
  gave the rest (heat on the hot side), and the sample is marked as beyond its friction.
- Slower than the speed at which automatic braking is dropped the brakes give a set
  force instead, as a set pedal pressure does, and more only where that would not slow
  the aircraft.
- Until the spoilers are out the wings carry more and the drag is less.
- Thin air costs reverse thrust but no idle thrust; cold air adds to idle thrust only.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from thermal.aircraft import REFERENCE_DENSITY_KG_PER_M3, Aircraft
from thermal.arrays import FloatArray, FloatLike
from thermal.surface import Surface
from thermal.units import STANDARD_GRAVITY_M_PER_S2

BoolArray = npt.NDArray[np.bool_]
IntArray = npt.NDArray[np.int_]

BRAKE, DRAG, REVERSE, ROLLING, SLOPE, THRUST = range(6)
LEAST_DECELERATION_M_PER_S2 = 0.1
# Reverse thrust fades with air speed, to this share at rest: engineering estimate.
REVERSE_SHARE_AT_REST = 0.5
# With the spoilers still in: further lift, and the share of drag that is there.
# Engineering estimates.
SPOILERS_IN_LIFT = 0.5
SPOILERS_IN_DRAG_SHARE = 0.7


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Asked:
    """Brake force given, what friction allows, and which of the laws set it."""

    given_n: FloatArray
    ceiling_n: FloatArray
    law: IntArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """What acts on one batch of rolling aircraft; every array has shape (batch, 1).

    Brakes give the force ``pedal_n`` below ``automatic_off_m_per_s``. ``spoilers_out``
    is 0 before and 1 after they come out. A surface lowers ``friction_fraction`` to
    what the runway gives at a speed.
    """

    aircraft: Aircraft
    weight_kg: FloatArray
    headwind_m_per_s: FloatArray
    density_kg_per_m3: FloatArray
    slope_fraction: FloatArray
    deceleration_m_per_s2: FloatArray
    friction_fraction: FloatArray
    reverse_fraction: FloatArray
    idle_fraction: FloatArray
    automatic_off_m_per_s: FloatLike = 0.0
    pedal_n: FloatLike = 0.0
    spoilers_out: FloatLike = 1.0
    surface: Surface | None = None

    @property
    def inertia_kg(self) -> FloatArray:
        """Mass that resists slowing down, wheels' rotation included."""
        return self.weight_kg * (1.0 + self.aircraft.rotating_mass_fraction)

    def picked(self, rows: np.ndarray, shape: tuple[int, ...]) -> "Ground":
        """Pick samples of a batch, counted through its shape, as a batch (row, 1)."""
        arrays = {
            field.name: np.broadcast_to(getattr(self, field.name), (*shape, 1))
            for field in fields(self)
            if field.name not in {"aircraft", "surface"}
        }
        return replace(
            self, **{name: one.reshape(-1, 1)[rows] for name, one in arrays.items()}
        )

    def forces_n(
        self, speed_m_per_s: FloatArray, brakes: FloatLike, reverse: FloatLike
    ) -> tuple[FloatArray, BoolArray]:
        """Retarding forces (6, batch, node), and where friction is not enough.

        ``brakes`` and ``reverse`` say where brakes and reverse thrust are on (0 or 1).
        """
        forces, load_n = self._others_n(speed_m_per_s, reverse)
        asked = self._asked_n(speed_m_per_s, forces[DRAG:].sum(axis=0), load_n)
        forces[BRAKE] = np.asarray(brakes) * asked.given_n
        return forces, (forces[BRAKE] > asked.ceiling_n).any(axis=-1)

    def braked(
        self, speed_m_per_s: FloatArray, reverse: FloatLike
    ) -> tuple[FloatArray, BoolArray, IntArray]:
        """Give the forces with brakes on as `forces_n`, and what governs them.

        Third value: a number that differs, shape (batch, node), where another law sets
        the forces, so that they bend somewhere between two speeds.
        """
        forces, load_n = self._others_n(speed_m_per_s, reverse)
        asked = self._asked_n(speed_m_per_s, forces[DRAG:].sum(axis=0), load_n)
        forces[BRAKE] = asked.given_n
        law = asked.law + 8 * (load_n > 0.0)
        if np.any(reverse):
            air = speed_m_per_s + self.headwind_m_per_s
            law += 16 * (air < self.aircraft.reference_touchdown_m_per_s)
        for bend in () if self.surface is None else self.surface.bends_m_per_s:
            law += 32 * (speed_m_per_s < bend)
        return forces, (forces[BRAKE] > asked.ceiling_n).any(axis=-1), law

    def _others_n(
        self, speed_m_per_s: FloatArray, reverse: FloatLike
    ) -> tuple[FloatArray, FloatArray]:
        """Give the forces but for the brakes, and the load on the wheels."""
        plane, on = self.aircraft, np.asarray(reverse) * (self.reverse_fraction > 0)
        air = speed_m_per_s + self.headwind_m_per_s
        pressure_n = 0.5 * self.density_kg_per_m3 * plane.wing_area_m2 * air**2
        weight_n = self.weight_kg * STANDARD_GRAVITY_M_PER_S2
        inside = 1.0 - np.asarray(self.spoilers_out)
        lift = plane.lift_coefficient_ground + SPOILERS_IN_LIFT * inside
        load_n = np.maximum(weight_n - lift * pressure_n, 0.0)
        drag_share = 1.0 - (1.0 - SPOILERS_IN_DRAG_SHARE) * inside
        forces = np.empty((6, *np.broadcast_shapes(air.shape, self.weight_kg.shape)))
        drag = plane.drag_coefficient_ground * drag_share
        forces[DRAG] = drag * np.copysign(pressure_n, air)
        forces[REVERSE] = on * self._reverse_n(air) if np.any(on) else 0.0
        forces[ROLLING] = plane.rolling_fraction * load_n
        forces[SLOPE] = weight_n * self.slope_fraction
        forces[THRUST] = -(1 - on) * self._idle_n()
        return forces, load_n

    def _asked_n(
        self, speed_m_per_s: FloatArray, others_n: FloatArray, load_n: FloatArray
    ) -> "_Asked":
        """Brake force beside the other forces."""
        ceiling = self._friction(speed_m_per_s) * load_n
        wanted = np.where(
            speed_m_per_s < np.asarray(self.automatic_off_m_per_s),
            self.pedal_n,
            self.inertia_kg * self.deceleration_m_per_s2 - others_n,
        )
        least = self.inertia_kg * LEAST_DECELERATION_M_PER_S2 - others_n
        most = np.maximum(ceiling, least)
        held = np.maximum(np.minimum(wanted, most), least)
        law = 1 * (held > 0.0) + 2 * (wanted > most) + 4 * (held <= least)
        return _Asked(given_n=np.maximum(held, 0.0), ceiling_n=ceiling, law=law)

    def _friction(self, speed_m_per_s: FloatArray) -> FloatArray:
        """Brake force per load on all wheels that can be had at a speed."""
        if self.surface is None:
            return self.friction_fraction
        return np.minimum(self.friction_fraction, self.surface.friction(speed_m_per_s))

    def _reverse_n(self, air_speed_m_per_s: FloatArray) -> FloatArray:
        """Reverse thrust: fades with air speed, no credit for cold dense air."""
        reference = self.aircraft.reference_touchdown_m_per_s
        fade = np.clip(air_speed_m_per_s / reference, 0.0, 1.0)
        share = REVERSE_SHARE_AT_REST + (1.0 - REVERSE_SHARE_AT_REST) * fade
        thin = np.minimum(self.density_kg_per_m3 / REFERENCE_DENSITY_KG_PER_M3, 1.0)
        return self.reverse_fraction * self.aircraft.reverse_n * share * thin

    def _idle_n(self) -> FloatArray:
        """Forward idle thrust: no credit for thin air, none for speed."""
        dense = np.maximum(self.density_kg_per_m3 / REFERENCE_DENSITY_KG_PER_M3, 1.0)
        return self.idle_fraction * self.aircraft.idle_n * dense
