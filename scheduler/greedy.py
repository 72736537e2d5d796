"""First come, first served: the plan a careful person would write by hand.

Enters: the day and its option tables. Leaves: a decision for each turnaround that
keeps every rule, or names the one it breaks. It is the solver's hint and the answer
when the solver fails.

In the order of in-block each aircraft takes the option that is ready earliest among
those for which fan units are free, and then the earliest free runway minute. A second
order serves those first who break a rule when they are late.
"""

from collections import Counter
from collections.abc import Iterable, Sequence

from scheduler.choices import Choices, Cooling, choices_of
from scheduler.day import Day
from scheduler.decisions import Decision, Decisions, decision_of
from scheduler.options import OptionTable


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
    return _in_order(day, choices, sorted(choices, key=_turn))


def urgent_first_of(day: Day, choices: Sequence[Choices]) -> Decisions:
    """Serve those first who break a rule when late, the rest first come."""
    return _in_order(
        day, choices, sorted(choices, key=lambda one: (not _urgent(one), _turn(one)))
    )


def _in_order(
    day: Day, choices: Sequence[Choices], ordered: Sequence[Choices]
) -> Decisions:
    fans = {fan.name: fan.units for fan in day.station.fans}
    busy: dict[str, Counter[int]] = {name: Counter() for name in fans}
    take_offs: dict[str, list[int]] = {}
    decided = {}
    for one in ordered:
        decision = _decide(one, fans, busy, take_offs.setdefault(one.runway, []))
        decided[decision.turnaround_id] = decision
    return tuple(decided[one.turnaround.id] for one in choices)


def _turn(one: Choices) -> tuple[int, int, str]:
    turnaround = one.turnaround
    return turnaround.in_block_minute, turnaround.target_off_block_minute, turnaround.id


def _urgent(one: Choices) -> bool:
    ctot = one.turnaround.departure.ctot_minute
    return ctot is not None or one.stand_minute is not None


def _decide(
    one: Choices,
    fans: dict[str, int],
    busy: dict[str, Counter[int]],
    take_offs: list[int],
) -> Decision:
    off_block: int | None = None
    option = one.still_air
    if one.gone:
        off_block = one.turnaround.target_off_block_minute
    else:
        cooling = _earliest(one, fans, busy)
        if cooling is not None:
            off_block = _free_slot(one, cooling.release_minute, take_offs)
        if cooling is not None and off_block is not None:
            option = cooling.option
            _take(cooling, busy)
            take_offs.append(off_block + one.taxi_out_minutes)
    return decision_of(one, option, off_block)


def _earliest(
    one: Choices, fans: dict[str, int], busy: dict[str, Counter[int]]
) -> Cooling | None:
    if not one.slots:
        return None
    ordered = sorted(
        one.coolings,
        key=lambda way: (max(way.release_minute, one.slots[0]), way.effort),
    )
    return next((way for way in ordered if _fits(way, fans, busy)), None)


def _fits(way: Cooling, fans: dict[str, int], busy: dict[str, Counter[int]]) -> bool:
    name = way.option.fan
    if name is None:
        return True
    free = fans[name] - way.option.units
    minutes = range(way.busy_from_minute, way.busy_to_minute)
    return all(busy[name][minute] <= free for minute in minutes)


def _take(way: Cooling, busy: dict[str, Counter[int]]) -> None:
    if way.option.fan is not None:
        for minute in range(way.busy_from_minute, way.busy_to_minute):
            busy[way.option.fan][minute] += way.option.units


def _free_slot(one: Choices, release_minute: int, taken: Sequence[int]) -> int | None:
    return next(
        (
            minute
            for minute in one.slots
            if minute >= release_minute
            and all(
                abs(minute + one.taxi_out_minutes - other) >= one.spacing_minutes
                for other in taken
            )
        ),
        None,
    )
