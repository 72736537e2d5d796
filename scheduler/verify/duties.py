"""Rules of the work on the ground and of those who do it.

- All work that the day asks for is in the row, and as long as asked; other work is as
  long as the station says. After a rejected take-off there is an inspection.
- Work starts at its earliest minute or later, never before people may approach, and is
  done by off-block; work that no crew lists starts at its earliest minute.
- A crew does what its kind lists, within its hours, and moves between two aircraft; of
  no kind are more at work than there are.
- Nothing is done on an aircraft that has gone, is held, or does not depart.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.day import Crew, Day, Duty, Task
from scheduler.plan import PlannedDuty
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One planned duty, with its earliest minute where the day gives one."""

    match: Match
    duty: PlannedDuty
    given: Duty | None

    @property
    def minutes(self) -> int:
        """How long it takes."""
        return self.duty.end_minute - self.duty.start_minute

    def fault(self, code: Code, expected: str, got: object) -> Violation:
        """Violation of this duty."""
        return self.match.fault(code, self.duty.task, expected, got)


def duty_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every duty."""
    everything: list[Work] = []
    for match in matches:
        if not match.is_planned:
            if match.row.duties:
                got, expected = len(match.row.duties), "none without a departure"
                yield match.fault(Code.DUTY, "duties", expected, got)
            continue
        works = list(works_of(match))
        everything += works
        yield from _missing(day, match, works)
        for work in works:
            yield from _times(day, work)
            yield from _who(day, work)
    for crew in day.station.crews:
        yield from _capacity(day, crew, everything)


def works_of(match: Match) -> Iterator[Work]:
    """Pair planned with given duties, of the same work the latest with the latest.

    Where any pairing keeps the earliest minutes, this one does.
    """
    given = sorted(match.given.duties, key=lambda one: -one.earliest_minute)
    for duty in sorted(match.row.duties, key=lambda one: -one.start_minute):
        minutes = duty.end_minute - duty.start_minute
        fits = [g for g in given if (g.task, g.minutes) == (duty.task, minutes)]
        if fits:
            given.remove(fits[0])
        yield Work(match=match, duty=duty, given=fits[0] if fits else None)


def _missing(day: Day, match: Match, works: list[Work]) -> Iterator[Violation]:
    done = [work.given for work in works if work.given is not None]
    for given in match.given.duties:
        if given in done:
            done.remove(given)
            continue
        expected = f"{given.minutes} minutes of it"
        yield match.fault(Code.DUTY, given.task, expected, "none")
    if is_inspection_due(day, match) and not any(
        work.duty.task is Task.INSPECTION for work in works
    ):
        expected = "an inspection after the rejected take-off"
        yield match.fault(Code.DUTY, Task.INSPECTION, expected, "none")


def is_inspection_due(day: Day, match: Match) -> bool:
    """Whether nobody has logged a look at the wheels since a rejected take-off."""
    looks = [(check.turnaround_id, check.minute) for check in day.checks]
    looks += [(finding.turnaround_id, finding.minute) for finding in day.findings]
    return any(
        event.turnaround_id == match.id
        and not any(
            name == match.id and minute >= event.minute for name, minute in looks
        )
        for event in day.rejected
    )


def _times(day: Day, work: Work) -> Iterator[Violation]:
    duty, short = work.duty, day.clock.short
    got = f"{short(duty.start_minute)} to {short(duty.end_minute)}"
    approach, leaves = work.match.row.approach_minute, work.match.off_block_minute
    if work.given is None and work.minutes != _station_minutes(day, duty.task):
        expected = f"{_station_minutes(day, duty.task)} minutes"
        yield work.fault(Code.DUTY, expected, f"{work.minutes}")
    if approach is None or not duty.start_minute >= approach:
        expected = (
            "nobody sent to this aircraft"
            if approach is None
            else f"nobody before {short(approach)}"
        )
        yield work.fault(Code.DUTY_APPROACH, expected, got)
    if work.given is not None and not duty.start_minute >= work.given.earliest_minute:
        expected = f"{short(work.given.earliest_minute)} or later"
        yield work.fault(Code.DUTY_EARLY, expected, got)
    if leaves is not None and not duty.end_minute <= leaves:
        expected = f"done by off-block {short(leaves)}"
        yield work.fault(Code.DUTY_LATE, expected, got)


def _station_minutes(day: Day, task: Task) -> int:
    station = day.station
    return {
        Task.PLUG_CHECK: station.plug_check_minutes,
        Task.INSPECTION: station.inspection_minutes,
        Task.WHEEL_CHANGE: station.wheel_change_minutes,
    }[task]


def _who(day: Day, work: Work) -> Iterator[Violation]:
    duty, short = work.duty, day.clock.short
    able = [crew for crew in day.station.crews if duty.task in crew.tasks]
    named = [crew for crew in able if crew.name == duty.crew]
    if not able and duty.crew is None:
        yield from _without_crew(day, work)
    elif not named:
        expected = ", ".join(crew.name for crew in able) or "no crew, none does it"
        yield work.fault(Code.CREW, expected, duty.crew or "no crew")
    for crew in named:
        opening, closing = crew.from_minute, crew.to_minute
        if not (opening <= duty.start_minute and duty.end_minute <= closing):
            expected = f"work between {short(opening)} and {short(closing)}"
            got = f"{short(duty.start_minute)} to {short(duty.end_minute)}"
            yield work.fault(Code.CREW_HOURS, expected, got)


def _without_crew(day: Day, work: Work) -> Iterator[Violation]:
    """Work that nobody is short of begins at once."""
    approach = work.match.row.approach_minute
    if work.given is None or approach is None:
        return
    at_once = max(work.given.earliest_minute, approach, day.now_minute or 0)
    if work.duty.start_minute > at_once:
        expected = f"{day.clock.short(at_once)}, no crew is waited for"
        got = day.clock.short(work.duty.start_minute)
        yield work.fault(Code.DUTY, expected, got)


def _capacity(day: Day, crew: Crew, works: list[Work]) -> Iterator[Violation]:
    """Count crews at the start of every duty: nowhere else can there be most."""
    mine = [work for work in works if work.duty.crew == crew.name]
    told: set[frozenset[int]] = set()
    for now in sorted({work.duty.start_minute for work in mine}):
        busy = [
            place
            for place, work in enumerate(mine)
            if now
            in range(work.duty.start_minute, work.duty.end_minute + crew.move_minutes)
        ]
        if len(busy) <= crew.count or any(set(busy) <= users for users in told):
            continue
        told.add(frozenset(busy))
        names = ", ".join(sorted(mine[place].match.id for place in busy))
        yield Violation(
            code=Code.CREW_CAPACITY,
            turnaround_id=None,
            where=f"crew {crew.name} at {day.clock.short(now)}",
            expected=f"at most {crew.count} at work or on the move",
            got=f"{len(busy)} for {names}",
        )
