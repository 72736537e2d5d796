"""Rules of the fan jobs.

- The type exists, the window has a length, at least one unit is used, and as many as a
  set for this aircraft has where the type comes in sets.
- People are sent within the service hours, after in-block and (unless the fan is
  remote) not before the operator's approach threshold is met, at high plug risk never.
- The fan is away before brake-ready and before off-block.
- At no minute are more units moved, set up, blowing or taken away than there are then,
  those out of service left out. With exact moves every unit can be where it is wanted
  in time; moving then counts stand by stand and no longer with the mean.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.day import Day, FanType
from scheduler.options import PlugRisk
from scheduler.plan import FanJob
from scheduler.verify.broken import is_pinned_job
from scheduler.verify.claims import plug_risk
from scheduler.verify.matches import Match
from scheduler.verify.moves import Stay, unserved
from scheduler.verify.violation import Code, Violation


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """One fan job with its type and all minutes in which people handle it."""

    match: Match
    job: FanJob
    fan: FanType

    @property
    def setup_minute(self) -> int:
        return self.job.start_minute - self.fan.setup_minutes

    @property
    def removed_minute(self) -> int:
        return self.job.end_minute + self.fan.removal_minutes

    def busy(self, move_minutes: int) -> range:
        return range(self.setup_minute, self.removed_minute + move_minutes)

    def fault(self, code: Code, expected: str, got: object) -> Violation:
        return self.match.fault(code, f"fan {self.fan.name}", expected, got)


def fan_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every fan job."""
    for match in matches:
        yield from _unknown(day, match)
        yield from _approach_rule(day, match)
    jobs = [job for match in matches for job in _known_jobs(day, match)]
    for job in jobs:
        yield from _shape(day, job)
        yield from _set(day, job)
        yield from _hours(day, job)
        yield from _people(day, job)
        yield from _removal(day, job)
    for fan in day.station.fans:
        mine = [job for job in jobs if job.fan == fan]
        overfull = list(_capacity(day, fan, mine))
        yield from overfull
        if day.station.exact_moves and not overfull:
            yield from _moves(day, fan, mine)


def _known_jobs(day: Day, match: Match) -> Iterator[_Job]:
    for fan in day.station.fans:
        for job in match.row.fan_jobs:
            if job.fan_type == fan.name:
                yield _Job(match=match, job=job, fan=fan)


def _unknown(day: Day, match: Match) -> Iterator[Violation]:
    known = [fan.name for fan in day.station.fans]
    for job in match.row.fan_jobs:
        if job.fan_type not in known:
            expected = f"one of {', '.join(known)}" if known else "no fan"
            yield match.fault(Code.FAN_TYPE, "fan type", expected, job.fan_type)


def _approach_rule(day: Day, match: Match) -> Iterator[Violation]:
    approach, rule = match.row.approach_minute, day.station.approach
    earliest = match.given.in_block_minute + rule.minutes_after_in_block
    if match.is_departed or approach is None or approach >= earliest:
        return
    yield match.fault(
        Code.APPROACH,
        "approach",
        f"{day.clock.short(earliest)} or later",
        day.clock.short(approach),
    )


def _shape(day: Day, job: _Job) -> Iterator[Violation]:
    if not job.job.start_minute < job.job.end_minute:
        start, end = job.job.start_minute, job.job.end_minute
        got = f"{day.clock.short(start)} to {day.clock.short(end)}"
        yield job.fault(Code.FAN_WINDOW, "air from a start to a later end", got)
    if not job.job.units > 0:
        yield job.fault(Code.FAN_WINDOW, "at least one unit", job.job.units)


def _set(day: Day, job: _Job) -> Iterator[Violation]:
    fan, brakes = job.fan, day.aircraft_of(job.match.given).brake_count
    if not fan.sets and fan.brakes_per_unit is None:
        return
    allowed = fan.sets_for(brakes)
    if job.job.units not in allowed:
        sets = " or ".join(map(str, allowed)) or "no"
        yield job.fault(Code.FAN_SET, f"{sets} units on {brakes} brakes", job.job.units)


def _hours(day: Day, job: _Job) -> Iterator[Violation]:
    opening, closing = job.fan.from_minute, job.fan.to_minute
    if _is_fact(day, job):
        opening = job.setup_minute
    if not (opening <= job.setup_minute and job.removed_minute <= closing):
        yield job.fault(
            Code.FAN_HOURS,
            f"work between {day.clock.short(opening)} and {day.clock.short(closing)}",
            f"{day.clock.short(job.setup_minute)} to "
            f"{day.clock.short(job.removed_minute)}",
        )


