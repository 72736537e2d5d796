"""Days that do not go as planned: decisions carried out without planning again.

Aircraft come some minutes early or late, a fan comes late, a fan unit fails. Decided
fan jobs keep their order and length: each begins when it was to begin, or as soon as
people may go and a unit is free, and is left out where still air is as quick. An
aircraft leaves at its planned minute, or when the safe bound behind the fan it really
had lets it go; a late arrival puts the end of its handling off by as much. The runway
serves first come.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.cases.full_length import full_length_case
from scheduler.choices import Choices, choices_of
from scheduler.day import Basis, Day
from scheduler.decisions import Decision
from scheduler.greedy.taken import Taken
from scheduler.options import OptionTable
from scheduler.plan import FanJob
from scheduler.readiness.fan_options import Job, fan_options
from scheduler.readiness.ways import Ways
from thermal.arrays import FloatArray
from thermal.sampling import bound_rank

IN_BLOCK_SD_MINUTES, LATE_MINUTES = 5.0, 10
_BEFORE, _AFTER, _STEP = 20, 80, 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Release:
    """Safe bounds of one aircraft, minutes after in-block, by the start of its air.

    Infinite where it has none within the time looked at; ``still`` is that without air.
    """

    still: float
    starts: FloatArray
    ready: FloatArray

    def behind(self, start: float) -> float:
        """Bound behind air from a start on: the later of those on either side."""
        low = int(np.searchsorted(self.starts, start, side="right")) - 1
        high = int(np.searchsorted(self.starts, start))
        if low < 0 or high == self.starts.size:
            return np.inf
        return float(max(self.ready[low], self.ready[high]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flight:
    """One aircraft with what was decided for it."""

    choices: Choices
    decision: Decision
    release: Release
    people_from: float

    @property
    def id(self) -> str:
        """Name of the turnaround."""
        return self.choices.turnaround.id

    @property
    def job(self) -> FanJob | None:
        """Its fan job, if it has one."""
        return next(iter(self.decision.fan_jobs), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mishap:
    """What goes otherwise on one day; jobs by their place in order of start."""

    shifts: dict[str, int]
    late: float | None = None
    failed: float | None = None

    def place(self, chance: float | None, jobs: Sequence[Flight]) -> int:
        """Which job it is, -1 for none."""
        return -1 if chance is None or not jobs else int(chance * len(jobs))


@dataclass(frozen=True, slots=True, kw_only=True)
class Executed:
    """One aircraft on one day, minutes of the day; None where it never left."""

    off_block: int | None
    delay: int
    air_from: int | None


def flights_of(
    day: Day,
    tables: Iterable[OptionTable],
    decisions: Iterable[Decision],
    seed: int,
    count: int,
) -> list[Flight]:
    """Aircraft that are to leave, with bounds for fan jobs that begin otherwise."""
    every = {table.turnaround_id: table for table in tables}
    rank = bound_rank(count, day.station.limit_confidence, day.station.bound_confidence)
    found = []
    for one, decision in zip(choices_of(day, every.values()), decisions, strict=True):
        if one.fixed or decision.off_block_minute is None:
            continue
        table = every[one.turnaround.id]
        release = _release(day, one, decision, (rank, count), seed)
        people = np.inf
        if table.approach_minute is not None:
            people = table.approach_minute - one.turnaround.in_block_minute
        found.append(
            Flight(choices=one, decision=decision, release=release, people_from=people)
        )
    return found


def _case(
    day: Day, decision: Decision, one: Choices, spare: int, seed: int, count: int
) -> Case:
    case = build_case(day, one.turnaround, sample_count=count, seed=seed)
    if decision.option.rollout is None:
        return case
    longer = full_length_case(day, case, seed=seed, above=spare)
    return case if longer is None else longer


def _release(
    day: Day, one: Choices, decision: Decision, rank_count: tuple[int, int], seed: int
) -> Release:
    in_block = one.turnaround.in_block_minute
    rank, count = rank_count
    option = decision.option
    if not decision.fan_jobs:
        ready = float(option.ready_minute - in_block)
        return Release(still=ready, starts=np.zeros(0), ready=np.zeros(0))
    case = _case(day, decision, one, count - rank, seed, count)
    ways = Ways.of(day, (case,), rank_count)
    planned, length = option.start_minute - in_block, option.fan_minutes // option.units
    fan = day.fan(option.fan)
    starts = np.unique(
        [
            *range(max(planned - _BEFORE, 0), planned + _AFTER + 1, _STEP),
            planned,
            planned + LATE_MINUTES,
        ]
    )
    starts = starts[starts + length < day.station.hold_minutes]
    jobs = [
        Job(case=0, fan=fan, start=int(at), end=int(at) + length, units=option.units)
        for at in starts
    ]
    (behind,) = fan_options(ways.heat, ways.still, jobs, rank, count, ways.checks)
    ready = [_minutes(it.ready_minute, in_block) for it in behind]
    return Release(
        still=_minutes(ways.table(day, 0).still_air.ready_minute, in_block),
        starts=starts.astype(np.float64),
        ready=np.array(ready),
    )


def _minutes(minute: int | None, in_block: int) -> float:
    return np.inf if minute is None else float(minute - in_block)


def carried_out(
    day: Day, flights: Sequence[Flight], mishap: Mishap
) -> dict[str, Executed]:
    """Carry out the decisions on one day."""
    air = _air(day, flights, mishap)
    wanted = []
    for one in flights:
        turnaround = one.choices.turnaround
        shift = mishap.shifts.get(one.id, 0)
        came = turnaround.in_block_minute + shift
        ready = came + one.release.still
        if one.id in air:
            ready = came + one.release.behind(air[one.id] - came)
        handled = turnaround.target_off_block_minute + max(shift, 0)
        least = max(one.decision.off_block_minute, handled, ready)
        wanted.append((least + one.choices.taxi_out_minutes, one))
    return _runway(day, wanted, air)


def _air(day: Day, flights: Sequence[Flight], mishap: Mishap) -> dict[str, int]:
    """Starts of air by turnaround, for those that get any."""
    jobs = sorted((one for one in flights if one.job), key=_begin)
    late, failed = (mishap.place(it, jobs) for it in (mishap.late, mishap.failed))
    free = {fan.name: [0.0] * fan.units for fan in day.station.fans}
    found: dict[str, int] = {}
    for place, one in enumerate(jobs):
        job = one.job
        fan, units = day.fan(job.fan_type), free[job.fan_type]
        units.sort()
        if place == failed and units:
            units.pop(0)
        if len(units) < job.units:
            continue
        came = one.choices.turnaround.in_block_minute + mishap.shifts.get(one.id, 0)
        people = 0.0 if fan.remote else one.people_from
        begin = max(
            job.start_minute + (LATE_MINUTES if place == late else 0),
            came + people + fan.setup_minutes,
            units[job.units - 1] + fan.setup_minutes,
        )
        end = begin + job.end_minute - job.start_minute
        useful = one.release.behind(begin - came) < one.release.still
        if not useful or end + fan.removal_minutes > fan.to_minute:
            continue
        busy = end + fan.removal_minutes + fan.move_minutes
        units[: job.units] = [busy] * job.units
        found[one.id] = int(begin)
    return found


def _begin(one: Flight) -> tuple[int, str]:
    return (0 if one.job is None else one.job.start_minute), one.id


def _runway(
    day: Day, wanted: list[tuple[float, Flight]], air: dict[str, int]
) -> dict[str, Executed]:
    """First come, first served, at minutes that are open to each."""
    taken = Taken.of(day)
    found = {}
    for take_off, one in sorted(wanted, key=lambda it: (it[0], it[1].id)):
        choices = one.choices
        least = take_off - choices.taxi_out_minutes
        minute = next(
            (
                slot
                for slot in choices.slots
                if slot >= least
                and taken.is_free(choices, slot + choices.taxi_out_minutes)
            ),
            None,
        )
        last = minute
        if minute is None:
            last = max(choices.slots)
        else:
            at = minute + choices.taxi_out_minutes
            taken.take_offs.setdefault(choices.runway, []).append(
                (at, choices.wake or "")
            )
        found[one.id] = Executed(
            off_block=minute,
            delay=last - choices.turnaround.target_off_block_minute,
            air_from=air.get(one.id),
        )
    return found


def mishaps(
    day: Day, count: int, seed: int, *, late: bool = False, failed: bool = False
) -> list[Mishap]:
    """Days that go otherwise: aircraft not yet in block come early or late."""
    generator = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        shift = generator.normal(0.0, IN_BLOCK_SD_MINUTES, len(day.turnarounds))
        chance = generator.random(2)
        open_to = {
            one.id: round(minutes)
            for one, minutes in zip(day.turnarounds, shift.tolist(), strict=True)
            if one.in_block_basis is not Basis.ACTUAL
        }
        found.append(Mishap(shifts=open_to))
        if late:
            found[-1] = replace(found[-1], late=float(chance[0]))
        if failed:
            found[-1] = replace(found[-1], failed=float(chance[1]))
    return found
