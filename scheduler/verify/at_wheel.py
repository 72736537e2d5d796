"""The operator's approach threshold while people handle a fan at a wheel.

Enters: a turnaround, its fan jobs, a `Witness`. Leaves: what was above the threshold.
"""

from collections.abc import Iterator

from scheduler.day import Day, FanType, Turnaround
from scheduler.plan import FanJob
from scheduler.verify.departure_limits import TOLERANCE_K, Broken
from scheduler.verify.witness import Witness


def above_threshold(
    day: Day, jobs: tuple[FanJob, ...], witness: Witness
) -> tuple[Broken, ...]:
    """Plug and stack above the threshold in set-ups and removals, remote fans apart."""
    rule, history = day.station.approach, witness.history
    broken = []
    for fan, first, last in _visits(day, jobs):
        there = witness.minutes(first, last)
        stack_k = history.stack_at_k(history.stack_j_per_kg[there])
        for part, limit_k, found_k in (
            ("fuse plug", rule.max_plug_k, history.node_k("plug")[there]),
            ("stack", rule.max_stack_k, stack_k),
        ):
            if found_k.size and not found_k.max() <= limit_k + TOLERANCE_K:
                where = f"{part} while people handle fan {fan.name}"
                broken.append(Broken.above(where, limit_k, float(found_k.max())))
    return tuple(broken)


def visits_of(
    day: Day, jobs: tuple[FanJob, ...], turnaround: Turnaround
) -> tuple[tuple[float, float], ...]:
    """Minutes after in-block of each visit's begin, and minutes of air until then."""
    return tuple(
        (
            float(first - turnaround.in_block_minute),
            float(
                sum(
                    max(min(job.end_minute, first) - job.start_minute, 0)
                    for job in jobs
                )
            ),
        )
        for _, first, _ in _visits(day, jobs)
    )


def _visits(day: Day, jobs: tuple[FanJob, ...]) -> Iterator[tuple[FanType, int, int]]:
    """Fan, first and last minute of each set-up and removal still to come."""
    fans = {fan.name: fan for fan in day.station.fans if not fan.remote}
    for job in jobs:
        fan = fans.get(job.fan_type)
        if fan is not None:
            first = job.start_minute - fan.setup_minutes
            if day.now_minute is None or first >= day.now_minute:
                yield fan, first, job.start_minute
            yield fan, job.end_minute, job.end_minute + fan.removal_minutes
