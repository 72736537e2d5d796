"""Pairs what was given with what was decided, one by one.

Day and plan enter; pairs leave, with minutes that were computed again, and the faults
of rows that do not fit: missing, unknown, twice there, of another aircraft.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from scheduler.day import Basis, Day, Turnaround
from scheduler.plan import Plan, PlannedTurnaround
from scheduler.verify.violation import Code, Violation


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """One turnaround of the day and its row.

    ``off_block_minute`` is the given one where the aircraft is gone, else the row's;
    ``take_off_minute`` is always counted from it. Both are None for a held aircraft and
    for a cancelled departure.
    """

    given: Turnaround
    row: PlannedTurnaround
    off_block_minute: int | None
    take_off_minute: int | None

    @property
    def id(self) -> str:
        """Name of the turnaround."""
        return self.given.id

    @property
    def is_departed(self) -> bool:
        """Whether the aircraft has left its stand: a fact, not a decision."""
        return self.given.off_block_basis is Basis.ACTUAL and not self.is_cancelled

    @property
    def is_cancelled(self) -> bool:
        """Whether there is no departure to plan."""
        return self.given.cancelled

    @property
    def is_held(self) -> bool:
        """Whether no departure was found."""
        return self.off_block_minute is None and not self.is_cancelled

    @property
    def is_planned(self) -> bool:
        """Whether the departure is a decision of this plan."""
        return not (self.is_departed or self.is_cancelled or self.is_held)

    def leaving_at(self, day: Day, minute: int) -> "Match":
        """Return the same aircraft leaving at a minute without help."""
        row = replace(
            self.row,
            off_block_minute=minute,
            relaxed=(),
            fan_jobs=(),
            duties=(),
            towed=False,
            rollout=None,
        )
        return _match(day, self.given, row)

    def fault(self, code: Code, where: str, expected: str, got: object) -> Violation:
        """Violation of this turnaround."""
        return Violation(
            code=code,
            turnaround_id=self.id,
            where=where,
            expected=expected,
            got=str(got),
        )


def match_rows(day: Day, plan: Plan) -> tuple[tuple[Match, ...], tuple[Violation, ...]]:
    """Pair turnarounds with rows (the first of its id) and tell what does not fit."""
    first: dict[str, PlannedTurnaround] = {}
    for row in reversed(plan.turnarounds):
        first[row.id] = row
    matches = tuple(
        _match(day, given, first[given.id])
        for given in day.turnarounds
        if given.id in first
    )
    faults = (*_strangers(day, plan), *_header(day, plan), *_identities(day, matches))
    return matches, faults


def _match(day: Day, given: Turnaround, row: PlannedTurnaround) -> Match:
    is_departed = given.off_block_basis is Basis.ACTUAL and not given.cancelled
    off_block = given.target_off_block_minute if is_departed else row.off_block_minute
    if given.cancelled:
        off_block = None
    taxi = day.taxi_out_minutes(given)
    return Match(
        given=given,
        row=row,
        off_block_minute=off_block,
        take_off_minute=None if off_block is None else off_block + taxi,
    )


def _strangers(day: Day, plan: Plan) -> Iterator[Violation]:
    expected = {given.id for given in day.turnarounds}
    found = Counter(row.id for row in plan.turnarounds)
    for name in sorted(expected | set(found)):
        wanted, got = int(name in expected), found[name]
        if got == wanted:
            continue
        code = Code.MISSING if got == 0 else Code.DUPLICATE
        yield Violation(
            code=code if wanted else Code.UNKNOWN,
            turnaround_id=name,
            where="turnarounds",
            expected=f"{wanted} row of this id" if wanted else "no row of this id",
            got=f"{got}",
        )


def _header(day: Day, plan: Plan) -> Iterator[Violation]:
    date = day.clock.day.isoformat()
    for code, where, expected, got in (
        (Code.WRONG_DAY, "day", date, plan.day),
        (
            Code.CONFIDENCE,
            "limit confidence",
            f"{day.station.limit_confidence}",
            f"{plan.limit_confidence}",
        ),
    ):
        if got != expected:
            yield Violation(
                code=code, turnaround_id=None, where=where, expected=expected, got=got
            )


def _identities(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    for match in matches:
        given, row, short = match.given, match.row, day.clock.short
        in_block, target = given.in_block_minute, given.target_off_block_minute
        for where, expected, got in (
            ("tail", given.tail, row.tail),
            ("stand", given.stand, row.stand),
            ("in-block", short(in_block), short(row.in_block_minute)),
            ("target", short(target), short(row.target_off_block_minute)),
        ):
            if got != expected:
                yield match.fault(Code.IDENTITY, where, expected, got)
