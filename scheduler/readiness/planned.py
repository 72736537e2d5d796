"""A plan's own cooling: brake-ready mid-range, and curves behind its fans.

Enters: day and plan. Leaves: the plan with ``expected_ready_minute`` and ``cooled`` in
its rows, for people to see beside the bound. Nothing is decided on these figures.
"""

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from scheduler.cases import build_case
from scheduler.clock import later_minute
from scheduler.day import Basis, Day
from scheduler.options import Limit, Option
from scheduler.plan import Curve, Plan, PlannedTurnaround
from scheduler.readiness.fan_jobs import Job
from scheduler.readiness.fan_options import fan_options
from scheduler.readiness.limits import SampleMinutes, stand_minutes
from scheduler.readiness.stand import STAND_TOLERANCE_K, StandHeat, stand_heat
from thermal.arrays import FloatArray
from thermal.cooling import CoolingCurve, cool
from thermal.turnaround import fan_job
from thermal.units import MINUTE_S, celsius

_SHOWN_AFTER = np.array([0.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0])
_BLOWING = 4
_COOLING = (
    "in_block_minute",
    "brake_ready_minute",
    "binding_limit",
    "fan_jobs",
)


def with_planned_heat(plan: Plan, day: Day, published: Plan | None = None) -> Plan:
    """Add expected brake-ready and the curves behind the plan's fan jobs.

    Aircraft that have left are not looked at again, and rows that cool as they do in
    the published plan keep what that has, if it has been made to be drawn.

    Parameters
    ----------
    plan : Plan
        The plan, with heat summaries.
    day : Day
        The day it was made for.
    published : Plan, optional
        An earlier plan of the day.

    Returns
    -------
    plan : Plan
        The same decisions.
    """
    rows = {row.id: row for row in plan.turnarounds if row.heat is not None}
    kept = _kept(rows, published)
    rows.update(kept)
    by_brake: dict[str, list[int]] = {}
    for number, one in enumerate(day.turnarounds):
        is_open = one.off_block_basis is not Basis.ACTUAL
        if one.id in rows and one.id not in kept and is_open:
            by_brake.setdefault(day.aircraft_of(one).brake, []).append(number)
    for group in by_brake.values():
        rows.update(_followed(plan, day, group, rows))
    turnarounds = tuple(rows.get(row.id, row) for row in plan.turnarounds)
    return replace(plan, turnarounds=turnarounds)


def _kept(
    rows: Mapping[str, PlannedTurnaround], published: Plan | None
) -> dict[str, PlannedTurnaround]:
    """Rows that cool as published, with what the published plan has of them."""
    if published is None or not published.program:
        return {}
    before = {row.id: row for row in published.turnarounds}
    return {
        name: replace(
            row,
            expected_ready_minute=before[name].expected_ready_minute,
            cooled=before[name].cooled,
        )
        for name, row in rows.items()
        if name in before and _cools_alike(row, before[name])
    }


def _cools_alike(row: PlannedTurnaround, before: PlannedTurnaround) -> bool:
    if row.heat is None or before.heat is None:
        return False
    same = all(getattr(row, name) == getattr(before, name) for name in _COOLING)
    return same and row.heat.curves == before.heat.curves


def _followed(
    plan: Plan, day: Day, group: list[int], rows: dict[str, PlannedTurnaround]
) -> dict[str, PlannedTurnaround]:
    """Rows of one brake type with their expected minutes and curves."""
    heat = _central(plan, day, group)
    stands = stand_minutes(heat)
    mine = [rows[case.turnaround.id] for case in heat.cases]
    jobs = [_job(day, row, place) for place, row in enumerate(mine) if row.fan_jobs]
    options = fan_options(heat, stands, jobs, 1, 1, [None] * len(mine))
    cooled = _cooled(heat, jobs, mine)
    return {
        row.id: replace(
            row,
            expected_ready_minute=_expected(heat, place, stands, options, row),
            cooled=(cooled[place],) if place in cooled else (),
        )
        for place, row in enumerate(mine)
    }


