"""Fan jobs worth considering, each with the minute from which all limits hold.

Enters: `StandHeat`, minutes in still air, approach. Leaves: options per turnaround.
Every job branches from the still-air state at its start; only the rows that set the
bound in still air, and those a fan helps least, are followed.
"""

from dataclasses import dataclass

import numpy as np

from scheduler.clock import later_minute
from scheduler.options import Limit, Option
from scheduler.readiness.fan_jobs import Job
from scheduler.readiness.figures import FOLLOWED_SHARE
from scheduler.readiness.limits import COLUMNS, SampleMinutes, minutely
from scheduler.readiness.plugs import RAISED
from scheduler.readiness.stand import STAND_TOLERANCE_K, StandHeat
from scheduler.readiness.witness import row_behind_fan, witness
from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.departure import StandCurve, indicated_minute
from thermal.leading import Asked, leading_minutes
from thermal.turnaround import fan_job
from thermal.units import MINUTE_S

AFTER_MINUTES = 180
_KEPT = 8
# Minutes in still air below the bound are not exact.
_STILL_GUARD_MINUTES = 15.0
_GRID = np.concatenate([np.arange(0.0, 15.0), np.arange(15.0, AFTER_MINUTES + 1, 5.0)])


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
    followed = behind_jobs(heat, stands, jobs, (rank, count))
    for job, blown in zip(jobs, followed, strict=True):
        check = checks[job.case] if blown.is_near(count) else None
        options[job.case].append(option_of(heat, job, blown, (rank, count), check))
    return options


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blown:
    """Rows followed behind one job: their minutes, also in still air.

    ``near`` are the samples with a plug that comes within its margin of release.
    """

    found: SampleMinutes
    still: FloatArray
    near: np.ndarray

    def is_near(self, count: int) -> bool:
        """Whether so many plugs come near release that a check is due."""
        return np.unique(self.near).size >= RAISED * count


def behind_jobs(
    heat: StandHeat,
    stands: list[SampleMinutes],
    jobs: list[Job],
    rank_count: tuple[int, int],
) -> list[Blown]:
    """Follow the rows that matter behind every job, in one batch."""
    if not jobs:
        return []
    rank, count = rank_count
    kept = {k: _kept(heat, stands[k], count) for k in {job.case for job in jobs}}
    followed = Followed.of(heat, stands, jobs, kept)
    minute, peak_k = _minutes(heat, followed, count - rank)
    blown = []
    for number, job in enumerate(jobs):
        mine = followed.job == number
        found = SampleMinutes(
            row=followed.row[mine],
            sample=heat.rows.sample[followed.row[mine]],
            limit=followed.limit[mine],
            minute=minute[mine],
        )
        near = found.sample[peak_k[mine] > near_k(heat)]
        blown.append(
            Blown(
                found=found,
                still=followed.still[mine],
                near=np.concatenate([near, _near_before(heat, job)]),
            )
        )
    return blown


def _near_before(heat: StandHeat, job: Job) -> np.ndarray:
    """Find samples with a plug that comes near release before the air starts."""
    mine = heat.rows_of(job.case)
    until = heat.minute <= job.start
    peak_k = heat.curve.plug_k[mine][:, until].max(axis=1)
    return np.asarray(heat.rows.sample[mine[peak_k > near_k(heat)]])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Followed:
    """Rows followed behind each job, arrays of shape (followed,).

    ``still`` is the row's minute in still air; ``start``, ``end``, ``away`` (removal
    done) and ``air`` are the job's.
    """

    job: np.ndarray
    row: np.ndarray
    limit: np.ndarray
    still: FloatArray
    start: FloatArray
    end: FloatArray
    away: FloatArray
    air: FloatArray

    @classmethod
    def of(
        cls,
        heat: StandHeat,
        stands: list[SampleMinutes],
        jobs: list[Job],
        kept: dict[int, np.ndarray],
    ) -> "Followed":
        """Behind every job the rows kept of its case."""
        sizes = [kept[job.case].size for job in jobs]
        number = np.repeat(np.arange(len(jobs)), sizes)

        def each(name: str) -> np.ndarray:
            parts = [getattr(stands[job.case], name)[kept[job.case]] for job in jobs]
            return np.concatenate(parts)

        def of_job(values: list[float]) -> FloatArray:
            return np.array(values, dtype=np.float64)[number]

        return cls(
            job=number,
            row=each("row"),
            limit=each("limit"),
            still=each("minute"),
            start=of_job([job.start for job in jobs]),
            end=of_job([job.end for job in jobs]),
            away=of_job([job.end + job.fan.removal_minutes for job in jobs]),
            air=of_job([job.fan.air_speed_m_per_s for job in jobs]),
        )


