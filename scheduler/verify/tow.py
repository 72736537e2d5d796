"""Rules of towing an aircraft off its stand for the next arrival.

- The stand allows it, somebody arrives next, and the aircraft would be in the way.
- Towing begins so many minutes before the stand has to be free. By then every fan is
  away, all work is done, and the figures let people approach the wheels.
- An aircraft that has gone is not towed.
"""

from collections.abc import Iterator

from scheduler.day import Day
from scheduler.verify.broken import blocked_arrivals, next_on_stand
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation


def tow_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every row that is towed."""
    for match in matches:
        if match.row.towed and not match.is_cancelled:
            yield from _needless(day, match, matches)
            yield from _in_the_way_of_towing(day, match, matches)


def _needless(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    expected = None
    if match.is_departed:
        expected = "no tow-off, it has left"
    elif day.stand_of(match.given).tow_off_minutes is None:
        expected = f"no tow-off from stand {match.given.stand}"
    elif not blocked_arrivals(day, match, matches):
        expected = "no tow-off, nobody waits for the stand"
    if expected is not None:
        yield match.fault(Code.TOW, "tow-off", expected, "towed")


def _in_the_way_of_towing(
    day: Day, match: Match, matches: tuple[Match, ...]
) -> Iterator[Violation]:
    begins = tow_minute(day, match, matches)
    if begins is None:
        return
    short = day.clock.short
    removal = {fan.name: fan.removal_minutes for fan in day.station.fans}
    ends: list[tuple[str, int | None]] = [
        (f"fan {job.fan_type} away", job.end_minute + removal.get(job.fan_type, 0))
        for job in match.row.fan_jobs
    ]
    ends += [(f"{duty.task} done", duty.end_minute) for duty in match.row.duties]
    ends.append(("approach", match.row.approach_minute))
    for what, minute in ends:
        if minute is None or minute > begins:
            got = "never" if minute is None else short(minute)
            expected = f"by {short(begins)}, when towing begins"
            yield match.fault(Code.TOW, what, expected, got)


def tow_minute(day: Day, match: Match, matches: tuple[Match, ...]) -> int | None:
    """Minute at which towing has to begin; None where nobody can be towed for."""
    takes = day.stand_of(match.given).tow_off_minutes
    following = next_on_stand(match, matches)
    if takes is None or following is None:
        return None
    arrives = following.given.in_block_minute
    return arrives - day.station.stand_buffer_minutes - takes
