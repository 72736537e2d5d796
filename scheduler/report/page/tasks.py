"""The action list as the page groups it: overdue, the next 60 minutes, later.

Enters: a plan. Leaves: groups of `TaskView`. Before a day has begun the first group is
the hour that begins with the first action.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.plan import Action, Plan
from scheduler.report.page.times import Time, Times

NEXT_MINUTES = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskView:
    """One line of the action list."""

    start: Time
    do_by: Time
    what: str
    who: str
    stand: str
    flight: str
    missing_it: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskGroup:
    """Actions of one stretch of time under a heading."""

    kind: str
    heading: str
    tasks: tuple[TaskView, ...]


def task_groups(plan: Plan, times: Times) -> tuple[TaskGroup, ...]:
    """Group the actions; groups without any are left out."""
    now = plan.now_minute
    actions = sorted(plan.actions, key=lambda one: (one.minute, one.do_by_minute))
    if not actions:
        return ()
    begin = actions[0].minute if now is None else now
    overdue = [one for one in actions if one.do_by_minute < begin]
    open_now = [one for one in actions if one.do_by_minute >= begin]
    soon = [one for one in open_now if one.minute < begin + NEXT_MINUTES]
    later = [one for one in open_now if one.minute >= begin + NEXT_MINUTES]
    start, end = times.clock.short(begin), times.clock.short(begin + NEXT_MINUTES)
    first = f"Next 60 minutes, until {end}"
    if now is None:
        first = f"First 60 minutes, {start} until {end}"
    groups = (
        _group("next", first, soon, times),
        _group("later", f"Later, from {end}", later, times),
        _group("overdue", f"Due before {start}: done, or still open?", overdue, times),
    )
    return tuple(group for group in groups if group.tasks)


def _group(
    kind: str, heading: str, actions: Sequence[Action], times: Times
) -> TaskGroup:
    tasks = tuple(
        TaskView(
            start=times.at(one.minute),
            do_by=times.at(one.do_by_minute),
            what=one.what,
            who=one.who,
            stand=one.stand,
            flight=one.turnaround_id,
            missing_it=one.missing_it,
        )
        for one in actions
    )
    return TaskGroup(kind=kind, heading=heading, tasks=tasks)
