"""What people read: the cautions are there, the actions belong to the plan.

- Every action belongs to a turnaround of the day and its stand, and is due when it
  starts or later.
- What the rows demand is among the actions: a fan is started and taken away, a held
  aircraft, a missed slot, a stand in use, work, a tow-off and a longer rollout are
  somebody's task. Which one an action is shows by its minutes, never by its words.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.clock import DAY_MINUTES
from scheduler.day import Day
from scheduler.plan import Action, Plan, Relaxation
from scheduler.verify.matches import Match, match_rows
from scheduler.verify.violation import Code, Violation

_SOME_TIME = 3 * DAY_MINUTES


@dataclass(frozen=True, slots=True, kw_only=True)
class _Demand:
    """Something to do: listed to begin at a minute or later, due between two others."""

    what: str
    begin_minute: int
    from_minute: int
    to_minute: int

    def is_met_by(self, action: Action) -> bool:
        is_due = self.from_minute <= action.do_by_minute <= self.to_minute
        return is_due and self.begin_minute <= action.minute


def output_violations(day: Day, plan: Plan) -> Iterator[Violation]:
    """Missing cautions, actions that cannot be, actions that are missing."""
    if not any(caution.strip() for caution in plan.cautions):
        yield Violation(
            code=Code.CAUTIONS,
            turnaround_id=None,
            where="cautions",
            expected="the cautions that every plan carries",
            got="none",
        )
    stands = {given.id: given.stand for given in day.turnarounds}
    for action in plan.actions:
        yield from _action(day, action, stands.get(action.turnaround_id))
    matches, _ = match_rows(day, plan)
    for match in matches:
        yield from _missing(day, plan, match)


def _action(day: Day, action: Action, stand: str | None) -> Iterator[Violation]:
    expected = got = None
    if stand is None:
        expected, got = "a turnaround of the day", action.turnaround_id
    elif action.stand != stand:
        expected, got = f"stand {stand}", action.stand
    elif not action.do_by_minute >= action.minute:
        expected = f"done by {day.clock.short(action.minute)} or later"
        got = day.clock.short(action.do_by_minute)
    if expected is not None and got is not None:
        yield Violation(
            code=Code.ACTION,
            turnaround_id=action.turnaround_id,
            where=f"action at {day.clock.short(action.minute)}, {action.what}",
            expected=expected,
            got=got,
        )


def _missing(day: Day, plan: Plan, match: Match) -> Iterator[Violation]:
    """Give every demand an action of its own, the narrowest demand first."""
    left = [action for action in plan.actions if action.turnaround_id == match.id]
    demands = sorted(_demands(day, match), key=lambda d: d.to_minute - d.from_minute)
    for demand in demands:
        met = [action for action in left if demand.is_met_by(action)]
        if met:
            left.remove(met[0])
            continue
        is_open = demand.to_minute == _SOME_TIME
        by = "" if is_open else f", due by {day.clock.short(demand.to_minute)}"
        yield match.fault(Code.ACTION, "actions", f"one to {demand.what}{by}", "none")


def _demands(day: Day, match: Match) -> Iterator[_Demand]:
    if match.is_departed or match.is_cancelled:
        return
    yield from _work_demands(day, match)
    row, given = match.row, match.given
    told = {Relaxation.CTOT: "ask for a new slot", Relaxation.STAND: "find a stand"}
    words = [words for rule, words in told.items() if rule in row.relaxed]
    words += ["hold the aircraft"] * match.is_held + ["tow it off"] * row.towed
    for what in words:
        yield _Demand(
            what=what,
            begin_minute=given.in_block_minute,
            from_minute=given.in_block_minute,
            to_minute=_SOME_TIME,
        )
    deadline = row.rollout_deadline_minute
    if row.rollout is not None and deadline is not None:
        first = day.now_minute or 0
        yield _Demand(
            what="ask for the longer rollout",
            begin_minute=min(first, deadline),
            from_minute=min(first, deadline),
            to_minute=deadline,
        )


def _work_demands(day: Day, match: Match) -> Iterator[_Demand]:
    fans = {fan.name: fan for fan in day.station.fans}
    for job in match.row.fan_jobs:
        fan = fans.get(job.fan_type)
        setup, away = (fan.setup_minutes, fan.removal_minutes) if fan else (0, 0)
        yield _Demand(
            what=f"start fan {job.fan_type}",
            begin_minute=job.start_minute - setup,
            from_minute=job.start_minute,
            to_minute=job.start_minute,
        )
        yield _Demand(
            what=f"take fan {job.fan_type} away",
            begin_minute=job.end_minute,
            from_minute=job.end_minute,
            to_minute=job.end_minute + away,
        )
    for duty in match.row.duties:
        yield _Demand(
            what=f"do the {duty.task}",
            begin_minute=match.given.in_block_minute,
            from_minute=duty.start_minute,
            to_minute=duty.end_minute,
        )