def _kept(heat: StandHeat, still: SampleMinutes, count: int) -> np.ndarray:
    """Places of the rows followed behind a fan: the worst of each limit.

    Of the plugs so many that raised risk would show among them.
    """
    raised = int(np.ceil(RAISED * count)) + 2
    kept = max(_KEPT, count // 4 // FOLLOWED_SHARE)
    few = {Limit.PLUG: max(kept, raised)}
    places = []
    for number, limit in enumerate(COLUMNS):
        mine = np.flatnonzero(still.limit == number)
        if not mine.size:
            continue
        row = still.row[mine]
        minute = np.minimum(still.minute[mine], heat.hold_minutes)
        weak = minute * (1.4 - 0.4 * heat.rows.fan_factor[row])
        for order in (minute, weak):
            worst = np.argsort(-order, kind="stable")[: few.get(limit, kept)]
            places.append(mine[worst])
        if limit is Limit.PLUG:
            order = np.argsort(-heat.curve.plug_k[row].max(axis=1), kind="stable")
            _, firsts = np.unique(heat.rows.sample[row[order]], return_index=True)
            places.append(mine[order[np.sort(firsts)[: few[limit]]]])
    return np.unique(np.concatenate(places))


def near_k(heat: StandHeat) -> float:
    """Plug temperature from which it counts as near release."""
    plug = heat.network.brake.plug
    return plug.release_k - plug.margin_k


def _minutes(
    heat: StandHeat, followed: Followed, spare: int
) -> tuple[FloatArray, FloatArray]:
    """Minute from which each followed row's limit holds, and its plug's peak.

    A fan makes no limit on heat later: what holds in still air by the time the fan is
    away needs no look, and the minute in still air closes the bracket of the others.
    """
    row, start, end = followed.row, followed.start, followed.end
    unique, back = _distinct(row, followed.job)
    rows = heat.rows.select(row[unique])
    curve = cool(
        heat.network,
        rows.variation,
        fan_job(
            rows, start[unique], end[unique], followed.air[unique], float(AFTER_MINUTES)
        ),
        heat.states.at(row[unique], start[unique]),
        _GRID * MINUTE_S,
        start_s=-(end[unique] - start[unique]) * MINUTE_S,
        tolerance_k=STAND_TOLERANCE_K,
    )
    shown = followed.limit == COLUMNS.index(Limit.INDICATED)
    minute = followed.away.copy()
    late = np.flatnonzero(~shown & (followed.still > followed.away))
    latest = followed.still[late] + _STILL_GUARD_MINUTES - end[late]
    latest = np.minimum(latest, AFTER_MINUTES)
    minute[late] = end[late] + leading_minutes(
        heat.network,
        heat.rows.select(row[late]),
        StandCurve(minute=_GRID, state_k=curve.temperature_k[back[late]]),
        Asked(
            column=followed.limit[late],
            group=followed.job[late],
            earliest_minute=followed.away[late] - end[late],
            latest_minute=latest,
            offset_minute=end[late],
        ),
        spare,
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


def option_of(
    heat: StandHeat,
    job: Job,
    blown: Blown,
    rank_count: tuple[int, int],
    check: float | None,
) -> Option:
    """Option of a job, with the minute from which all limits hold behind it."""
    found = blown.found
    turnaround = heat.cases[job.case].turnaround
    in_block = turnaround.in_block_minute
    bound, place = found.bound(*rank_count)
    binding = COLUMNS[int(found.limit[place])]
    # Every sample waits for a valid indication, not only the few that are followed.
    valid = job.end + heat.network.brake.limits.fan_invalid_s / MINUTE_S
    for limit, minute in (
        (Limit.INDICATED, valid),
        (Limit.TABLE, turnaround.departure.table_minutes),
        (Limit.PLUG_CHECK, check),
    ):
        if minute is not None and minute > bound:
            bound, binding = float(minute), limit
    holds = bool(np.isfinite(bound))
    rank, count = rank_count
    row = row_behind_fan(found, blown.still, valid, count - rank)
    return Option(
        fan=job.fan.name,
        units=job.units,
        start_minute=in_block + job.start,
        end_minute=in_block + job.end,
        ready_minute=in_block + later_minute(bound) if holds else None,
        binding=binding,
        witness=witness(heat, job.case, row),
        needs_check=check is not None,
    )