def _is_fact(day: Day, job: _Job) -> bool:
    """Whether the job has begun: people have been there, whatever the rule says."""
    now = day.now_minute
    return (
        now is not None
        and job.setup_minute < now
        and any(
            pin.turnaround_id == job.match.id and is_pinned_job(pin, job.job)
            for pin in day.pins
        )
    )


def _people(day: Day, job: _Job) -> Iterator[Violation]:
    if _is_fact(day, job):
        return
    got = f"set up from {day.clock.short(job.setup_minute)}"
    in_block, approach = job.match.given.in_block_minute, job.match.row.approach_minute
    if not job.setup_minute >= in_block:
        expected = f"nobody before in-block {day.clock.short(in_block)}"
        yield job.fault(Code.FAN_IN_BLOCK, expected, got)
    if job.fan.remote or job.match.is_departed:
        return
    if approach is None:
        yield job.fault(Code.FAN_APPROACH, "nobody sent to this aircraft", got)
    elif not job.setup_minute >= approach:
        expected = f"nobody before {day.clock.short(approach)}"
        yield job.fault(Code.FAN_APPROACH, expected, got)
    risk = plug_risk(day, job.match)
    if not (risk is PlugRisk.LOW or _is_allowed(day, risk)):
        yield job.fault(Code.FAN_APPROACH, f"nobody sent at {risk} plug risk", got)


def _is_allowed(day: Day, risk: PlugRisk) -> bool:
    return risk is PlugRisk.RAISED and day.station.approach.at_raised


def _removal(day: Day, job: _Job) -> Iterator[Violation]:
    off_block, ready = job.match.off_block_minute, job.match.row.brake_ready_minute
    got = f"removed at {day.clock.short(job.removed_minute)}"
    if job.match.is_departed:
        return
    for label, minute in (("off-block", off_block), ("brake-ready", ready)):
        if minute is not None and not job.removed_minute <= minute:
            expected = f"away by {label} {day.clock.short(minute)}"
            yield job.fault(Code.FAN_REMOVAL, expected, got)
            return


def _capacity(day: Day, fan: FanType, jobs: list[_Job]) -> Iterator[Violation]:
    """Count units minute by minute; one fault per unbroken stretch of too many."""
    move = 0 if day.station.exact_moves else fan.move_minutes
    units: defaultdict[int, int] = defaultdict(int)
    for job in jobs:
        for minute in job.busy(move):
            units[minute] += job.job.units
    there = {minute: _units_there(fan, minute) for minute in units}
    for stretch in _stretches([m for m in units if units[m] > there[m]]):
        users = {
            job.match.id
            for job in jobs
            if set(job.busy(move)) & set(range(stretch[0], stretch[-1] + 1))
        }
        worst = max(stretch, key=lambda minute: units[minute] - there[minute])
        yield Violation(
            code=Code.FAN_CAPACITY,
            turnaround_id=None,
            where=f"fan {fan.name} from {day.clock.short(stretch[0])} "
            f"to {day.clock.short(stretch[-1] + 1)}",
            expected=f"at most {there[worst]} units",
            got=f"{units[worst]} for {', '.join(sorted(users))}",
        )


def _units_there(fan: FanType, minute: int) -> int:
    out = [
        outage.units
        for outage in fan.outages
        if minute in range(outage.from_minute, outage.to_minute)
    ]
    return max(fan.units - sum(out), 0)


def _moves(day: Day, fan: FanType, jobs: list[_Job]) -> Iterator[Violation]:
    stays = [
        Stay(
            turnaround_id=job.match.id,
            zone=day.stand_of(job.match.given).zone,
            units=job.job.units,
            from_minute=job.setup_minute,
            to_minute=job.removed_minute,
        )
        for job in jobs
        if job.setup_minute < job.removed_minute
    ]
    for name in unserved(day, fan, stays):
        yield Violation(
            code=Code.FAN_MOVES,
            turnaround_id=name,
            where=f"fan {fan.name}",
            expected="a unit that has time to come over",
            got="none",
        )


def _stretches(minutes: list[int]) -> list[list[int]]:
    runs: list[list[int]] = []
    for minute in sorted(minutes):
        if runs and runs[-1][-1] == minute - 1:
            runs[-1].append(minute)
        else:
            runs.append([minute])
    return runs
