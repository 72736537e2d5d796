"""What was decided for each turnaround, before it is told as a plan, and its worth.

Enters: choices and records. Leaves: one `Decision` per turnaround, in the day's order,
as the greedy plan and the solver both hand it over, and the four-stage objective:
weight of the rules broken, cost of delay, changes against a published plan, effort
(unit-minutes of air, number of jobs, requests and tows).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from scheduler.choices import (
    REQUEST_EFFORT,
    TOW_EFFORT,
    WEIGHT_OF,
    Choices,
    fan_jobs,
)
from scheduler.day import Day
from scheduler.options import Option
from scheduler.plan import FanJob, Plan, PlannedDuty, PlannedTurnaround, Relaxation

Objective: TypeAlias = tuple[int, int, int, int]
Published: TypeAlias = Mapping[str, PlannedTurnaround]


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """The way to cool, the off-block minute and the work on one turnaround.

    ``off_block_minute`` is None where the aircraft is held; ``option`` is then still
    air, so a held aircraft never takes a fan from another one.
    """

    turnaround_id: str
    option: Option
    off_block_minute: int | None
    relaxed: tuple[Relaxation, ...] = ()
    duties: tuple[PlannedDuty, ...] = ()
    towed: bool = False

    @property
    def fan_jobs(self) -> tuple[FanJob, ...]:
        """The fan job, if there is one."""
        return fan_jobs(self.option)

    @property
    def effort(self) -> int:
        """Unit-minutes of air, one for the job, and what has to be asked for."""
        asked = REQUEST_EFFORT if self.option.rollout is not None else 0
        towed = TOW_EFFORT if self.towed else 0
        return self.option.fan_minutes + len(self.fan_jobs) + asked + towed

    def changes(self, row: PlannedTurnaround, tolerance_minutes: int = 0) -> bool:
        """Whether this differs from a published row by more than the tolerance."""
        return not (
            is_near(self.off_block_minute, row.off_block_minute, tolerance_minutes)
            and self.fan_jobs == row.fan_jobs
            and self.option.rollout == row.rollout
            and starts_of(self.duties) == starts_of(row.duties)
        )


Decisions: TypeAlias = tuple[Decision, ...]


def is_near(minute: int | None, published: int | None, tolerance_minutes: int) -> bool:
    """Whether an off-block counts as the published one."""
    if minute is None or published is None:
        return minute is published
    return abs(minute - published) <= tolerance_minutes


def starts_of(duties: Iterable[PlannedDuty]) -> list[tuple[str, int]]:
    """Work and its starts, in an order of their own."""
    return sorted((duty.task.value, duty.start_minute) for duty in duties)


def published_rows(published: Plan | None) -> dict[str, PlannedTurnaround]:
    """Rows of a published plan by turnaround; empty without one."""
    return {} if published is None else {row.id: row for row in published.turnarounds}


def decision_of(
    one: Choices,
    option: Option,
    off_block_minute: int | None,
    duties: tuple[PlannedDuty, ...] = (),
    *,
    towed: bool = False,
) -> Decision:
    """Make the decision record with the rules it breaks."""
    return Decision(
        turnaround_id=one.turnaround.id,
        option=option,
        off_block_minute=off_block_minute,
        relaxed=one.relaxed(off_block_minute, option, towed=towed),
        duties=duties,
        towed=towed,
    )


def change_charge(day: Day) -> int:
    """Delay cost that a change must save: only where a begun day is planned again."""
    if day.now_minute is None:
        return 0
    return day.station.delay_cost.of(day.station.stability_minutes)


def objective_of(
    decisions: Iterable[Decision],
    choices: Sequence[Choices],
    day: Day,
    published: Published,
) -> Objective:
    """Value decisions in all four stages.

    Parameters
    ----------
    decisions : iterable of Decision
        One per turnaround.
    choices : sequence of Choices
        In the same order.
    day : Day
        Its station gives the cost of a delay and the tolerance.
    published : mapping of str to PlannedTurnaround
        Rows of the published plan; a turnaround without one cannot change.

    Returns
    -------
    objective : tuple of int
        Weight of rules broken, delay cost, changes, effort. Where a begun day is
        planned again every change is charged to the delay cost.
    """
    weight = cost = changes = effort = 0
    for one, decision in zip(choices, decisions, strict=True):
        weight += sum(WEIGHT_OF[rule] for rule in decision.relaxed)
        minute = decision.off_block_minute
        if minute is not None:
            delay = minute - one.turnaround.target_off_block_minute
            cost += day.station.delay_cost.of(delay)
        row = published.get(decision.turnaround_id)
        tolerance = day.station.tolerance_minutes
        changes += row is not None and decision.changes(row, tolerance)
        effort += decision.effort
    return weight, cost + change_charge(day) * changes, changes, effort
