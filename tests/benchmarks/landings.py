"""Landing problems of the OR-Library: reading, checking, and a first plan.

A file of J. E. Beasley's collection has, as numbers apart from each other: a count and
one that is not used; then by aircraft the time it appears, earliest, target and latest
landing, penalties per unit of time before and after the target, and the least times
from its landing to each other one's on the same runway. Penalties have two decimals,
so costs are counted in hundredths.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

FOLDER = Path(__file__).parents[3] / "shared" / "data" / "airland"
UNIT = 100
Landing: TypeAlias = tuple[int, int]  # minute, runway
Plan: TypeAlias = tuple[Landing, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """Window, target, penalties in hundredths, and the gap to each one after it."""

    earliest: int
    target: int
    latest: int
    early: int
    late: int
    gaps: tuple[int, ...]

    def cost(self, minute: int) -> int:
        """Penalty of a landing at this minute."""
        before, after = self.target - minute, minute - self.target
        return self.early * max(before, 0) + self.late * max(after, 0)

    def minutes(self, most: int | None) -> Iterator[int]:
        """Minutes of the window that cost at most ``most``."""
        for minute in range(self.earliest, self.latest + 1):
            if most is None or self.cost(minute) <= most:
                yield minute


def load(path: Path) -> tuple[Aircraft, ...]:
    """Read a file: counts, then window, penalties and separations by aircraft."""
    numbers = path.read_text(encoding="utf-8").split()
    count, width = int(numbers[0]), 6 + int(numbers[0])
    return tuple(
        _aircraft(numbers[2 + width * index :][:width]) for index in range(count)
    )


def faults(fleet: Sequence[Aircraft], plan: Plan, value: int) -> list[str]:
    """Check a plan pair by pair and its value anew, with none of the model's code."""
    found = []
    total = 0.0
    for index, (one, (minute, runway)) in enumerate(zip(fleet, plan, strict=True)):
        if not one.earliest <= minute <= one.latest:
            found.append(f"{index}: outside its window at {minute}")
        off = minute - one.target
        total += abs(off) * (one.early if off < 0 else one.late)
        for other, (later, its_runway) in enumerate(plan):
            is_behind = runway == its_runway and index != other and minute <= later
            if is_behind and later - minute < one.gaps[other]:
                found.append(f"{other}: {later - minute} behind {index}")
    if total != value:
        found.append(f"value {total}, not {value}")
    return found


def first_plan(fleet: Sequence[Aircraft], runways: int) -> Plan | None:
    """Take the cheapest free landing in order of targets; None where none is left."""
    landed: dict[int, Landing] = {}
    for index in sorted(range(len(fleet)), key=lambda one: fleet[one].target):
        one = fleet[index]
        landings = (
            (minute, runway)
            for minute in sorted(one.minutes(None), key=one.cost)
            for runway in range(runways)
        )
        clear = (at for at in landings if is_clear(fleet, landed, index, at))
        free = next(clear, None)
        if free is None:
            return None
        landed[index] = free
    return renumbered(tuple(landed[index] for index in range(len(fleet))))


def plan_value(fleet: Sequence[Aircraft], plan: Plan) -> int:
    """Sum of penalties in hundredths."""
    return sum(one.cost(minute) for one, (minute, _) in zip(fleet, plan, strict=True))


def classes_of(fleet: Sequence[Aircraft]) -> tuple[int, ...]:
    """Class of each aircraft, named by its first member."""
    found: list[int] = []
    for index in range(len(fleet)):
        same = (one for one in sorted(set(found)) if _is_like(fleet, found, one, index))
        found.append(next(same, index))
    return tuple(found)


def _is_like(
    fleet: Sequence[Aircraft], found: Sequence[int], one: int, other: int
) -> bool:
    """Whether an aircraft has the separations of the class of ``one``."""
    members = [index for index, name in enumerate(found) if name == one]
    rest = [index for index in range(len(fleet)) if index not in (*members, other)]
    same_outside = all(
        fleet[one].gaps[index] == fleet[other].gaps[index]
        and fleet[index].gaps[one] == fleet[index].gaps[other]
        for index in rest
    )
    own = fleet[one].gaps[members[1] if len(members) > 1 else other]
    inside = all(
        own == fleet[index].gaps[other] == fleet[other].gaps[index] for index in members
    )
    return same_outside and inside


def is_clear(
    fleet: Sequence[Aircraft],
    landed: dict[int, Landing],
    index: int,
    landing: Landing,
) -> bool:
    minute, runway = landing
    return all(
        runway != its_runway
        or minute - at >= fleet[other].gaps[index]
        or at - minute >= fleet[index].gaps[other]
        for other, (at, its_runway) in landed.items()
    )


def renumbered(plan: Plan) -> Plan:
    """Number equal runways in the order of the first aircraft on each."""
    numbers: dict[int, int] = {}
    for _, runway in plan:
        numbers.setdefault(runway, len(numbers))
    return tuple((minute, numbers[runway]) for minute, runway in plan)


def _aircraft(numbers: Sequence[str]) -> Aircraft:
    earliest, target, latest = (int(number) for number in numbers[1:4])
    early, late = (round(UNIT * float(number)) for number in numbers[4:6])
    return Aircraft(
        earliest=earliest,
        target=target,
        latest=latest,
        early=early,
        late=late,
        gaps=tuple(int(number) for number in numbers[6:]),
    )
