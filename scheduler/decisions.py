"""What was decided for each turnaround, before it is told as a plan, and its worth.

Enters: choices and records. Leaves: one `Decision` per turnaround, in the day's order,
as the greedy plan and the solver both hand it over, and the four-stage objective:
weight of the rules broken, cost of delay, changes against a published plan, fan effort
(unit-minutes of air plus the number of jobs).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from scheduler.choices import WEIGHT_OF, Choices, fan_jobs
from scheduler.day import DelayCost
from scheduler.options import Option
from scheduler.plan import FanJob, Plan, PlannedTurnaround, Relaxation

Objective: TypeAlias = tuple[int, int, int, int]
Published: TypeAlias = Mapping[str, PlannedTurnaround]


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """The way to cool and the off-block minute of one turnaround.

    ``off_block_minute`` is None where the aircraft is held; ``option`` is then still
    air, so a held aircraft never takes a fan from another one.
    """

    turnaround_id: str
    option: Option
    off_block_minute: int | None
    relaxed: tuple[Relaxation, ...] = ()

    @property
    def fan_jobs(self) -> tuple[FanJob, ...]:
        """The fan job, if there is one."""
        return fan_jobs(self.option)

    def changes(self, row: PlannedTurnaround) -> bool:
        """Whether off-block or fan job differ from a published row."""
        same_minute = self.off_block_minute == row.off_block_minute
        return not (same_minute and self.fan_jobs == row.fan_jobs)


Decisions: TypeAlias = tuple[Decision, ...]


def published_rows(published: Plan | None) -> dict[str, PlannedTurnaround]:
    """Rows of a published plan by turnaround; empty without one."""
    return {} if published is None else {row.id: row for row in published.turnarounds}


def decision_of(one: Choices, option: Option, off_block_minute: int | None) -> Decision:
    """Make the decision record with the rules it breaks."""
    return Decision(
        turnaround_id=one.turnaround.id,
        option=option,
        off_block_minute=off_block_minute,
        relaxed=one.relaxed(off_block_minute),
    )


def objective_of(
    decisions: Iterable[Decision],
    choices: Sequence[Choices],
    delay_cost: DelayCost,
    published: Published,
) -> Objective:
    """Value decisions in all four stages.

    Parameters
    ----------
    decisions : iterable of Decision
        One per turnaround.
    choices : sequence of Choices
        In the same order.
    delay_cost : DelayCost
        Cost of a delay in minutes.
    published : mapping of str to PlannedTurnaround
        Rows of the published plan; a turnaround without one cannot change.

    Returns
    -------
    objective : tuple of int
        Weight of rules broken, delay cost, changes, fan effort.
    """
    weight = cost = changes = effort = 0
    for one, decision in zip(choices, decisions, strict=True):
        weight += sum(WEIGHT_OF[rule] for rule in decision.relaxed)
        minute = decision.off_block_minute
        if minute is not None:
            cost += delay_cost.of(minute - one.turnaround.target_off_block_minute)
        row = published.get(decision.turnaround_id)
        changes += row is not None and decision.changes(row)
        effort += decision.option.fan_minutes + len(decision.fan_jobs)
    return weight, cost, changes, effort