def _central(plan: Plan, day: Day, group: list[int]) -> StandHeat:
    cases = tuple(
        build_case(
            day,
            day.turnarounds[number],
            sample_count=1,
            seed=plan.seed,
            case=place,
            central=True,
        )
        for place, number in enumerate(group)
    )
    return stand_heat(cases, day.station.hold_minutes, rule=day.station.approach)


def _job(day: Day, row: PlannedTurnaround, place: int) -> Job:
    job = row.fan_jobs[0]
    return Job(
        case=place,
        fan=day.fan(job.fan_type),
        start=job.start_minute - row.in_block_minute,
        end=job.end_minute - row.in_block_minute,
    )


def _expected(
    heat: StandHeat,
    place: int,
    stands: list[SampleMinutes],
    options: list[list[Option]],
    row: PlannedTurnaround,
) -> int | None:
    """Brake-ready of the central case, never behind the bound that is planned with."""
    bound = row.brake_ready_minute
    if bound is None or row.binding_limit in (Limit.PLUG_CHECK, Limit.TABLE):
        return None
    if row.fan_jobs:
        minute = options[place][0].ready_minute
    else:
        found, _ = stands[place].bound(1, 1)
        minute = _absolute(row, found)
    table = heat.cases[place].turnaround.departure.table_minutes
    if minute is None:
        return None
    if table is not None:
        minute = max(minute, row.in_block_minute + table)
    return min(minute, bound)


def _absolute(row: PlannedTurnaround, minute: float) -> int | None:
    return row.in_block_minute + later_minute(minute) if math.isfinite(minute) else None


def _cooled(
    heat: StandHeat, jobs: list[Job], rows: list[PlannedTurnaround]
) -> dict[int, Curve]:
    """Curves from the start of each fan job on, by number of the case.

    Of each the brake that most depends on; jobs of one length go together.
    """
    found = {}
    for length in {job.end - job.start for job in jobs}:
        alike = [job for job in jobs if job.end - job.start == length]
        numbers = np.array([_shown_row(heat, job.case, rows) for job in alike])
        minute = np.concatenate(
            [np.linspace(-length, 0.0, _BLOWING + 1)[:-1], _SHOWN_AFTER]
        )
        curve = _behind_fan(heat, alike, numbers, minute)
        for k, job in enumerate(alike):
            case = heat.cases[job.case]
            position = case.positions[int(heat.rows.brake[numbers[k]])]
            first = case.turnaround.in_block_minute + job.end
            found[job.case] = _curve(curve, k, position, first + minute)
    return found


def _shown_row(heat: StandHeat, place: int, rows: list[PlannedTurnaround]) -> int:
    """Row of the binding brake; of the hottest one where that was not followed."""
    mine, positions = heat.rows_of(place), heat.cases[place].positions
    summary = rows[place].heat
    for number in mine:
        name = positions[int(heat.rows.brake[number])]
        if summary is not None and name == summary.binding_position:
            return int(number)
    return int(mine[np.argmax(heat.curve.hottest_k[mine, 0])])


def _behind_fan(
    heat: StandHeat, jobs: list[Job], numbers: np.ndarray, minute: FloatArray
) -> CoolingCurve:
    """Curves of one row per job, at minutes after its end."""
    some = heat.rows.select(numbers)
    start = np.array([job.start for job in jobs], dtype=np.float64)
    end = np.array([job.end for job in jobs], dtype=np.float64)
    air = np.array([job.fan.air_speed_m_per_s for job in jobs])
    return cool(
        heat.network,
        some.variation,
        fan_job(some, start, end, air, float(_SHOWN_AFTER[-1])),
        heat.states.at(numbers, start),
        minute * MINUTE_S,
        start_s=(start - end) * MINUTE_S,
        tolerance_k=STAND_TOLERANCE_K,
    )


def _curve(curve: CoolingCurve, row: int, position: str, minute: FloatArray) -> Curve:
    def shown(values: FloatArray) -> tuple[float, ...]:
        return tuple(round(float(celsius(value)), 1) for value in values[row])

    return Curve(
        position=position,
        minutes=tuple(round(float(value)) for value in minute),
        stack_c=shown(curve.stack_k),
        wheel_c=shown(curve.node_k("wheel inboard")),
        plug_c=shown(curve.plug_k),
        indicated_c=shown(curve.indicated_k),
    )
