"""One stand heat with many departures, so that all are computed in one batch.

Enters: the heat of a turnaround at the stand, its draws, take-off weights. Leaves: a
`StandHeat` with one case per weight, of the rows that can set a bound for any of them.
"""

from dataclasses import fields, replace

import numpy as np

from scheduler.cases.other_landing import Draws
from scheduler.cases.take_off import take_off_heat
from scheduler.day import Day, Turnaround
from scheduler.options import Limit
from scheduler.readiness.figures import followed_rows
from scheduler.readiness.limits import COLUMNS, SampleMinutes
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.cooling import CoolingCurve
from thermal.rows import Rows

# Rows of each limit that may set a bound at some weight, and of the indication.
_WIDE, _INDICATED = 32, 10


def departing(turnaround: Turnaround, weight_kg: float) -> Turnaround:
    """Turnaround at another take-off weight; V1 rises with it, and never falls."""
    departure = turnaround.departure
    planned, v1 = departure.take_off_weight_kg, departure.v1_m_per_s
    if v1 is not None and planned is not None:
        v1 *= max(1.0, float(np.sqrt(weight_kg / planned)))
    return replace(
        turnaround,
        departure=replace(departure, take_off_weight_kg=weight_kg, v1_m_per_s=v1),
    )


def with_departure(
    day: Day, heat: StandHeat, draws: Draws, turnaround: Turnaround
) -> StandHeat:
    """Stand heat of one case with accelerate-stop and taxi-out of a departure."""
    taxi_out_j, stop_j = take_off_heat(day, turnaround, draws.inputs, draws.serviceable)
    rows = heat.rows
    share = draws.share[rows.sample, rows.brake]
    return replace(
        heat,
        cases=(replace(heat.cases[0], turnaround=turnaround),),
        rows=replace(
            rows,
            taxi_out_j=taxi_out_j[rows.sample, 0] * share,
            stop_j=stop_j[rows.sample, 0] * share,
        ),
    )


def few_rows(
    heats: list[StandHeat], still: SampleMinutes, heat: StandHeat
) -> StandHeat:
    """Rows that come late at some of the weights, and those whose indication does.

    Parameters
    ----------
    heats : list of StandHeat
        The same heat with the lightest and the heaviest departure.
    still : SampleMinutes
        Of ``heat``, as planned.
    """
    parts = [followed_rows(one, 0, _WIDE)[0] for one in heats]
    shown = np.flatnonzero(still.limit == COLUMNS.index(Limit.INDICATED))
    latest = shown[np.argsort(-still.minute[shown], kind="stable")[:_INDICATED]]
    rows = np.unique(np.concatenate([*parts, still.row[latest]]))
    return replace(heat, rows=heat.rows.select(rows), curve=_curve_of(heat.curve, rows))


def side_by_side(heats: list[StandHeat]) -> StandHeat:
    """Heats of the same rows as cases of one heat."""
    first = heats[0]
    rows = [
        replace(one.rows, case=np.full(one.rows.count, place))
        for place, one in enumerate(heats)
    ]
    again = np.tile(np.arange(first.rows.count), len(heats))
    return replace(
        first,
        cases=tuple(one.cases[0] for one in heats),
        rows=Rows.joined(rows),
        curve=_curve_of(first.curve, again),
    )


def _curve_of(curve: CoolingCurve, rows: np.ndarray) -> CoolingCurve:
    """Curves of some rows, in their order."""
    shared = {"network", "time_s", "nodes"}
    picked: dict[str, FloatArray] = {
        field.name: getattr(curve, field.name)[rows]
        for field in fields(curve)
        if field.name not in shared
    }
    return replace(curve, **picked)  # type: ignore[arg-type]
