"""What the heat says of one turnaround, for people: peaks, curves, assumptions.

Enters: the central case of every brake and the sampled results. Leaves: `HeatSummary`.
"""

import numpy as np

from scheduler.cases import Case
from scheduler.day import Turnaround
from scheduler.options import PlugRisk
from scheduler.plan import BrakeHeat, Curve, HeatSummary
from scheduler.readiness.figures import LOOK_MINUTE, figures_at
from scheduler.readiness.plugs import PlugState
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.departure import not_assessed
from thermal.units import celsius

_THINNED = (0, 5, 10, 15, 20, 30, 40, 50, 60, 75, 90, 120, 150, 180, 240, 300, 360)


def summary(
    central: StandHeat,
    place: int,
    case: Case,
    plugs: PlugState,
    binding: tuple[int, int],
    valuable: str | None,
) -> HeatSummary:
    """Summary of one turnaround.

    Parameters
    ----------
    central : StandHeat
        One sample in the middle of all ranges, every brake.
    place : int
        Number of the case in ``central``.
    binding : tuple
        Sample and brake that set brake-ready.
    """
    mine = central.rows_of(place)
    turnaround, in_block = case.turnaround, case.turnaround.in_block_minute
    sample, brake = binding
    return HeatSummary(
        release_probability=plugs.release_probability,
        plug_peak_c=_round(plugs.peak_k),
        plug_peak_minute=in_block + round(plugs.peak_minute),
        stack_peak_c=_round(central.curve.stack_k[mine].max()),
        binding_position=case.positions[brake],
        binding_sample=sample,
        brakes=tuple(
            _brake_heat(central, row, name, plugs.by_brake[k], turnaround)
            for k, (row, name) in enumerate(zip(mine, case.positions, strict=True))
        ),
        curves=tuple(
            _curve(central, row, name, in_block)
            for row, name in zip(mine, case.positions, strict=True)
        ),
        assumed=case.assumed,
        most_valuable_input=valuable,
        inspection=_inspection(central, mine, case, plugs),
        not_assessed=not_assessed(case.brake),
    )


def most_valuable(heat: StandHeat, place: int, column: int | None) -> str | None:
    """Which assumed input the binding figure follows most, by squared correlation."""
    case = heat.cases[place]
    if column is None or not case.drawn:
        return None
    mine = heat.rows_of(place)
    figure = figures_at(heat, mine, LOOK_MINUTE)[column]
    samples = heat.rows.sample[mine]
    shares = {
        name: _squared_correlation(values[samples], figure)
        for name, values in case.drawn
    }
    return max(shares, key=lambda name: shares[name])


def _squared_correlation(first: FloatArray, second: FloatArray) -> float:
    if not (np.ptp(first) > 0 and np.ptp(second) > 0):
        return 0.0
    return float(np.corrcoef(first, second)[0, 1] ** 2)


def _round(temperature_k: float) -> float:
    return round(float(celsius(temperature_k)), 1)


def _brake_heat(
    central: StandHeat,
    row: int,
    position: str,
    released: float,
    turnaround: Turnaround,
) -> BrakeHeat:
    curve = central.curve
    plug_k = curve.plug_k[row]
    peak = int(plug_k.argmax())
    return BrakeHeat(
        position=position,
        energy_mj=round(float(central.rows.arrival_j[row]) / 1e6, 2),
        stack_peak_c=_round(curve.stack_k[row].max()),
        wheel_peak_c=_round(curve.node_k("wheel inboard")[row].max()),
        plug_peak_c=_round(plug_k[peak]),
        plug_peak_minute=turnaround.in_block_minute + round(central.minute[peak]),
        release_probability=round(float(released), 5),
    )


def _curve(central: StandHeat, row: int, position: str, in_block: int) -> Curve:
    kept = [k for k, minute in enumerate(central.minute) if int(minute) in _THINNED]
    curve = central.curve

    def shown(values: FloatArray) -> tuple[float, ...]:
        return tuple(_round(value) for value in values[kept])

    return Curve(
        position=position,
        minutes=tuple(in_block + int(central.minute[k]) for k in kept),
        stack_c=shown(curve.stack_k[row]),
        wheel_c=shown(curve.node_k("wheel inboard")[row]),
        plug_c=shown(curve.plug_k[row]),
        indicated_c=shown(curve.indicated_k[row]),
    )


def _inspection(
    central: StandHeat, mine: np.ndarray, case: Case, plugs: PlugState
) -> tuple[str, ...]:
    """Reasons to look at a brake, by the operator's position names."""
    reasons = []
    if case.rejected is not None:
        most_mj = float(central.rows.arrival_j[mine].max()) / 1e6
        reasons.append(
            f"all brakes: rejected take-off, {most_mj:.0f} MJ in the hottest brake"
        )
    if plugs.risk is not PlugRisk.LOW:
        for name, share in zip(case.positions, plugs.by_brake, strict=True):
            if share >= 0.001:
                reasons.append(f"{name}: plug may have released, {share:.1%}")
    limit_k = case.brake.limits.inspect_above_k
    if limit_k is not None:
        hot = central.curve.stack_k[mine].max(axis=1) > limit_k
        reasons += [
            f"{name}: stack above {float(celsius(limit_k)):.0f} °C"
            for name, above in zip(case.positions, hot, strict=True)
            if above
        ]
    return tuple(reasons)
