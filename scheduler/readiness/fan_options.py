"""Fan jobs worth considering, each with the minute from which all limits hold.

Enters: `StandHeat`, minutes in still air, approach. Leaves: options per turnaround.
Every job branches from the still-air state at its start; only the rows that set the
bound in still air, and those a fan helps least, are followed.
"""

from dataclasses import dataclass
from itertools import product

import numpy as np

from scheduler.clock import later_minute
from scheduler.day import Day, FanType, Turnaround
from scheduler.options import Limit, Option
from scheduler.readiness.limits import COLUMNS, SampleMinutes, minutely
from scheduler.readiness.plugs import RAISED
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.departure import StandCurve, first_minute, indicated_minute
from thermal.turnaround import fan_job
from thermal.units import MINUTE_S

LENGTHS = (10, 20, 30, 45)
START_STEP = 5
LATEST_START = 75
AFTER_MINUTES = 180
WORTH_MINUTES = 3
_KEPT = 8
_GRID = np.concatenate([np.arange(0.0, 15.0), np.arange(15.0, AFTER_MINUTES + 1, 5.0)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A fan job of one case, minutes after in-block."""

    case: int
    fan: FanType
    start: int
    end: int


def candidate_jobs(
    day: Day,
    turnaround: Turnaround,
    case: int,
    approach_minute: float,
    still_ready_minute: float,
) -> list[Job]:
    """Jobs that could bring a turnaround forward, by start and length."""
    in_block = turnaround.in_block_minute
    target = turnaround.target_off_block_minute - in_block
    if still_ready_minute < target + WORTH_MINUTES:
        return []
    jobs = []
    for fan in day.station.fans:
        approach = 0.0 if fan.remote else approach_minute
        first = max(approach, 0.0, fan.from_minute - in_block) + fan.setup_minutes
        last = fan.to_minute - in_block - fan.removal_minutes
        if not np.isfinite(first):
            continue
        begin = later_minute(first)
        starts = range(begin, begin + LATEST_START + 1, START_STEP)
        jobs += [
            Job(case=case, fan=fan, start=start, end=start + length)
            for start, length in product(starts, LENGTHS)
            if start + length <= last
            and start + length + fan.removal_minutes < still_ready_minute
            and start + length < day.station.hold_minutes
        ]
    return jobs


def fan_options(
    heat: StandHeat,
    stands: list[SampleMinutes],
    jobs: list[Job],
    rank: int,
    count: int,
    checks: list[float | None],
) -> list[list[Option]]:
    """Options of all jobs, per case; ready minutes are absolute.

    ``checks`` gives per case the minute after in-block from which a plug check can be
    done with, None where plugs do not come near release without a fan. A job that
    keeps them away from release needs no check.
    """
    options: list[list[Option]] = [[] for _ in heat.cases]
    if not jobs:
        return options
    kept = {k: _kept(heat, stands[k], count) for k in {job.case for job in jobs}}
    place = np.concatenate([kept[job.case] for job in jobs])
    job_of = np.repeat(np.arange(len(jobs)), [kept[job.case].size for job in jobs])
    case_of = np.array([job.case for job in jobs])[job_of]
    row = np.array([stands[c].row[p] for c, p in zip(case_of, place, strict=True)])
    limit = np.array([stands[c].limit[p] for c, p in zip(case_of, place, strict=True)])
    minute, peak_k = _followed(heat, jobs, job_of, row, limit)
    for number, job in enumerate(jobs):
        mine = job_of == number
        found = SampleMinutes(
            row=row[mine],
            sample=heat.rows.sample[row[mine]],
            limit=limit[mine],
            minute=minute[mine],
        )
        near = heat.rows.sample[row[mine][peak_k[mine] > _near_k(heat)]]
        check = checks[job.case] if np.unique(near).size >= RAISED * count else None
        options[job.case].append(_option(heat, job, found, (rank, count), check))
    return options


def _kept(heat: StandHeat, still: SampleMinutes, count: int) -> np.ndarray:
    """Places of the rows followed behind a fan: the worst of each limit.

    Of the plugs so many that raised risk would show among them.
    """
    raised = int(np.ceil(RAISED * count)) + 2
    few = {Limit.INDICATED: 3, Limit.PLUG: max(_KEPT, raised)}
    places = []
    for number, limit in enumerate(COLUMNS):
        mine = np.flatnonzero(still.limit == number)
        if not mine.size:
            continue
        row = still.row[mine]
        minute = np.minimum(still.minute[mine], heat.hold_minutes)
        weak = minute * (1.4 - 0.4 * heat.rows.fan_factor[row])
        orders = [minute, weak]
        if limit is Limit.PLUG:
            orders.append(heat.curve.plug_k[row].max(axis=1))
        for order in orders:
            worst = np.argsort(-order, kind="stable")[: few.get(limit, _KEPT)]
            places.append(mine[worst])
    return np.unique(np.concatenate(places))


def _near_k(heat: StandHeat) -> float:
    plug = heat.network.brake.plug
    return plug.release_k - plug.margin_k


def _followed(
    heat: StandHeat,
    jobs: list[Job],
    job_of: np.ndarray,
    row: np.ndarray,
    limit: np.ndarray,
) -> tuple[FloatArray, FloatArray]:
    """Minute from which each followed row's limit holds, and its plug's peak."""
    start = np.array([float(job.start) for job in jobs])[job_of]
    end = np.array([float(job.end) for job in jobs])[job_of]
    removal = np.array([float(job.fan.removal_minutes) for job in jobs])[job_of]
    air = np.array([job.fan.air_speed_m_per_s for job in jobs])[job_of]
    unique, back = _distinct(row, job_of)
    rows = heat.rows.select(row[unique])
    curve = cool(
        heat.network,
        rows.variation,
        fan_job(rows, start[unique], end[unique], air[unique], float(AFTER_MINUTES)),
        heat.states.at(row[unique], start[unique]),
        _GRID * MINUTE_S,
        start_s=-(end[unique] - start[unique]) * MINUTE_S,
    )
    behind = StandCurve(minute=_GRID, state_k=curve.temperature_k)
    shown = limit == COLUMNS.index(Limit.INDICATED)
    minute = np.empty(row.size)
    followed = np.flatnonzero(~shown)
    minute[followed] = end[followed] + first_minute(
        heat.network,
        heat.rows.select(row[followed]),
        StandCurve(minute=_GRID, state_k=behind.state_k[back[followed]]),
        limit[followed],
        removal[followed],
        float(AFTER_MINUTES),
        offset_minute=end[followed],
    )
    brake = heat.network.brake
    whole = np.arange(AFTER_MINUTES + 1.0)
    read = np.flatnonzero(shown)
    indicated = minutely(_GRID, curve.indicated_k[back[read]], whole)
    wait = np.full(read.size, brake.limits.fan_invalid_s / MINUTE_S)
    minute[read] = end[read] + indicated_minute(brake, whole, indicated, wait)
    before = np.where(heat.minute <= start[:, None], heat.curve.plug_k[row], -np.inf)
    peak_k = np.maximum(before.max(axis=1), curve.plug_k[back].max(axis=1))
    return minute, peak_k


def _distinct(row: np.ndarray, job_of: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Rows of a job that are followed for several limits are integrated once."""
    pairs = np.stack([job_of, row], axis=1)
    _, first, back = np.unique(pairs, axis=0, return_index=True, return_inverse=True)
    return first, back.reshape(-1)


def _option(
    heat: StandHeat,
    job: Job,
    found: SampleMinutes,
    rank_count: tuple[int, int],
    check: float | None,
) -> Option:
    turnaround = heat.cases[job.case].turnaround
    in_block = turnaround.in_block_minute
    bound, place = found.bound(*rank_count)
    binding = COLUMNS[int(found.limit[place])]
    for limit, minute in (
        (Limit.TABLE, turnaround.departure.table_minutes),
        (Limit.PLUG_CHECK, check),
    ):
        if minute is not None and minute > bound:
            bound, binding = float(minute), limit
    holds = bool(np.isfinite(bound))
    return Option(
        fan=job.fan.name,
        units=1,
        start_minute=in_block + job.start,
        end_minute=in_block + job.end,
        ready_minute=in_block + later_minute(bound) if holds else None,
        binding=binding,
    )
