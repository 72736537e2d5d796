"""Aircraft of a plan on sampled days: what is drawn, and the fan job as planned."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.stats import beta

from scheduler.cases import Case, build_case
from scheduler.cases.full_length import full_length_case
from scheduler.cases.landing import Technique
from scheduler.cases.other_landing import draws_of, land_otherwise
from scheduler.cases.reach import reached_brakes
from scheduler.day import Basis, Day, Turnaround
from scheduler.plan import FanJob, Plan, PlannedTurnaround
from tests.benchmarks.simulated_days import Air, plainly_drawn
from thermal.sampling import bound_rank

SURE = 0.95
# Days on which the first minute is looked for; the median needs no more.
LOOKED_AT = 250


def lower_bound(hits: int, count: int, sure: float = SURE) -> float:
    """Exact one-sided lower bound of a share (Clopper, Pearson 1934)."""
    return 0.0 if hits == 0 else float(beta.ppf(1.0 - sure, hits, count - hits + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Truths:
    """How truths are drawn: seed and number of days, days looked at for minutes."""

    seed: int
    days: int
    looked_at: int = LOOKED_AT


def leaving(day: Day, plan: Plan) -> list[tuple[Turnaround, PlannedTurnaround]]:
    """Aircraft that are still to go and for which the plan has a minute."""
    return [
        (one, row)
        for one, row in zip(day.turnarounds, plan.turnarounds, strict=True)
        if one.off_block_basis is not Basis.ACTUAL and row.off_block_minute is not None
    ]


def as_executed(day: Day, plan: Plan) -> Day:
    """Let every target be the planned off-block: weather and earlier sectors follow."""
    minutes = {row.id: row.off_block_minute for row in plan.turnarounds}
    return replace(
        day,
        turnarounds=tuple(
            replace(one, target_off_block_minute=minutes[one.id])
            if minutes[one.id] is not None
            else one
            for one in day.turnarounds
        ),
    )


def true_case(
    day: Day, plan: Plan, one: Turnaround, rollout: str | None, truths: Truths
) -> Case:
    """The aircraft on all sampled days, landed as the plan asks for.

    Readings of the day have moved the draws, as they do in the plan: the truths are
    then those that can have shown them.
    """
    executed = as_executed(day, plan)
    flown = next(it for it in executed.turnarounds if it.id == one.id)
    with plainly_drawn():
        case = build_case(executed, flown, sample_count=truths.days, seed=truths.seed)
    if rollout is None:
        return case
    count = plan.sample_count
    rank = bound_rank(count, plan.limit_confidence, day.station.bound_confidence)
    asked = full_length_case(
        day,
        build_case(day, one, sample_count=count, seed=plan.seed),
        seed=plan.seed,
        above=count - rank,
    )
    landed = replace(flown, landing=asked.turnaround.landing)
    with plainly_drawn():
        draws = draws_of(executed, flown, sample_count=truths.days, seed=truths.seed)
        held = Technique(hold_level=True)
        return land_otherwise(executed, case, landed, draws, held).case


def air_of(day: Day, one: Turnaround, job: FanJob, start: Any = None) -> Air:
    """A fan job as planned, or from other minutes after in-block on."""
    fan = day.fan(job.fan_type)
    planned = float(job.start_minute - one.in_block_minute)
    begin = np.asarray(planned if start is None else start, dtype=np.float64)
    return Air(
        start=begin,
        end=begin + (job.end_minute - job.start_minute),
        removal_minutes=fan.removal_minutes,
        m_per_s=fan.air_speed_m_per_s,
        reached=reached_brakes(day, one, fan, job.units),
    )
