"""Ways to cool after a full-length rollout, where brakes would hold an aircraft up.

Enters: the ways to cool after the landings as planned. Leaves: option tables and
summaries with the rollout that may be asked for beside them. It is offered where it
brings brake-ready in still air forward by `WORTH_MINUTES`, and people go to its wheels
no earlier than after the planned landing.
"""

from dataclasses import replace

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.cases.full_length import FULL_LENGTH, ask_by, full_length_case
from scheduler.day import Day, Duty, Task
from scheduler.options import Option, OptionTable
from scheduler.plan import HeatSummary
from scheduler.readiness.fan_jobs import WORTH_MINUTES
from scheduler.readiness.stand import stand_heat
from scheduler.readiness.ways import Ways

Answer = tuple[OptionTable, HeatSummary]


def with_rollouts(
    day: Day, planned: Ways, answers: list[Answer], seed: int
) -> list[Answer]:
    """Tables and summaries with the full-length rollout where it is worth asking."""
    places, cases = _landed_otherwise(day, planned, answers, seed)
    if not cases:
        return answers
    longer = Ways.of(day, cases, planned.rank_count)
    useful = [
        k
        for k, place in enumerate(places)
        if _is_earlier(longer.table(day, k), answers[place][0])
    ]
    if not useful:
        return answers
    people = {k: planned.plugs[places[k]].approach_minute for k in useful}
    longer = longer.with_fans(day, people)
    central = stand_heat(
        tuple(_central(day, cases[k], seed) for k in useful),
        day.station.hold_minutes,
        every_brake=True,
    )
    found = list(answers)
    for k in useful:
        table, text = found[places[k]]
        rollouts = ((FULL_LENGTH, longer.summary(central, k)),)
        joined = _joined(day, planned, places[k], table, longer.table(day, k))
        found[places[k]] = joined, replace(text, rollouts=rollouts)
    return found


def _landed_otherwise(
    day: Day, planned: Ways, answers: list[Answer], seed: int
) -> tuple[list[int], tuple[Case, ...]]:
    """Places of the turnarounds whose brakes bind, and their other landing."""
    rank, count = planned.rank_count
    places: list[int] = []
    cases: list[Case] = []
    for place, case in enumerate(planned.heat.cases):
        ready = answers[place][0].still_air.ready_minute
        latest = case.turnaround.target_off_block_minute + WORTH_MINUTES
        if ready is not None and ready <= latest:
            continue
        other = full_length_case(day, case, seed=seed, above=count - rank)
        if other is not None:
            places.append(place)
            number = np.full(other.rows.count, len(cases))
            cases.append(replace(other, rows=replace(other.rows, case=number)))
    return places, tuple(cases)


def _central(day: Day, case: Case, seed: int) -> Case:
    """Case of the same landing in the middle of all ranges."""
    return build_case(
        day,
        case.turnaround,
        sample_count=1,
        seed=seed,
        case=int(case.rows.case[0]),
        central=True,
    )


def _is_earlier(longer: OptionTable, planned: OptionTable) -> bool:
    """Whether it is ready in still air by so much earlier that asking is worth it."""
    ready, before = longer.still_air.ready_minute, planned.still_air.ready_minute
    if ready is None:
        return False
    return before is None or ready <= before - WORTH_MINUTES


def _joined(
    day: Day, planned: Ways, place: int, table: OptionTable, longer: OptionTable
) -> OptionTable:
    """Both tables in one; a check is no earlier than either lets it be."""
    may_check = table.approach_minute is not None
    options = [
        replace(one, rollout=FULL_LENGTH)
        for one in longer.options
        if one.ready_minute is not None and (may_check or not one.needs_check)
    ]
    turnaround = planned.heat.cases[place].turnaround
    return replace(
        table,
        options=(*table.options, *options),
        duties=_both(table.duties, longer.duties, options),
        rollout_deadline_minute=ask_by(day, turnaround) if options else None,
    )


def _both(
    planned: tuple[Duty, ...], longer: tuple[Duty, ...], options: list[Option]
) -> tuple[Duty, ...]:
    """Duties of the planned landing, and a check that only the other one needs."""
    earliest = [
        one.earliest_minute
        for one in longer
        if one.task is Task.PLUG_CHECK and any(way.needs_check for way in options)
    ]
    if not earliest:
        return planned
    if not any(one.task is Task.PLUG_CHECK for one in planned):
        return (*planned, *(one for one in longer if one.task is Task.PLUG_CHECK))
    return tuple(
        replace(one, earliest_minute=max(one.earliest_minute, *earliest))
        if one.task is Task.PLUG_CHECK
        else one
        for one in planned
    )
