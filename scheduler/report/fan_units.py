"""Which fan job takes over the units of an earlier one, so that a late removal is felt.

Enters: a plan and its day. Leaves: for a job the next one that cannot start without
its units. Units go to the next job that has been without longest, and a job that
would find a spare unit anyway waits for nobody.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from scheduler.day import Day, FanType
from scheduler.plan import FanJob, Plan

Key: TypeAlias = tuple[str, FanJob]
SOON_MINUTES = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class FanUse:
    """One job and the minutes in which its units are taken, end excluded."""

    turnaround_id: str
    stand: str
    job: FanJob
    busy_from_minute: int
    free_minute: int


def next_uses(plan: Plan, day: Day) -> dict[Key, FanUse]:
    """Map a job, by turnaround, to the job that needs its units soon.

    Parameters
    ----------
    plan : Plan
        The plan.
    day : Day
        The day it was made for, with its fans.

    Returns
    -------
    following : dict
        Without the jobs whose units nobody misses within `SOON_MINUTES`.
    """
    following: dict[Key, FanUse] = {}
    for fan in day.station.fans:
        uses = _uses(plan, fan)
        for before, use in _handed_over(uses, fan.units):
            if _is_soon(before, use) and _is_short(before, use, uses, fan.units):
                following.setdefault((before.turnaround_id, before.job), use)
    return following


def _uses(plan: Plan, fan: FanType) -> list[FanUse]:
    """Jobs of one fan type by the minute from which their units are taken."""
    away = fan.removal_minutes + fan.move_minutes
    uses = [
        FanUse(
            turnaround_id=row.id,
            stand=row.stand,
            job=job,
            busy_from_minute=job.start_minute - fan.setup_minutes,
            free_minute=job.end_minute + away,
        )
        for row in plan.turnarounds
        for job in row.fan_jobs
        if job.fan_type == fan.name
    ]
    return sorted(uses, key=lambda use: (use.busy_from_minute, use.turnaround_id))


def _handed_over(uses: Sequence[FanUse], units: int) -> list[tuple[FanUse, FanUse]]:
    """Pairs of a job and one that gets a unit of it, in order of the later one."""
    pool: list[FanUse | None] = [None] * units
    pairs = []
    for use in uses:
        pool.sort(key=_free_minute)
        count = min(use.job.units, units)
        pairs += [(before, use) for before in pool[:count] if before is not None]
        pool[:count] = [use] * count
    return pairs


def _free_minute(use: FanUse | None) -> float:
    return float("-inf") if use is None else use.free_minute


def _is_soon(before: FanUse, use: FanUse) -> bool:
    return 0 <= use.busy_from_minute - before.free_minute <= SOON_MINUTES


def _is_short(before: FanUse, use: FanUse, uses: Sequence[FanUse], units: int) -> bool:
    """Whether too few units were left for a job if those of another stayed away."""
    minute = use.busy_from_minute
    taken = sum(
        other.job.units
        for other in uses
        if other.busy_from_minute <= minute < other.free_minute
    )
    return taken + before.job.units > units
