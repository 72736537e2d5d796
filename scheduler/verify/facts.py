"""What has happened is a fact: progress, the past, and rollouts that are over.

- Progress follows from the day: expected, in-block, off-block, airborne.
- A longer rollout is asked for only before landing, by its deadline, and leads to a
  departure.
- Once part of the day is over, nobody is planned to leave earlier than now, and
  no fan or work to begin before now that was not there already.
- A cancelled departure gets nothing.
"""

from collections.abc import Iterator

from scheduler.day import Basis, Day
from scheduler.plan import FanJob, Plan, PlannedTurnaround, Progress
from scheduler.verify.broken import is_pinned_job
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


def fact_violations(
    day: Day, matches: tuple[Match, ...], published: Plan | None
) -> Iterator[Violation]:
    """Every rule of this module on every row."""
    before = {} if published is None else {r.id: r for r in published.turnarounds}
    for match in matches:
        yield from _progress(day, match)
        yield from _rollout(day, match)
        yield from _cancelled(match)
        if match.is_planned and day.now_minute is not None:
            yield from _past(day, match, day.now_minute, before.get(match.id))


def _progress(day: Day, match: Match) -> Iterator[Violation]:
    reached = [Progress.EXPECTED]
    if match.given.in_block_basis is Basis.ACTUAL:
        reached.append(Progress.IN_BLOCK)
    if match.given.off_block_basis is Basis.ACTUAL:
        reached.append(Progress.OFF_BLOCK)
    if any(name == match.id for name, _ in day.airborne):
        reached.append(Progress.AIRBORNE)
    got = match.row.progress
    if got is not reached[-1]:
        yield match.fault(Code.PROGRESS, "progress", reached[-1], got)


def _rollout(day: Day, match: Match) -> Iterator[Violation]:
    row, given = match.row, match.given
    if row.rollout is None:
        return
    if given.in_block_basis is Basis.ACTUAL:
        expected = "none to ask for, it has landed"
        yield match.fault(Code.ROLLOUT, "rollout", expected, row.rollout)
    if match.is_held:
        expected = "none to ask for, it is held"
        yield match.fault(Code.ROLLOUT, "rollout", expected, row.rollout)
    landing = given.in_block_minute - day.taxi_in_minutes(given)
    deadline = landing - day.station.rollout_request_minutes
    if row.rollout_deadline_minute != deadline:
        told = row.rollout_deadline_minute
        got = "none" if told is None else day.clock.short(told)
        expected = f"{day.clock.short(deadline)}"
        yield match.fault(Code.ROLLOUT, "rollout deadline", expected, got)


def _cancelled(match: Match) -> Iterator[Violation]:
    if not match.is_cancelled:
        return
    row = match.row
    for what, got in (
        ("off-block", row.off_block_minute),
        ("fan jobs", len(row.fan_jobs)),
        ("rules broken", len(row.relaxed)),
        ("rollout", row.rollout),
        ("tow-off", row.towed),
    ):
        if got:
            yield match.fault(Code.CANCELLED, what, "none, it is cancelled", got)


def _past(
    day: Day, match: Match, now: int, before: PlannedTurnaround | None
) -> Iterator[Violation]:
    short = day.clock.short
    late = [("off-block", match.off_block_minute)]
    setup = {fan.name: fan.setup_minutes for fan in day.station.fans}
    late += [
        (f"fan {job.fan_type}", job.start_minute - setup.get(job.fan_type, 0))
        for job in match.row.fan_jobs
        if not _has_begun(day, match, job, before)
    ]
    known = () if before is None else before.duties
    late += [
        (duty.task, duty.start_minute)
        for duty in match.row.duties
        if before is not None and duty not in known
    ]
    for what, minute in late:
        if minute is not None and minute < now:
            yield match.fault(Code.PAST, what, f"{short(now)} or later", short(minute))


def _has_begun(
    day: Day, match: Match, job: FanJob, before: PlannedTurnaround | None
) -> bool:
    """Whether a job may have begun: pinned, published, or nothing is known of it."""
    pins = [pin for pin in day.pins if pin.turnaround_id == match.id]
    if any(is_pinned_job(pin, job) for pin in pins):
        return True
    return before is None or any(
        (old.fan_type, old.units, old.start_minute)
        == (job.fan_type, job.units, job.start_minute)
        for old in before.fan_jobs
    )
