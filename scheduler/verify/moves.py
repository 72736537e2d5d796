"""Whether fan units can be where the plan wants them, stand by stand.

Every unit follows a chain of jobs from the zone where it begins the day. A job needs as
many units as it has, each from its own predecessor: an earlier job whose units have
time to come over, or a unit that has not been used yet. Such predecessors exist for
all jobs at once if, and only if, a bipartite matching covers every unit of every job;
the matching is looked for by augmenting paths, so the answer is exact.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.day import Day, FanType


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Units of one fan type at one aircraft: set-up to removal, end excluded."""

    turnaround_id: str
    zone: str | None
    units: int
    from_minute: int
    to_minute: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where one unit becomes free, and when; None has no place yet."""

    zone: str | None
    minute: int


def unserved(day: Day, fan: FanType, stays: list[Stay]) -> tuple[str, ...]:
    """Turnarounds that no unit can reach in time in a largest possible service.

    Parameters
    ----------
    day : Day
        Gives the minutes between zones.
    fan : FanType
        The type, with the zones in which its units begin the day.
    stays : list of Stay
        All jobs of this type.

    Returns
    -------
    ids : tuple of str
        Empty where the units can serve every job.
    """
    wanted = [stay for stay in stays for _ in range(stay.units)]
    wanted.sort(key=lambda stay: stay.from_minute)
    homes = list(_homes(fan))
    reach = [
        [
            *(k for k, home in enumerate(homes) if _from_home(day, fan, home, stay)),
            *(
                len(homes) + k
                for k, before in enumerate(wanted)
                if _from_stay(day, fan, before, stay)
            ),
        ]
        for stay in wanted
    ]
    taken: dict[int, int] = {}
    left = [k for k in range(len(wanted)) if not _serve(k, reach, taken, set())]
    return tuple(sorted({wanted[k].turnaround_id for k in left}))


def _serve(
    job: int, reach: list[list[int]], taken: dict[int, int], seen: set[int]
) -> bool:
    """Give a job a predecessor, moving other jobs to other ones where need be."""
    for place in reach[job]:
        if place in seen:
            continue
        seen.add(place)
        if place not in taken or _serve(taken[place], reach, taken, seen):
            taken[place] = job
            return True
    return False


def _homes(fan: FanType) -> Iterator[_Place | None]:
    """Where each unit begins the day; None where that is not said."""
    if not fan.home:
        yield from [None] * fan.units
    for zone, units in fan.home:
        for _ in range(units):
            yield _Place(zone=zone, minute=0)


def _from_home(day: Day, fan: FanType, home: _Place | None, stay: Stay) -> bool:
    if home is None:
        return True
    moving = move_minutes(day, fan, home.zone, stay.zone)
    return home.zone == stay.zone or home.minute + moving <= stay.from_minute


def _from_stay(day: Day, fan: FanType, before: Stay, stay: Stay) -> bool:
    moving = move_minutes(day, fan, before.zone, stay.zone)
    return before.to_minute + moving <= stay.from_minute


def move_minutes(day: Day, fan: FanType, first: str | None, then: str | None) -> int:
    """Minutes between zones, else those of the way back, else the fan's own mean."""
    moves = day.station.zone_moves
    there = [m.minutes for m in moves if (m.from_zone, m.to_zone) == (first, then)]
    back = [m.minutes for m in moves if (m.to_zone, m.from_zone) == (first, then)]
    return [*there, *back, fan.move_minutes][0]
