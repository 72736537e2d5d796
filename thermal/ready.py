"""When one brake with a given heat lets its aircraft go, sample by sample.

Enters: a `ReadyQuestion`, SI and kelvin, and draws of what it leaves open. Leaves: the
minute of each sample after the end of the stop.

- Inputs have the ranges of ``data/uncertainty.toml``; wear from new to fully worn where
  it is not given, the landing energy what weight and touchdown speed leave open.
- Brake-ready is the latest of three limits: plug, stopping, wheel well. Stopping is the
  accelerate-stop of the type at 0.9 of its maximum take-off weight; it and the taxi-out
  before it lie in the middle of their ranges, since the question is about the landing.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from thermal.accelerate_stop import RejectedTakeOff, accelerate_stop
from thermal.air import density_kg_per_m3, isa_pressure_pa
from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray, check_range
from thermal.brake import Brake
from thermal.catalogue import Range, load_ranges
from thermal.cooling import cool
from thermal.departure import Margin, StandCurve, first_minute
from thermal.network import Network, build_network
from thermal.rows import Rows
from thermal.speeds import default_v1_m_per_s
from thermal.taxi import TaxiLeg, taxi_heat
from thermal.timeline import Phase
from thermal.turnaround import start_k
from thermal.units import MINUTE_S

TAKE_OFF_FRACTION = 0.9
TAXI_OUT_S = 600.0
_GRID_MINUTES = 2.0
_LIMITS = (Margin.PLUG, Margin.STOPPING, Margin.WHEEL_WELL)
_DRAWN = (
    "ambient",
    "convection_factor",
    "radiation_factor",
    "joint_factor",
    "share_factor",
    "well_warmer_k",
)
_FAN = "fan_factor"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadyQuestion:
    """One brake, its heat and air; what is not given is drawn.

    Attributes
    ----------
    energy_j, roll_s : float
        Heat of the stop in this brake and its duration, power falling linearly.
    ambient_k, ambient_spread_k, pressure_pa, wind_m_per_s : float
        Air at the wheel; one standard deviation of its temperature.
    wear : float or None
        0 new to 1 fully worn; None where it is not known.
    phases : callable
        From touchdown to the end of the look, for any rows.
    fan_end_minute : float or None
        When the fan stops, counted from the end of the stop; None without one.
    look_minutes : float
        How far after the stop the phases reach.
    """

    brake: Brake
    aircraft: Aircraft
    energy_j: float
    roll_s: float
    ambient_k: float
    phases: Callable[[Rows], tuple[Phase, ...]]
    look_minutes: float
    ambient_spread_k: float = 0.5
    pressure_pa: float = float(isa_pressure_pa(0.0))
    wind_m_per_s: float = 0.0
    wear: float | None = None
    fan_end_minute: float | None = None

    def __post_init__(self) -> None:
        """Refuse what is outside what is meant."""
        check_range("energy_j", self.energy_j, 0.0, 5e8, "J")
        check_range("roll_s", self.roll_s, 1.0, 300.0, "s")
        check_range("ambient_spread_k", self.ambient_spread_k, 0.0, 10.0, "K")
        check_range("look_minutes", self.look_minutes, 30.0, 2880.0, "min")
        if self.wear is not None:
            check_range("wear", self.wear, 0.0, 1.0, "")


def uncertain_inputs(asked: ReadyQuestion) -> tuple[Range, ...]:
    """Collect the inputs that apply to a question, with their ranges and reasons."""
    known = {item.name: item for item in load_ranges()}
    names = (*_DRAWN, _FAN) if asked.fan_end_minute is not None else _DRAWN
    found = [_landing_energy(known), *(known[name] for name in names)]
    if asked.wear is None:
        reason = "wear not given: anything from new to fully worn"
        found.append(_range("wear", 0.0, 1.0, "of the wear range", reason))
    return tuple(found)


def ready_minutes(asked: ReadyQuestion, drawn: dict[str, FloatArray]) -> FloatArray:
    """Brake-ready of every sample after the end of the stop, shape (sample,).

    Infinite where a limit does not hold by the end of the look.
    """
    network, rows = build_network(asked.brake), _rows(asked, drawn)
    minute = np.arange(0.0, asked.look_minutes, _GRID_MINUTES)
    minute = np.append(minute, asked.look_minutes)
    curve = cool(
        network,
        rows.variation,
        asked.phases(rows),
        start_k(network, rows),
        minute * MINUTE_S,
        start_s=-rows.roll_s,
    )
    ready = np.full(rows.count, asked.fan_end_minute or 0.0)
    for limit in _LIMITS:
        ready = _not_before(network, rows, StandCurve.of(curve), limit, ready)
    return ready


def _not_before(
    network: Network, rows: Rows, curve: StandCurve, limit: Margin, ready: FloatArray
) -> FloatArray:
    """Later of the minutes so far and those of one more limit."""
    result, open_ = ready.copy(), np.flatnonzero(np.isfinite(ready))
    if not open_.size:
        return result
    result[open_] = first_minute(
        network,
        rows.select(open_),
        replace(curve, state_k=curve.state_k[open_]),
        np.full(open_.size, int(limit)),
        ready[open_],
        float(curve.minute[-1]),
    )
    return result


def _landing_energy(known: dict[str, Range]) -> Range:
    """Half m v squared with the ranges of a given weight and a given speed."""
    weight, speed = known["landing_weight_factor"], known["touchdown_speed_factor"]
    return _range(
        "landing_energy_factor",
        weight.low * speed.low**2,
        weight.high * speed.high**2,
        "1",
        "weight and touchdown speed as they are known where given, together",
    )


def _range(name: str, low: float, high: float, unit: str, reason: str) -> Range:
    return Range(name=name, low=low, high=high, unit=unit, reason=reason)


def _rows(asked: ReadyQuestion, drawn: dict[str, FloatArray]) -> Rows:
    """One row per sample."""
    share = drawn["share_factor"]
    count, one = share.size, np.ones_like(share)
    energy_j = asked.energy_j * share * drawn["landing_energy_factor"]
    power_w = (2.0 * energy_j / asked.roll_s)[:, None] * np.array([1.0, 0.0])
    taxi_j, stop_j = _take_off_j(asked)
    ambient_k = asked.ambient_k + asked.ambient_spread_k * drawn["ambient"]
    wear = drawn.get("wear", one if asked.wear is None else asked.wear * one)
    return Rows(
        case=np.zeros(count, dtype=np.intp),
        sample=np.arange(count),
        brake=np.zeros(count, dtype=np.intp),
        stack_fraction=asked.brake.stack_fraction(wear),
        radiation_factor=drawn["radiation_factor"],
        joint_factor=drawn["joint_factor"],
        convection_factor=drawn["convection_factor"],
        fan_factor=drawn.get(_FAN, one),
        roll_s=asked.roll_s * one,
        roll_power_w=power_w,
        taxi_in_s=0.0 * one,
        taxi_in_j=0.0 * one,
        taxi_out_s=TAXI_OUT_S * one,
        taxi_out_j=taxi_j * share,
        stop_j=stop_j * share,
        gear_down_s=0.0 * one,
        ambient_k=ambient_k[:, None],
        residual_k=ambient_k,
        pressure_pa=asked.pressure_pa * one,
        wind_m_per_s=asked.wind_m_per_s * one,
        well_warmer_k=drawn["well_warmer_k"],
    )


def _take_off_j(asked: ReadyQuestion) -> tuple[float, float]:
    """Heat of one brake taxiing out, and of its accelerate-stop, at an even share."""
    aircraft = asked.aircraft
    weight_kg = TAKE_OFF_FRACTION * aircraft.maximum_take_off_kg
    density = float(density_kg_per_m3(asked.ambient_k, asked.pressure_pa))
    stop = accelerate_stop(
        aircraft,
        default_v1_m_per_s(aircraft, weight_kg, density),
        RejectedTakeOff(
            weight_kg=weight_kg,
            density_kg_per_m3=density,
            friction_fraction=aircraft.dry_friction,
        ),
    )
    middle = {item.name: 0.5 * (item.low + item.high) for item in load_ranges()}
    leg = TaxiLeg(
        weight_kg=weight_kg,
        duration_s=TAXI_OUT_S,
        stop_count=round(middle["taxi_out_stops"]),
        riding_fraction=middle["riding_fraction"],
    )
    taxi_j = float(taxi_heat(aircraft, leg).energy_j)
    return taxi_j / aircraft.brake_count, float(stop.energy_j) / aircraft.brake_count
