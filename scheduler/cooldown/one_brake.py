"""One brake alone: heat it as a landing does, then let it cool; curves and network.

Enters: a `Cooldown`, SI and kelvin. Leaves: `CooldownResult`. Time zero is when the
brakes come on. The stop takes 30 s in which the power falls linearly to nothing; then
the brake stands in still air or wind, with a ground fan from … to … where asked for.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from thermal.air import isa_pressure_pa
from thermal.arrays import FloatArray, check_range
from thermal.brake import Brake
from thermal.catalogue import load_brake
from thermal.cooling import CoolingCurve, cool
from thermal.errors import ParameterError
from thermal.export import export_curves, export_network
from thermal.network import build_network
from thermal.oxidation import oxidation_dose
from thermal.timeline import Phase
from thermal.turnaround import Rows, arrival, fan_job, parked, start_k
from thermal.units import MINUTE_S

STOP_S = 30.0
DENSE_S = 120.0
DENSE_STEP_S = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooldown:
    """What is asked: one brake, its heat, the air.

    ``fan_from_s`` and ``fan_s`` are when the air starts and how long it blows; wind
    and fan air count in steps of 0.5 m/s, rounded down. ``deicer_factor`` is how much
    faster a contaminated carbon stack oxidises.
    """

    brake: str
    energy_j: float
    ambient_k: float
    duration_s: float
    wind_m_per_s: float = 0.0
    wear: float = 0.0
    brakes_set: bool = False
    fan_from_s: float | None = None
    fan_s: float = 1800.0
    fan_m_per_s: float = 8.0
    deicer_factor: float = 1.0

    def __post_init__(self) -> None:
        """Refuse heat, air and times outside what is meant."""
        check_range("energy_j", self.energy_j, 0.0, 5e8, "J")
        check_range("ambient_k", self.ambient_k, 213.0, 333.0, "K")
        check_range("duration_s", self.duration_s, 60.0, 172800.0, "s")
        check_range("wear", self.wear, 0.0, 1.0, "")
        check_range("wind_m_per_s", self.wind_m_per_s, 0.0, 40.0, "m/s")
        check_range("fan_m_per_s", self.fan_m_per_s, 0.5, 40.0, "m/s")
        check_range("deicer_factor", self.deicer_factor, 1.0, 100.0, "")
        if self.fan_from_s is not None and not (
            self.fan_from_s >= STOP_S
            and self.fan_s > 0
            and self.fan_from_s + self.fan_s <= self.duration_s
        ):
            raise ParameterError.of(
                "fan",
                f"from {STOP_S:g} s, to the end at {self.duration_s:g} s",
                f"{self.fan_from_s:g} to {self.fan_from_s + self.fan_s:g} s",
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LimitTime:
    """One limit of the brake data against the curve that goes with it.

    ``above_from_s`` and ``above_to_s`` are the first and last instant above the limit,
    None where it is never reached.
    """

    name: str
    limit_k: float
    peak_k: float
    peak_s: float
    above_from_s: float | None
    above_to_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CooldownResult:
    """Curves of one brake, its limits, and all that is needed to integrate it again.

    ``oxidation_dose`` is that of the hottest disc, 1 for an hour at 600 °C without
    de-icer; None where the stack is not of carbon.
    """

    brake: Brake
    curve: CoolingCurve
    limits: tuple[LimitTime, ...]
    oxidation_dose: float | None
    network: dict[str, Any]

    @property
    def record(self) -> dict[str, Any]:
        """Network, heat, dose and curves as plain numbers and lists."""
        return {
            **self.network,
            "oxidation_dose": self.oxidation_dose,
            "curves": export_curves(self.curve),
        }


def cool_down(asked: Cooldown) -> CooldownResult:
    """Integrate one brake.

    Raises
    ------
    ParameterError
        If the brake is not in the catalogue.
    IntegrationError
        If the heat is more than the materials stand.
    """
    brake = load_brake(asked.brake)
    network = build_network(brake)
    rows = _row(asked, float(brake.stack_fraction(asked.wear)))
    phases, start = stand_phases(rows, asked), start_k(network, rows)
    curve = cool(network, rows.variation, phases, start, _instants_s(asked))
    return CooldownResult(
        brake=brake,
        curve=curve,
        limits=_limits(brake, curve),
        oxidation_dose=_dose(brake, curve, asked.deicer_factor),
        network=export_network(network, rows.variation, phases, start[0]),
    )


def _row(asked: Cooldown, stack_fraction: float) -> Rows:
    """One row with every factor at one, and no taxi."""

    def one(value: float = 0.0) -> FloatArray:
        return np.array([value])

    none = np.zeros(1, dtype=np.intp)
    return Rows(
        case=none,
        sample=none,
        brake=none,
        stack_fraction=one(stack_fraction),
        radiation_factor=one(1.0),
        joint_factor=one(1.0),
        convection_factor=one(1.0),
        fan_factor=one(1.0),
        roll_s=one(STOP_S),
        roll_power_w=np.array([[2.0 * asked.energy_j / STOP_S, 0.0]]),
        taxi_in_s=one(),
        taxi_in_j=one(),
        taxi_out_s=one(),
        taxi_out_j=one(),
        stop_j=one(),
        gear_down_s=one(),
        ambient_k=np.array([[asked.ambient_k]]),
        residual_k=one(asked.ambient_k),
        pressure_pa=one(float(isa_pressure_pa(0.0))),
        wind_m_per_s=one(asked.wind_m_per_s),
        well_warmer_k=one(),
    )


def stand_phases(rows: Rows, asked: Cooldown) -> tuple[Phase, ...]:
    """Stop, then still air or wind, with the fan where asked for; for all rows."""
    end_s = asked.duration_s - STOP_S
    if asked.fan_from_s is None:
        after = parked(rows, 0.0, end_s)
    else:
        start_s = asked.fan_from_s - STOP_S
        begin, stop = start_s / MINUTE_S, (start_s + asked.fan_s) / MINUTE_S
        rest = (end_s - start_s - asked.fan_s) / MINUTE_S
        after = (
            *(parked(rows, 0.0, start_s) if start_s > 0 else ()),
            *fan_job(
                rows,
                np.full(rows.count, begin),
                np.full(rows.count, stop),
                np.full(rows.count, asked.fan_m_per_s),
                rest,
            ),
        )
    stood = (replace(phase, brakes_set=asked.brakes_set) for phase in after)
    return arrival(rows)[0], *stood


def _instants_s(asked: Cooldown) -> FloatArray:
    """Every minute, and every few seconds of the first two."""
    dense = np.arange(0.0, DENSE_S, DENSE_STEP_S)
    coarse = np.arange(DENSE_S, asked.duration_s + 1e-6, MINUTE_S)
    return np.unique(np.concatenate([dense, coarse, [asked.duration_s]]))


def _dose(brake: Brake, curve: CoolingCurve, deicer_factor: float) -> float | None:
    """Oxidation of the disc that is hottest at each instant; carbon only."""
    if brake.stack_material != "carbon":
        return None
    dose = oxidation_dose(curve.time_s, curve.hottest_k[0], deicer_factor=deicer_factor)
    return float(dose)


def _limits(brake: Brake, curve: CoolingCurve) -> tuple[LimitTime, ...]:
    """Every limit that the brake data give against its curve."""
    limits, plug = brake.limits, brake.plug
    wheel_k = np.maximum(curve.node_k("wheel inboard"), curve.node_k("wheel outboard"))
    named: tuple[tuple[str, float | None, FloatArray], ...] = (
        ("hottest disc", limits.disc_k, curve.hottest_k),
        ("wheel well, hottest disc", limits.wheel_well_k, curve.hottest_k),
        ("inspection, stack", limits.inspect_above_k, curve.stack_k),
        ("indicated", limits.indicated_k, curve.indicated_k),
        ("plug release", plug.release_k, curve.plug_k),
        ("plug release less margin", plug.release_k - plug.margin_k, curve.plug_k),
        ("wheel", limits.wheel_k, wheel_k),
        ("piston housing", limits.housing_k, curve.node_k("piston housing")),
        ("tyre bead", limits.bead_k, curve.node_k("tyre bead")),
    )
    return tuple(
        _limit_time(name, limit_k, curve.time_s, values_k[0])
        for name, limit_k, values_k in named
        if limit_k is not None
    )


def _limit_time(
    name: str, limit_k: float, time_s: FloatArray, values_k: FloatArray
) -> LimitTime:
    above = np.flatnonzero(values_k > limit_k)
    peak = int(values_k.argmax())
    return LimitTime(
        name=name,
        limit_k=limit_k,
        peak_k=float(values_k[peak]),
        peak_s=float(time_s[peak]),
        above_from_s=float(time_s[above[0]]) if above.size else None,
        above_to_s=float(time_s[above[-1]]) if above.size else None,
    )
