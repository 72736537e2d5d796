"""Each stop of a turnaround in the middle of all ranges, followed from touchdown on.

Enters: the day and a turnaround. Leaves: `StopFigures` of the landing and of each
rejected take-off after it: heat, peaks and oxidation dose per position. A stay that a
rejected take-off ended is followed on as if it had lasted: its dose is on the high
side.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import build_case, network_of
from scheduler.cases.rejected import stays_of
from scheduler.day import Day, Turnaround
from scheduler.readiness.carried import touchdown_k
from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.oxidation import oxidation_dose
from thermal.turnaround import arrival, arrival_s, parked
from thermal.units import MINUTE_S, celsius

_STEP_S = 30.0
_FINE_S = 1800.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StopFigures:
    """One stop, per position, in the middle of all ranges."""

    energy_mj: tuple[float, ...]
    stack_peak_c: tuple[float, ...]
    wheel_peak_c: tuple[float, ...]
    plug_peak_c: tuple[float, ...]
    oxidation_dose: tuple[float | None, ...]


def stop_figures(
    day: Day, turnaround: Turnaround, seed: int, deicer_factor: float
) -> tuple[StopFigures, ...]:
    """Figures of the landing and of each rejected take-off after it."""
    stays = stays_of(day, turnaround)
    found = []
    for count in range(len(stays)):
        kept = [one.begins_after for one in stays[1 : count + 1]]
        others = [one for one in day.rejected if one.turnaround_id != turnaround.id]
        events = tuple(one for one in kept if one is not None)
        until = replace(day, rejected=(*others, *events))
        found.append(_stop_figures(until, stays[count].turnaround, seed, deicer_factor))
    return tuple(found)


def _stop_figures(
    day: Day, turnaround: Turnaround, seed: int, deicer_factor: float
) -> StopFigures:
    """Figures of the last stop of a turnaround, all brakes from touchdown on."""
    case = build_case(day, turnaround, sample_count=1, seed=seed, central=True)
    rows, network = case.rows, network_of(case.aircraft.brake)
    begin_s, end_s = -float(arrival_s(rows)[0]), day.station.hold_minutes * MINUTE_S
    fine = np.arange(begin_s, min(_FINE_S, end_s), _STEP_S)
    coarse = np.arange(_FINE_S, end_s, 5.0 * MINUTE_S)
    curve = cool(
        network,
        rows.variation,
        (*arrival(rows), *parked(rows, 0.0, end_s)),
        touchdown_k(network, case, np.arange(rows.count)),
        np.unique(np.concatenate([fine, coarse, [end_s]])),
        start_s=np.full(rows.count, begin_s),
    )
    doses: tuple[float | None, ...] = (None,) * rows.count
    if case.brake.stack_material == "carbon":
        dose = oxidation_dose(
            curve.time_s, curve.hottest_k, deicer_factor=deicer_factor
        )
        doses = tuple(round(float(one), 6) for one in dose)
    wheel_k = np.maximum(curve.node_k("wheel inboard"), curve.node_k("wheel outboard"))
    return StopFigures(
        energy_mj=tuple(round(float(one) / 1e6, 2) for one in rows.arrival_j),
        stack_peak_c=_peaks_c(curve.stack_k),
        wheel_peak_c=_peaks_c(wheel_k),
        plug_peak_c=_peaks_c(curve.plug_k),
        oxidation_dose=doses,
    )


def _peaks_c(values_k: FloatArray) -> tuple[float, ...]:
    return tuple(round(float(one), 1) for one in celsius(values_k.max(axis=1)))
