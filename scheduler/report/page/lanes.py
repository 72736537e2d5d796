"""The fans' own rows: which unit stands where, from when to when, where it goes next.

Enters: a plan. Leaves: one `LaneView` per unit. Units go to the next job that has been
without longest; the plan itself counts units and names none.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scheduler.plan import FanFleet, FanJob, Plan, PlannedTurnaround
from scheduler.report.page.axis import Axis
from scheduler.report.page.times import Time, Times


@dataclass(frozen=True, slots=True, kw_only=True)
class StopView:
    """One job of one unit, with what comes after it."""

    flight: str
    stand: str
    setup: Time
    start: Time
    end: Time
    away: Time
    place: str
    before: tuple[int, int]
    air: tuple[int, int]
    after: tuple[int, int]
    move: str
    next: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneView:
    """One fan unit over the day."""

    name: str
    stops: tuple[StopView, ...]
    next: str
    service: tuple[int, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Use:
    row: PlannedTurnaround
    job: FanJob


def lane_views(plan: Plan, axis: Axis, times: Times) -> tuple[LaneView, ...]:
    """Units of all fan types, those without a job too."""
    return tuple(
        _lane(fleet, number, uses, axis, times, plan.now_minute)
        for fleet in fleets(plan)
        for number, uses in enumerate(_units(plan, fleet), start=1)
    )


def fleets(plan: Plan) -> tuple[FanFleet, ...]:
    """Fans of the plan; of an older file what its jobs show."""
    if plan.fans:
        return plan.fans
    jobs = [job for row in plan.turnarounds for job in row.fan_jobs]
    return tuple(_guessed(name, jobs) for name in sorted({j.fan_type for j in jobs}))


def _guessed(name: str, jobs: Sequence[FanJob]) -> FanFleet:
    mine = [job for job in jobs if job.fan_type == name]
    most = max(
        sum(job.units for job in mine if job.start_minute <= one.start_minute)
        - sum(job.units for job in mine if job.end_minute <= one.start_minute)
        for one in mine
    )
    return FanFleet(
        name=name,
        units=most,
        setup_minutes=0,
        removal_minutes=0,
        move_minutes=0,
        from_minute=min(job.start_minute for job in mine),
        to_minute=max(job.end_minute for job in mine),
        remote=False,
    )


def _units(plan: Plan, fleet: FanFleet) -> list[list[_Use]]:
    """Jobs of each unit, in time order."""
    uses = [
        _Use(row=row, job=job)
        for row in plan.turnarounds
        for job in row.fan_jobs
        if job.fan_type == fleet.name
    ]
    lanes: list[list[_Use]] = [[] for _ in range(max(fleet.units, 1))]
    for use in sorted(uses, key=lambda use: (use.job.start_minute, use.row.id)):
        by_free = sorted(lanes, key=_free_minute)
        for lane in by_free[: use.job.units]:
            lane.append(use)
    return lanes


def _free_minute(lane: Sequence[_Use]) -> float:
    return lane[-1].job.end_minute if lane else float("-inf")


def _lane(
    fleet: FanFleet,
    number: int,
    uses: Sequence[_Use],
    axis: Axis,
    times: Times,
    now: int | None,
) -> LaneView:
    begin = max(fleet.from_minute, axis.first)
    end = min(fleet.to_minute, axis.last)
    stops = tuple(_stops(fleet, uses, axis, times))
    coming = [stop for stop in stops if now is None or stop.setup.minute >= now]
    return LaneView(
        name=f"{fleet.name} {number}",
        stops=stops,
        next=f"{coming[0].setup.utc} to stand {coming[0].stand}, {coming[0].flight}"
        if coming
        else "no further job",
        service=(begin - axis.first, end - begin) if end > begin else None,
    )


def _stops(
    fleet: FanFleet, uses: Sequence[_Use], axis: Axis, times: Times
) -> Iterator[StopView]:
    for k, use in enumerate(uses):
        job = use.job
        following = uses[k + 1] if k + 1 < len(uses) else None
        setup = job.start_minute - fleet.setup_minutes
        away = job.end_minute + fleet.removal_minutes
        yield StopView(
            flight=use.row.id,
            stand=use.row.stand,
            setup=times.at(setup),
            start=times.at(job.start_minute),
            end=times.at(job.end_minute),
            away=times.at(away),
            place=axis.place((job.start_minute + job.end_minute) / 2),
            before=(setup - axis.first, fleet.setup_minutes),
            air=(job.start_minute - axis.first, job.end_minute - job.start_minute),
            after=(job.end_minute - axis.first, fleet.removal_minutes),
            move=_move(fleet, away, following, axis),
            next=_next(fleet, following, times),
        )


def _move(fleet: FanFleet, away: int, following: _Use | None, axis: Axis) -> str:
    if following is None:
        return ""
    there = following.job.start_minute - fleet.setup_minutes
    return f"M{away - axis.first},20H{there - axis.first}" if there > away else ""


def _next(fleet: FanFleet, following: _Use | None, times: Times) -> str:
    if following is None:
        return "no further job"
    by = times.clock.short(following.job.start_minute - fleet.setup_minutes)
    verb = "switch on at" if fleet.remote else "move to"
    return f"{verb} stand {following.row.stand} by {by}, {following.row.id}"
