"""The landing of every sample: rollout to the exit, then taxi-in, as brake heat.

Enters: the day, a turnaround, its draws, a `Technique` where it is landed otherwise.
Leaves: `Arrival`, heat of all brakes together. Where the exit is too near for the
deceleration, the aircraft brakes harder.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases.inputs import Inputs
from scheduler.cases.station_air import (
    headwind_m_per_s,
    station_density_kg_per_m3,
    weather_at,
)
from scheduler.day import Day, Reverse, Runway, Turnaround, WeatherRow
from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray
from thermal.rollout import LandingRoll, deceleration_to_exit_m_per_s2, roll_out
from thermal.rollout_heat import RolloutHeat
from thermal.speeds import default_touchdown_speed_m_per_s
from thermal.surface import Surface
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.units import KNOT_M_PER_S, MINUTE_S, STANDARD_GRAVITY_M_PER_S2

ROLL_END_M_PER_S = 8.0
HARDEST_FRACTION = 0.9
# From touchdown to spoilers out, as long as to brakes on: engineering estimate.
SPOILER_DELAY_S = 1.0
PEDALS_FROM_THE_START_M_PER_S = 150.0
_REVERSE = {Reverse.NONE: 0.0, Reverse.IDLE: 0.25, Reverse.FULL: 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """What a crew does otherwise than the turnaround says; nothing by default.

    Attributes
    ----------
    additive_kt : float or None
        On the approach speed, where the touchdown speed is not given.
    faster_m_per_s, longer_m : float
        On top of the touchdown speed and of the touchdown point.
    automatic_off_m_per_s : float
        Ground speed at which automatic braking is dropped for pedals; 0 holds it.
    riding_fraction : float or None
        Share of idle thrust held on the brakes while taxiing in.
    hold_level : bool
        Hold the deceleration even where it misses the exit.
    """

    additive_kt: float | None = None
    faster_m_per_s: float = 0.0
    longer_m: float = 0.0
    automatic_off_m_per_s: float = 0.0
    riding_fraction: float | None = None
    hold_level: bool = False


AS_PLANNED = Technique()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Roll:
    """A landing roll, the runway under it, and the touchdown point, (sample, 1)."""

    aircraft: Aircraft
    roll: LandingRoll
    surface: Surface
    touchdown_m: FloatArray

    @property
    def heat(self) -> RolloutHeat:
        """Roll it out."""
        return roll_out(self.aircraft, self.roll, self.surface)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Arrival:
    """Rollout of all brakes together, and taxi-in; arrays of shape (sample, 1)."""

    roll_s: FloatArray
    power_w: FloatArray
    taxi_in_s: FloatArray | float
    taxi_in_j: FloatArray
    weight_kg: FloatArray


def landing_heat(
    day: Day,
    turnaround: Turnaround,
    inputs: Inputs,
    serviceable: float,
    technique: Technique = AS_PLANNED,
) -> Arrival:
    """Rollout and taxi-in of every sample."""
    planned = landing_roll(day, turnaround, inputs, serviceable, technique)
    return arrival_of(day, turnaround, inputs, planned, planned.heat, technique)


def arrival_of(
    day: Day,
    turnaround: Turnaround,
    inputs: Inputs,
    planned: Roll,
    heat: RolloutHeat,
    technique: Technique = AS_PLANNED,
) -> Arrival:
    """Add the taxi-in to a rollout."""
    weight = np.asarray(planned.roll.weight_kg, dtype=np.float64)
    riding = technique.riding_fraction
    taxi = taxi_heat(
        planned.aircraft,
        TaxiLeg(
            weight_kg=weight,
            duration_s=MINUTE_S * max(day.taxi_in_minutes(turnaround), 2),
            stop_count=_stops(turnaround, inputs),
            riding_fraction=inputs.drawn("riding_fraction")
            if riding is None
            else riding,
        ),
    )
    taxi_in_j = taxi.energy_j.reshape(-1, 1) + _off_the_runway_j(planned)
    return Arrival(
        roll_s=(heat.time_s[..., -1] - heat.time_s[..., 0]).reshape(-1, 1),
        power_w=heat.power_w.reshape(-1, heat.time_s.shape[-1]),
        taxi_in_s=MINUTE_S * day.taxi_in_minutes(turnaround),
        taxi_in_j=taxi_in_j,
        weight_kg=weight,
    )


def _off_the_runway_j(planned: Roll) -> FloatArray:
    """Heat of slowing from the speed at the exit to taxi speed, shape (sample, 1).

    Idle thrust against drag and rolling resistance over that short way is left out.
    """
    roll, rotating = planned.roll, planned.aircraft.rotating_mass_fraction
    at_exit = np.asarray(roll.exit_speed_m_per_s, dtype=np.float64)
    lost = np.maximum(at_exit**2 - ROLL_END_M_PER_S**2, 0.0)
    return np.asarray(0.5 * (1.0 + rotating) * np.asarray(roll.weight_kg) * lost)


def landing_roll(
    day: Day,
    turnaround: Turnaround,
    inputs: Inputs,
    serviceable: float,
    technique: Technique = AS_PLANNED,
) -> Roll:
    """Landing roll of every sample, on the runway as reported."""
    aircraft, landing = day.aircraft_of(turnaround), turnaround.landing
    runway, taxi_in = day.runway_of(turnaround), day.taxi_in_minutes(turnaround)
    row = weather_at(day, turnaround.in_block_minute - taxi_in)
    headwind, density = headwind_m_per_s(row, runway), station_density_kg_per_m3(row)
    if landing.weight_kg is None:
        scale = aircraft.maximum_landing_kg
        weight = scale * inputs.missing("landing weight", "landing_weight_fraction")
    else:
        weight = landing.weight_kg * inputs.drawn("landing_weight_factor")
    if landing.touchdown_speed_m_per_s is None:
        additive = _additive_kt(inputs, technique)
        speed = default_touchdown_speed_m_per_s(
            aircraft, weight, density, headwind, _gust(row), additive * KNOT_M_PER_S
        )
    else:
        speed = landing.touchdown_speed_m_per_s * inputs.drawn("touchdown_speed_factor")
    touchdown = _touchdown_m(turnaround, inputs) + technique.longer_m
    roll = LandingRoll(
        weight_kg=weight,
        touchdown_speed_m_per_s=speed + technique.faster_m_per_s,
        density_kg_per_m3=density,
        deceleration_m_per_s2=_deceleration(turnaround, inputs),
        friction_fraction=aircraft.dry_friction * serviceable,
        headwind_m_per_s=headwind,
        slope_fraction=runway.slope_fraction,
        reverse_fraction=_reverse(day, turnaround, inputs),
        spoiler_delay_s=SPOILER_DELAY_S,
        automatic_off_m_per_s=_automatic_off(day, turnaround, technique),
        **_exit(runway, turnaround, touchdown, inputs),
    )
    return Roll(
        aircraft=aircraft,
        roll=roll if technique.hold_level else _make_exit(aircraft, roll),
        surface=_surface(day, turnaround, serviceable),
        touchdown_m=touchdown,
    )


def _gust(row: WeatherRow) -> float:
    """Gust above the mean wind, as much as an approach is flown in."""
    return min(row.gust_m_per_s, 40.0)


def _surface(day: Day, turnaround: Turnaround, serviceable: float) -> Surface:
    """Runway as reported, under an aircraft with its defects."""
    aircraft = day.aircraft_of(turnaround)
    return Surface(
        condition=day.runway_of(turnaround).condition,
        dry_friction=aircraft.dry_friction,
        tyre_pressure_pa=aircraft.tyre_pressure_pa,
        anti_skid_serves=not day.tail_of(turnaround).anti_skid_inoperative,
        serviceable_fraction=serviceable,
    )


def _additive_kt(inputs: Inputs, technique: Technique) -> FloatArray:
    if technique.additive_kt is None:
        return inputs.missing("touchdown speed additive", "additive_kt")
    return np.full_like(inputs.drawn("additive_kt"), technique.additive_kt)


def _automatic_off(day: Day, turnaround: Turnaround, technique: Technique) -> float:
    """Speed at which pedals take over; from the start where there is nothing else."""
    if day.tail_of(turnaround).automatic_braking_inoperative:
        return PEDALS_FROM_THE_START_M_PER_S
    return technique.automatic_off_m_per_s


def _deceleration(turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    given = turnaround.landing.deceleration_m_per_s2
    if given is None:
        return inputs.missing("deceleration", "deceleration_m_per_s2")
    return given * inputs.drawn("deceleration_factor")


def _reverse(day: Day, turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    """Share of full reverse; an inoperative reverser takes its part away."""
    given = turnaround.landing.reverse
    if given is None:
        used = inputs.missing("reverse thrust", "reverse_unknown")
    else:
        used = _REVERSE[given] * inputs.drawn("reverse_given")
    if day.tail_of(turnaround).reverser_inoperative:
        engines = day.aircraft_of(turnaround).engine_count
        used = used * (engines - 1) / engines
    return used


def _touchdown_m(turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    """Touchdown point from the threshold; without an exit no heat depends on it."""
    landing = turnaround.landing
    if landing.touchdown_m is not None:
        return np.full_like(inputs.drawn("touchdown_m"), landing.touchdown_m)
    if landing.exit is None:
        return inputs.drawn("touchdown_m")
    return inputs.missing("touchdown point", "touchdown_m")


def _exit(
    runway: Runway, turnaround: Turnaround, touchdown_m: FloatArray, inputs: Inputs
) -> dict[str, FloatArray | float]:
    """Exit from touchdown on; none where it is not given."""
    landing = turnaround.landing
    if landing.exit is None:
        inputs.assumed.append("runway exit: slowing to taxi speed wherever that is")
        return {"exit_speed_m_per_s": ROLL_END_M_PER_S}
    point = next(item for item in runway.exits if item.name == landing.exit)
    return {
        "exit_distance_m": np.maximum(point.distance_m - touchdown_m, 150.0),
        "exit_speed_m_per_s": max(point.speed_m_per_s, 2.0),
    }


def _make_exit(aircraft: Aircraft, roll: LandingRoll) -> LandingRoll:
    """Brake as much harder as the exit needs, up to what the runway gives."""
    needed = deceleration_to_exit_m_per_s2(aircraft, roll).reshape(-1, 1)
    hardest = (
        HARDEST_FRACTION
        * np.asarray(roll.friction_fraction)
        * STANDARD_GRAVITY_M_PER_S2
    )
    held = np.maximum(roll.deceleration_m_per_s2, np.minimum(needed, hardest))
    return replace(roll, deceleration_m_per_s2=held)


def _stops(turnaround: Turnaround, inputs: Inputs) -> FloatArray:
    given = turnaround.landing.taxi_stops
    if given is None:
        return np.round(inputs.missing("stops taxiing in", "taxi_in_stops"))
    return np.full_like(inputs.drawn("taxi_in_stops"), given)
