"""Fan jobs of fewer units than an aircraft has brakes for: some stay in still air.

Enters: `StandHeat` of whole aircraft, minutes in still air. Leaves: options whose ready
minute is that of all brakes together.

The brakes reached and those left out are followed as two cases of their own, because of
each sample another brake may be the one that binds among them. Where those left out are
hardly ready before the whole aircraft in still air, no job is computed.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case
from scheduler.cases.reach import reached_brakes
from scheduler.day import ApproachRule, Day, FanType
from scheduler.options import Option
from scheduler.readiness.fan_jobs import (
    WORTH_MINUTES,
    Job,
    is_worth_cooling,
    job_windows,
)
from scheduler.readiness.fan_options import Blown, behind_jobs, near_k, option_of
from scheduler.readiness.limits import SampleMinutes, stand_minutes
from scheduler.readiness.stand import StandHeat, stand_heat
from thermal.arrays import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PartialSet:
    """Fewer units of a fan type than reach all brakes of one case."""

    case: int
    fan: FanType
    units: int
    reached: np.ndarray


def partial_sets(day: Day, case: Case, place: int) -> list[PartialSet]:
    """Numbers of units that the day allows and that leave some brakes out."""
    found = []
    for fan in day.station.fans:
        for units in fan.sets_for(len(case.positions)):
            reached = reached_brakes(day, case.turnaround, fan, units)
            if not reached.all():
                found.append(
                    PartialSet(case=place, fan=fan, units=units, reached=reached)
                )
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Split:
    """Cases of the brakes reached (even places) and left out (odd places)."""

    heat: StandHeat
    stands: list[SampleMinutes]

    @classmethod
    def of(
        cls,
        heat: StandHeat,
        sets: list[PartialSet],
        rule: ApproachRule,
        spare: int,
    ) -> "Split":
        """Follow both parts of every set's aircraft in still air."""
        cases = tuple(
            _only(heat.cases[one.case], brakes, 2 * number + part)
            for number, one in enumerate(sets)
            for part, brakes in enumerate((one.reached, ~one.reached))
        )
        parts = stand_heat(cases, heat.hold_minutes, rule=rule)
        return cls(heat=parts, stands=stand_minutes(parts, spare=spare))

    def with_left_out(self, blown: Blown, number: int) -> Blown:
        """Add the brakes left out of a set, which stay in still air."""
        still = self.stands[2 * number + 1]
        rows = self.heat.rows_of(2 * number + 1)
        near = self.heat.curve.plug_k[rows].max(axis=1) > near_k(self.heat)
        found = SampleMinutes(
            row=np.concatenate([blown.found.row, still.row]),
            sample=np.concatenate([blown.found.sample, still.sample]),
            limit=np.concatenate([blown.found.limit, still.limit]),
            minute=np.concatenate([blown.found.minute, still.minute]),
        )
        return Blown(
            found=found,
            still=np.concatenate([blown.still, still.minute]),
            near=np.concatenate([blown.near, self.heat.rows.sample[rows[near]]]),
        )


def partial_options(
    day: Day,
    heat: StandHeat,
    ready: list[float],
    approach: list[float],
    checks: list[float | None],
    rank_count: tuple[int, int],
) -> list[list[Option]]:
    """Options of partial sets, per case; only those ready before still air.

    Parameters
    ----------
    ready, approach : list of float
        Per case, minutes after in-block: ready in still air, people at the wheels;
        ready is not finite where no fan is looked at.
    checks : list of float or None
        As `fan_options` takes them.
    """
    options: list[list[Option]] = [[] for _ in heat.cases]
    sets = [
        one
        for place, case in enumerate(heat.cases)
        if is_worth_cooling(case.turnaround, ready[place])
        for one in partial_sets(day, case, place)
    ]
    if not sets:
        return options
    spare = rank_count[1] - rank_count[0]
    split = Split.of(heat, sets, day.station.approach, spare)
    owners: list[int] = []
    jobs: list[Job] = []
    for number, one in enumerate(sets):
        left_out, _ = split.stands[2 * number + 1].bound(*rank_count)
        if left_out > ready[one.case] - WORTH_MINUTES:
            continue
        found = _jobs(day, heat, one, number, approach[one.case], ready[one.case])
        owners += [number] * len(found)
        jobs += found
    blown = behind_jobs(split.heat, split.stands, jobs, rank_count)
    for number, job, part in zip(owners, jobs, blown, strict=True):
        place = sets[number].case
        whole = split.with_left_out(part, number)
        check = checks[place] if whole.is_near(rank_count[1]) else None
        option = option_of(split.heat, job, whole, rank_count, check)
        if _is_earlier(option, heat.cases[place], ready[place]):
            options[place].append(option)
    return options


def _jobs(
    day: Day,
    heat: StandHeat,
    one: PartialSet,
    number: int,
    approach: float,
    ready: float,
) -> list[Job]:
    """Jobs of a set on the case of the brakes that it reaches."""
    turnaround = heat.cases[one.case].turnaround
    return [
        Job(case=2 * number, fan=one.fan, start=start, end=end, units=one.units)
        for start, end in job_windows(day, turnaround, one.fan, approach, ready)
    ]


def _is_earlier(option: Option, case: Case, ready: float) -> bool:
    minute = option.ready_minute
    return minute is not None and minute < case.turnaround.in_block_minute + ready


def _only(case: Case, brakes: np.ndarray, number: int) -> Case:
    """Case of which only some brakes are followed; one without heat is not."""
    energy_j: FloatArray = np.where(brakes, case.energy_j, 0.0)
    rows = replace(case.rows, case=np.full(case.rows.count, number))
    return replace(case, energy_j=energy_j, rows=rows)
