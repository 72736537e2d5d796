"""First come, first served: the plan a careful person would write by hand.

Enters: the day and its option tables. Leaves: a decision for each turnaround that
keeps every hard rule, or is held. It is the solver's hint and the answer when the
solver fails.

In the order of in-block each aircraft takes the option that is ready earliest among
those for which fan units are free, the first free crew for its work, and then the
earliest free runway minute. A second order serves those first who break a rule when
they are late. What is pinned always comes first.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from scheduler.choices import Choices, Cooling, choices_of
from scheduler.day import Day
from scheduler.decisions import Decision, Decisions, Published, decision_of
from scheduler.greedy.taken import Taken
from scheduler.options import OptionTable
from scheduler.plan import PlannedDuty, PlannedTurnaround

_Key: TypeAlias = Callable[[Choices], tuple[int | str, ...]]


def first_come(day: Day, tables: Iterable[OptionTable]) -> Decisions:
    """Plan the day first come, first served.

    Parameters
    ----------
    day : Day
        The day.
    tables : iterable of OptionTable
        One per turnaround that is still to depart.

    Returns
    -------
    decisions : tuple of Decision
        In the order of ``day.turnarounds``; relaxed rules are named.
    """
    return first_come_of(day, choices_of(day, tables))


def first_come_of(day: Day, choices: Sequence[Choices]) -> Decisions:
    """Plan first come, first served from choices already listed."""
    return _in_order(day, choices, lambda one: (not one.pins, *_turn(one)))


def urgent_first_of(day: Day, choices: Sequence[Choices]) -> Decisions:
    """Serve those first who break a rule when late, the rest first come."""
    return _in_order(
        day, choices, lambda one: (not one.pins, not _urgent(one), *_turn(one))
    )


def around_of(day: Day, choices: Sequence[Choices], published: Published) -> Decisions:
    """Keep what a published plan says as far as it goes, then serve the rest."""
    taken = Taken.of(day)
    decided: dict[str, Decision] = {}
    ordered = sorted(choices, key=lambda one: (not one.pins, *_turn(one)))
    for one in ordered:
        row = published.get(one.turnaround.id)
        kept = None if row is None else _kept(one, row, taken)
        if kept is not None:
            decided[one.turnaround.id] = kept
    for one in ordered:
        if one.turnaround.id not in decided:
            decided[one.turnaround.id] = _decide(one, taken)
    return tuple(decided[one.turnaround.id] for one in choices)


def _kept(one: Choices, row: PlannedTurnaround, taken: Taken) -> Decision | None:
    """Decide as published, if that still goes and keeps the pins."""
    minute = row.off_block_minute
    ways = [
        way
        for way in one.coolings
        if way.jobs == row.fan_jobs and way.option.rollout == row.rollout
    ]
    if minute not in one.slots or not ways or minute < ways[0].release_minute:
        return None
    if not (one.keeps_minute(minute) and one.keeps_option(ways[0].option)):
        return None
    duties = taken.earliest_work(one, ways[0])
    has_room = taken.has_units(ways[0], one) and taken.is_free(
        one, minute + one.taxi_out_minutes
    )
    if not has_room or duties is None or any(it.end_minute > minute for it in duties):
        return None
    taken.take(one, ways[0], duties, minute)
    towed = one.overstays(minute) and _can_tow(one, ways[0], duties)
    return decision_of(one, ways[0].option, minute, duties, towed=towed)


def _in_order(day: Day, choices: Sequence[Choices], key: _Key) -> Decisions:
    taken = Taken.of(day)
    decided = {
        one.turnaround.id: _decide(one, taken) for one in sorted(choices, key=key)
    }
    return tuple(decided[one.turnaround.id] for one in choices)


def _turn(one: Choices) -> tuple[int, int, str]:
    turnaround = one.turnaround
    return turnaround.in_block_minute, turnaround.target_off_block_minute, turnaround.id


def _urgent(one: Choices) -> bool:
    departure = one.turnaround.departure
    soft = (one.stand_minute, one.rotation_minute, departure.crew_limit_minute)
    return departure.ctot_minute is not None or any(it is not None for it in soft)


def _decide(one: Choices, taken: Taken) -> Decision:
    if one.gone:
        gone_at = one.turnaround.target_off_block_minute
        return decision_of(one, one.still_air, gone_at)
    for way in _ways(one):
        if not taken.has_units(way, one):
            continue
        duties = taken.earliest_work(one, way)
        if duties is None:
            continue
        after = max([way.release_minute, *(duty.end_minute for duty in duties)])
        minute = _free_slot(one, after, taken)
        if minute is None:
            continue
        taken.take(one, way, duties, minute)
        towed = one.overstays(minute) and _can_tow(one, way, duties)
        return decision_of(one, way.option, minute, duties, towed=towed)
    towed = one.tow_minute is not None
    return decision_of(one, one.still_air, None, towed=towed)


def _ways(one: Choices) -> list[Cooling]:
    """Ways to cool in the order in which they are tried."""
    if not one.slots:
        return []
    return sorted(
        one.coolings,
        key=lambda way: (
            not one.keeps_option(way.option),
            max(way.release_minute, one.slots[0]),
            way.effort,
        ),
    )


def _free_slot(one: Choices, after: int, taken: Taken) -> int | None:
    """Earliest free minute, one that keeps the pins if there is any."""
    free = (
        minute
        for minute in one.slots
        if minute >= after and taken.is_free(one, minute + one.taxi_out_minutes)
    )
    first = next(free, None)
    if first is None or one.keeps_minute(first):
        return first
    return next((minute for minute in free if one.keeps_minute(minute)), first)


def _can_tow(one: Choices, way: Cooling, duties: Sequence[PlannedDuty]) -> bool:
    tow = one.tow_minute
    ends = [way.away_minute, *(duty.end_minute for duty in duties)]
    return tow is not None and max(ends) <= tow
