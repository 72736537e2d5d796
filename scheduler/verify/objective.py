"""The four stages of the objective, computed again from day and plan.

Stages: weight of the broken rules, delay cost, changes against the published plan, and
effort: fan unit-minutes and jobs, rollouts to ask for, aircraft to tow. Delay cost is
summed minute by minute instead of stretch by stretch, and the broken rules are those
that are broken, not those that are named. On a day that has begun every change is
charged to the delay cost with what a delay of the stability minutes costs. A day read
from its files knows no time of day: then the plan says whether it had begun.
"""

from collections.abc import Iterator
from dataclasses import replace

from scheduler.day import Day, DelayCost
from scheduler.plan import Plan, PlannedTurnaround
from scheduler.verify.broken import weight_of
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation

STAGES = ("rules broken", "delay cost", "changes", "effort")
_REQUEST_EFFORT, _TOW_EFFORT = 5, 10
_COST, _CHANGES = STAGES.index("delay cost"), STAGES.index("changes")


def objective_of(
    day: Day, matches: tuple[Match, ...], published: Plan | None
) -> tuple[int, int, int, int]:
    """Value of every stage; no changes where no plan was published."""
    changes = 0 if published is None else _changes(day, matches, published)
    return (
        sum(weight_of(day, match, matches) for match in matches),
        sum(_delay_cost(day, match) for match in matches) + _charge(day, changes),
        changes,
        sum(_effort(match) for match in matches),
    )


def proof_violations(
    day: Day, plan: Plan, matches: tuple[Match, ...], published: Plan | None
) -> Iterator[Violation]:
    """Stages that differ from their own recomputation; bounds above their value."""
    claimed, bound = plan.proof.objective, plan.proof.bound
    for label, code, values in (
        ("objective", Code.OBJECTIVE, claimed),
        ("bound", Code.BOUND, bound),
    ):
        if len(values) != len(STAGES):
            yield _fault(code, label, f"{len(STAGES)} stages", len(values))
            return
    if day.now_minute is None:
        day = replace(day, now_minute=plan.now_minute)
    expected = list(objective_of(day, matches, published))
    if published is None and 0 <= claimed[_CHANGES] <= len(plan.turnarounds):
        expected[_CHANGES] = claimed[_CHANGES]
        expected[_COST] += _charge(day, claimed[_CHANGES])
    for index, stage in enumerate(STAGES):
        if claimed[index] != expected[index]:
            yield _fault(Code.OBJECTIVE, stage, f"{expected[index]}", claimed[index])
    for stage, value, low in zip(STAGES, claimed, bound, strict=True):
        if not low <= value:
            yield _fault(Code.BOUND, stage, f"a bound of at most {value}", low)


def _fault(code: Code, where: str, expected: str, got: int) -> Violation:
    return Violation(
        code=code, turnaround_id=None, where=where, expected=expected, got=f"{got}"
    )


def _charge(day: Day, changes: int) -> int:
    if day.now_minute is None:
        return 0
    station = day.station
    return changes * _cost_by_the_minute(station.delay_cost, station.stability_minutes)


def _delay_cost(day: Day, match: Match) -> int:
    if match.off_block_minute is None:
        return 0
    delay = match.off_block_minute - match.given.target_off_block_minute
    return _cost_by_the_minute(day.station.delay_cost, delay)


def _cost_by_the_minute(cost: DelayCost, delay_minutes: int) -> int:
    total = 0
    for minute in range(delay_minutes):
        rate_in_force = [rate for start, rate in cost.rates if start <= minute][-1]
        jumps_reached = [add for at, add in cost.jumps if at == minute + 1]
        total += rate_in_force + sum(jumps_reached)
    return total


def _changes(day: Day, matches: tuple[Match, ...], published: Plan) -> int:
    before = {row.id: row for row in published.turnarounds}
    tolerance = day.station.tolerance_minutes
    return sum(
        _is_changed(match, before[match.id], tolerance)
        for match in matches
        if match.id in before
    )


def _is_changed(match: Match, before: PlannedTurnaround, tolerance: int) -> bool:
    """Whether time, fan job, rollout or the beginning of work differ."""
    now, then = match.off_block_minute, before.off_block_minute
    if now is None or then is None:
        is_moved = now is not then
    else:
        is_moved = now not in range(then - tolerance, then + tolerance + 1)
    return is_moved or _kept_part(match.row) != _kept_part(before)


def _kept_part(row: PlannedTurnaround) -> tuple[object, ...]:
    """Tell what must be as it was beside the off-block."""
    work = sorted((duty.task, duty.start_minute) for duty in row.duties)
    return row.fan_jobs, row.rollout, work


def _effort(match: Match) -> int:
    row = match.row
    asked = _REQUEST_EFFORT if row.rollout is not None else 0
    towed = _TOW_EFFORT if row.towed else 0
    return (
        asked
        + towed
        + sum(
            job.units * (job.end_minute - job.start_minute) + 1 for job in row.fan_jobs
        )
    )
