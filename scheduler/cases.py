"""A turnaround and its draws → rows for the heat: landing, stand, take-off.

Enters: the day and one turnaround. Leaves: a `Case` with one row per sample and
brake. What is not given is drawn from its range and named in ``assumed``; wear that
is not given counts as fully worn. The same draws come back from the same seed.
"""

from dataclasses import dataclass, replace
from functools import cache
from zlib import crc32

import numpy as np

from scheduler.day import Day, Reverse, Runway, Turnaround, WeatherRow
from thermal.accelerate_stop import RejectedTakeOff, accelerate_stop
from thermal.air import density_kg_per_m3
from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.catalogue import load_brake, load_ranges
from thermal.draws import Draws, central_draws, draw
from thermal.network import Network, build_network
from thermal.rollout import LandingRoll, deceleration_to_exit_m_per_s2, roll_out
from thermal.shares import share_of_brakes
from thermal.speeds import default_touchdown_speed_m_per_s, default_v1_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.turnaround import Rows
from thermal.units import KNOT_M_PER_S, MINUTE_S, STANDARD_GRAVITY_M_PER_S2

HEIGHT_FRACTION = 0.5
WIND_CAP_M_PER_S = 5.0
ROLL_END_M_PER_S = 8.0
HARDEST_FRACTION = 0.9
_REVERSE = {Reverse.NONE: 0.0, Reverse.IDLE: 0.25, Reverse.FULL: 1.0}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One turnaround's heat inputs.

    Attributes
    ----------
    rows : Rows
        One per sample and brake, sample-major.
    release_k : array, shape (sample, brake)
        Temperature at which each plug lets go.
    energy_j : array, shape (sample, brake)
        Heat of rollout and taxi-in.
    drawn : tuple of (name, array of shape (sample,))
        The draws of what was not given.
    """

    turnaround: Turnaround
    aircraft: Aircraft
    brake: Brake
    positions: tuple[str, ...]
    rows: Rows
    release_k: FloatArray
    energy_j: FloatArray
    assumed: tuple[str, ...]
    drawn: tuple[tuple[str, FloatArray], ...]

    @property
    def shape(self) -> tuple[int, int]:
        """Samples and brakes."""
        return int(self.energy_j.shape[0]), int(self.energy_j.shape[1])

    def row_of(self, sample: int, position: str) -> int:
        """Row of a sample and a brake position."""
        return sample * len(self.positions) + self.positions.index(position)


@cache
def network_of(brake: str) -> Network:
    """Network of a catalogue brake, built once."""
    return build_network(load_brake(brake))


class _Inputs:
    """Draws of one turnaround, and what had to be assumed on the way."""

    def __init__(self, draws: Draws) -> None:
        self._draws = draws
        self._ranges = {item.name: item for item in load_ranges()}
        self.assumed: list[str] = []
        self.missed: list[tuple[str, FloatArray]] = []

    def drawn(self, name: str) -> FloatArray:
        """One draw per sample from the named range, shape (sample, 1)."""
        item = self._ranges[name]
        return self._draws.between(name, item.low, item.high)[:, None]

    def per_brake(self, name: str) -> FloatArray:
        """One draw per sample and brake, shape (sample, brake)."""
        item = self._ranges[name]
        return self._draws.between_per_brake(name, item.low, item.high)

    def missing(self, what: str, name: str) -> FloatArray:
        """Draw an input that was not given and say so, shape (sample, 1)."""
        item = self._ranges[name]
        unit = "" if item.unit == "1" else item.unit
        self.assumed.append(f"{what}: {item.low:g} to {item.high:g} {unit}".rstrip())
        values = self.drawn(name)
        self.missed.append((what, values[:, 0]))
        return values


def build_case(
    day: Day,
    turnaround: Turnaround,
    *,
    sample_count: int,
    seed: int,
    case: int = 0,
    central: bool = False,
) -> Case:
    """Sample one turnaround; with ``central``, one sample in the middle of all ranges.

    Parameters
    ----------
    sample_count : int
        A power of two.
    seed : int
        Of the plan; each turnaround draws from its own stream.
    case : int
        Number written into the rows, to find them again in a joint batch.
    """
    aircraft, tail = day.aircraft_of(turnaround), day.tail_of(turnaround)
    brake = load_brake(aircraft.brake)
    ranges = load_ranges()
    make = central_draws if central else draw
    draws = make(
        sample_count,
        (seed, crc32(turnaround.id.encode())),
        tuple(item.name for item in ranges if not item.per_brake),
        tuple(item.name for item in ranges if item.per_brake),
        len(tail.positions),
    )
    inputs = _Inputs(draws)
    serviceable = np.array([name not in tail.inoperative for name in tail.positions])
    share = share_of_brakes(
        len(tail.positions), serviceable, inputs.per_brake("share_factor")
    )
    worn = np.array([1.0 if value is None else value for value in tail.wear])
    if None in tail.wear:
        inputs.assumed.append("brake wear: fully worn where it is not given")
    arrival = _landing(day, turnaround, inputs, float(serviceable.mean()))
    rows = _rows(day, turnaround, inputs, share, brake.stack_fraction(worn), arrival)
    rows = replace(rows, case=np.full(rows.count, case))
    release_k = brake.plug.release_k + brake.plug.release_sd_k * inputs.per_brake(
        "release_normal"
    )
    return Case(
        turnaround=turnaround,
        aircraft=aircraft,
        brake=brake,
        positions=tail.positions,
        rows=rows,
        release_k=release_k,
        energy_j=rows.arrival_j.reshape(share.shape),
        assumed=tuple(inputs.assumed),
        drawn=tuple(inputs.missed),
    )


def weather_at(day: Day, minute: int) -> WeatherRow:
    """Weather row that holds at a minute; the first one before any report."""
    rows = [row for row in day.weather if row.minute <= minute]
    return rows[-1] if rows else day.weather[0]


def hourly_weather(day: Day, turnaround: Turnaround) -> tuple[FloatArray, FloatArray]:
    """Warmest air and its spread in each hour from in-block on, shape (hour,)."""
    hours = day.station.hold_minutes // 60 + 4
    warmest, spread = np.empty(hours), np.empty(hours)
    for hour in range(hours):
        begin = turnaround.in_block_minute + 60 * hour
        inside = [row for row in day.weather if begin < row.minute < begin + 60]
        rows = [weather_at(day, begin), *inside]
        warmest[hour] = max(row.temperature_k for row in rows)
        spread[hour] = max(row.spread_k for row in rows)
    return warmest, spread


def _headwind_m_per_s(row: WeatherRow, runway: Runway) -> float:
    """Wind along the runway; none where the direction is not known."""
    if row.wind_direction_deg is None:
        return 0.0
    angle = np.radians(row.wind_direction_deg - runway.heading_deg)
    return float(np.clip(row.wind_m_per_s * np.cos(angle), -15.0, 40.0))


def _density(row: WeatherRow) -> float:
    return float(density_kg_per_m3(row.temperature_k, row.pressure_pa))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Arrival:
    """Rollout of all brakes together, and taxi-in; arrays of shape (sample, 1)."""

    roll_s: FloatArray
    power_w: FloatArray
    taxi_in_j: FloatArray
    weight_kg: FloatArray


def _landing(
    day: Day, turnaround: Turnaround, inputs: _Inputs, serviceable: float
) -> _Arrival:
    """Rollout and taxi-in of every sample."""
    aircraft, landing = day.aircraft_of(turnaround), turnaround.landing
    runway, taxi_in = day.runway_of(turnaround), day.taxi_in_minutes(turnaround)
    row = weather_at(day, turnaround.in_block_minute - taxi_in)
    headwind, density = _headwind_m_per_s(row, runway), _density(row)
    if landing.weight_kg is None:
        scale = aircraft.maximum_landing_kg
        weight = scale * inputs.missing("landing weight", "landing_weight_fraction")
    else:
        weight = landing.weight_kg * inputs.drawn("landing_weight_factor")
    if landing.touchdown_speed_m_per_s is None:
        additive = inputs.missing("touchdown speed additive", "additive_kt")
        speed = default_touchdown_speed_m_per_s(
            aircraft, weight, density, headwind, 0.0, additive * KNOT_M_PER_S
        )
    else:
        speed = landing.touchdown_speed_m_per_s * inputs.drawn("touchdown_speed_factor")
    roll = LandingRoll(
        weight_kg=weight,
        touchdown_speed_m_per_s=speed,
        density_kg_per_m3=density,
        deceleration_m_per_s2=_deceleration(turnaround, inputs),
        friction_fraction=aircraft.dry_friction * serviceable,
        headwind_m_per_s=headwind,
        slope_fraction=runway.slope_fraction,
        reverse_fraction=_reverse(day, turnaround, inputs),
        **_exit(runway, turnaround, inputs),
    )
    roll = _make_exit(aircraft, roll)
    heat = roll_out(aircraft, roll)
    knots = heat.time_s.shape[-1]
    roll_s = (heat.time_s[..., -1] - heat.time_s[..., 0]).reshape(-1, 1)
    stops = _stops(turnaround, inputs)
    taxi = taxi_heat(
        aircraft,
        TaxiLeg(
            weight_kg=weight,
            duration_s=MINUTE_S * max(taxi_in, 2),
            stop_count=stops,
            riding_fraction=inputs.drawn("riding_fraction"),
        ),
    )
    return _Arrival(
        roll_s=roll_s,
        power_w=heat.power_w.reshape(-1, knots),
        taxi_in_j=taxi.energy_j.reshape(-1, 1),
        weight_kg=weight,
    )


def _deceleration(turnaround: Turnaround, inputs: _Inputs) -> FloatArray:
    given = turnaround.landing.deceleration_m_per_s2
    if given is None:
        return inputs.missing("deceleration", "deceleration_m_per_s2")
    return given * inputs.drawn("deceleration_factor")


def _reverse(day: Day, turnaround: Turnaround, inputs: _Inputs) -> FloatArray:
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


def _exit(
    runway: Runway, turnaround: Turnaround, inputs: _Inputs
) -> dict[str, FloatArray | float]:
    """Exit from touchdown on; none where it is not given."""
    landing = turnaround.landing
    if landing.exit is None:
        inputs.assumed.append("runway exit: slowing to taxi speed wherever that is")
        return {"exit_speed_m_per_s": ROLL_END_M_PER_S}
    point = next(item for item in runway.exits if item.name == landing.exit)
    if landing.touchdown_m is None:
        touchdown = inputs.missing("touchdown point", "touchdown_m")
    else:
        touchdown = np.full_like(inputs.drawn("touchdown_m"), landing.touchdown_m)
    return {
        "exit_distance_m": np.maximum(point.distance_m - touchdown, 150.0),
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


def _stops(turnaround: Turnaround, inputs: _Inputs) -> FloatArray:
    given = turnaround.landing.taxi_stops
    if given is None:
        return np.round(inputs.missing("stops taxiing in", "taxi_in_stops"))
    return np.full_like(inputs.drawn("taxi_in_stops"), given)


def _take_off(
    day: Day, turnaround: Turnaround, inputs: _Inputs, serviceable: float
) -> tuple[FloatArray, FloatArray]:
    """Heat of all brakes taxiing out, and of the accelerate-stop, (sample, 1)."""
    aircraft, departure = day.aircraft_of(turnaround), turnaround.departure
    runway = day.runway_of(turnaround)
    row = weather_at(day, turnaround.target_off_block_minute)
    density, headwind = _density(row), _headwind_m_per_s(row, runway)
    if departure.take_off_weight_kg is None:
        scale = aircraft.maximum_take_off_kg
        weight = scale * inputs.missing("take-off weight", "take_off_weight_fraction")
    else:
        weight = departure.take_off_weight_kg * inputs.drawn("take_off_weight_factor")
    if departure.v1_m_per_s is None:
        factor = inputs.missing("V1 against the type's own", "v1_factor")
        v1 = default_v1_m_per_s(aircraft, weight, density) * factor
    else:
        v1 = np.full_like(weight, departure.v1_m_per_s)
    stop = accelerate_stop(
        aircraft,
        v1,
        RejectedTakeOff(
            weight_kg=weight,
            density_kg_per_m3=density,
            friction_fraction=aircraft.dry_friction * serviceable,
            headwind_m_per_s=headwind,
            slope_fraction=runway.slope_fraction,
        ),
    )
    leg = TaxiLeg(
        weight_kg=weight,
        duration_s=MINUTE_S * max(day.taxi_out_minutes(turnaround), 2),
        stop_count=np.round(inputs.drawn("taxi_out_stops")),
        riding_fraction=inputs.drawn("riding_fraction"),
    )
    taxi_j = taxi_heat(aircraft, leg).energy_j.reshape(-1, 1)
    return taxi_j, stop.energy_j.reshape(-1, 1)


def _rows(
    day: Day,
    turnaround: Turnaround,
    inputs: _Inputs,
    share: FloatArray,
    stack_fraction: FloatArray,
    arrival: _Arrival,
) -> Rows:
    """One row per sample and brake, sample-major."""
    taxi_out_j, stop_j = _take_off(
        day, turnaround, inputs, float((share[0] > 0).mean())
    )
    warmest, spread = hourly_weather(day, turnaround)
    ambient = warmest + inputs.drawn("ambient") * spread
    residual = turnaround.landing.residual_k
    if residual is None:
        rise = inputs.missing("brakes at touchdown above the air", "residual_rise_k")
        start = ambient[:, :1] + rise
    else:
        start = np.full_like(ambient[:, :1], residual)
    samples, brakes = share.shape

    def flat(values: FloatArray | float) -> FloatArray:
        full = np.broadcast_to(np.asarray(values, dtype=np.float64), share.shape)
        return full.reshape(-1).copy()

    def wide(values: FloatArray) -> FloatArray:
        return np.repeat(values, brakes, axis=0)

    row = weather_at(day, turnaround.in_block_minute)
    return Rows(
        case=np.zeros(samples * brakes, dtype=np.intp),
        sample=np.repeat(np.arange(samples), brakes),
        brake=np.tile(np.arange(brakes), samples),
        stack_fraction=flat(stack_fraction),
        radiation_factor=flat(inputs.drawn("radiation_factor")),
        joint_factor=flat(inputs.drawn("joint_factor")),
        convection_factor=flat(inputs.drawn("convection_factor")),
        fan_factor=flat(inputs.drawn("fan_factor")),
        roll_s=flat(arrival.roll_s),
        roll_power_w=wide(arrival.power_w) * share.reshape(-1, 1),
        taxi_in_s=flat(MINUTE_S * day.taxi_in_minutes(turnaround)),
        taxi_in_j=flat(arrival.taxi_in_j * share),
        taxi_out_s=flat(MINUTE_S * day.taxi_out_minutes(turnaround)),
        taxi_out_j=flat(taxi_out_j * share),
        stop_j=flat(stop_j * share),
        gear_down_s=flat(MINUTE_S * turnaround.departure.gear_down_minutes),
        ambient_k=wide(ambient),
        residual_k=flat(start),
        pressure_pa=flat(row.pressure_pa),
        wind_m_per_s=flat(_wind_m_per_s(day, turnaround, row, inputs)),
        well_warmer_k=flat(inputs.drawn("well_warmer_k")),
    )


def _wind_m_per_s(
    day: Day, turnaround: Turnaround, row: WeatherRow, inputs: _Inputs
) -> FloatArray:
    """Wind at the wheel: none by default, else reduced, sheltered and capped."""
    open_fraction = 1.0 - day.stand_of(turnaround).shelter_fraction
    credit = HEIGHT_FRACTION * open_fraction if day.station.wind_credit else 0.0
    wind = credit * row.wind_m_per_s * inputs.drawn("wind_factor")
    return np.minimum(wind, WIND_CAP_M_PER_S)
