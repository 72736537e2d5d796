"""The four stages of the objective, computed again from day and plan.

Stages: weight of the broken rules, delay cost, changes against the published plan,
fan unit-minutes and jobs. Delay cost is summed minute by minute instead of stretch by
stretch, and the broken rules are those that are broken, not those that are named.
"""

from collections.abc import Iterator

from scheduler.day import Day, DelayCost
from scheduler.plan import Plan
from scheduler.verify.claims import is_after_slot
from scheduler.verify.matches import Match
from scheduler.verify.shared import blocked_arrivals
from scheduler.verify.violation import Code, Violation

STAGES = ("rules broken", "delay cost", "changes", "fan minutes and jobs")
_HELD_WEIGHT = 4
_CHANGES = STAGES.index("changes")


def objective_of(
    day: Day, matches: tuple[Match, ...], published: Plan | None
) -> tuple[int, int, int, int]:
    """Value of every stage; no changes where no plan was published."""
    return (
        sum(_weight(day, match, matches) for match in matches),
        sum(_delay_cost(day, match) for match in matches),
        0 if published is None else _changes(matches, published),
        sum(_fan_effort(match) for match in matches),
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
    expected = objective_of(day, matches, published)
    for index, stage in enumerate(STAGES):
        is_free = index == _CHANGES and published is None
        if is_free and 0 <= claimed[index] <= len(plan.turnarounds):
            continue
        if claimed[index] != expected[index]:
            yield _fault(Code.OBJECTIVE, stage, f"{expected[index]}", claimed[index])
    for stage, value, low in zip(STAGES, claimed, bound, strict=True):
        if not low <= value:
            yield _fault(Code.BOUND, stage, f"a bound of at most {value}", low)


def _fault(code: Code, where: str, expected: str, got: int) -> Violation:
    return Violation(
        code=code, turnaround_id=None, where=where, expected=expected, got=f"{got}"
    )


def _weight(day: Day, match: Match, matches: tuple[Match, ...]) -> int:
    held = _HELD_WEIGHT if match.is_held else 0
    is_blocking = bool(blocked_arrivals(day, match, matches))
    return held + int(is_after_slot(match)) + int(is_blocking)


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


def _changes(matches: tuple[Match, ...], published: Plan) -> int:
    before = {
        row.id: (row.off_block_minute, row.fan_jobs) for row in published.turnarounds
    }
    now = {match.id: (match.off_block_minute, match.row.fan_jobs) for match in matches}
    return sum(now[name] != before[name] for name in now.keys() & before.keys())


def _fan_effort(match: Match) -> int:
    return sum(
        job.units * (job.end_minute - job.start_minute) + 1
        for job in match.row.fan_jobs
    )
