"""Where the day's delay comes from, and what one more of something would save.

Enters: a day, its option tables, a plan. Leaves: shares and what-ifs. Both come from
solving the same model again on a changed day, so that they hold for the day as a whole.

The chain is fixed: ground handling ends (no delay), then each aircraft's own heat with
fans without number, then the fans shared, then runway, slots and CTOT, then stands,
crews and what is pinned. Each difference is the share of what was added, and the shares
add up to the delay of the plan.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scheduler.choices import choices_of
from scheduler.day import Day, Turnaround
from scheduler.decisions import objective_of
from scheduler.options import OptionTable
from scheduler.plan import DelayShare, Plan, WhatIf
from scheduler.solve import Outcome, SolveConfig, improve

HEAT, FANS = "heat alone", "fans shared"
RUNWAY, REST = "runway and CTOT", "stand and crew"
FLIGHT_KG = 1000.0
_RUNWAY_OF = "runway of {}"


def delay_shares(
    day: Day, tables: Sequence[OptionTable], plan: Plan, config: SolveConfig
) -> tuple[DelayShare, ...]:
    """Split delay minutes and delay cost of a plan along the chain.

    Parameters
    ----------
    day : Day
    tables : sequence of OptionTable
        What the plan was decided on.
    plan : Plan
        Its delay is what the shares add up to.
    config : SolveConfig
        Time for each of the days that are solved.

    Returns
    -------
    shares : tuple of DelayShare
        In the order of the chain. A share can be negative where a rule that is added
        breaks another one at a price, for example holds an aircraft.
    """
    totals = [
        _worth(day, tables, improve(changed, tables, config))
        for changed in (_own_heat(day), _fans_shared(day), _runway_shared(day))
    ]
    totals.append(worth_of_plan(day, plan))
    shares = []
    before = (0, 0)
    for name, total in zip((HEAT, FANS, RUNWAY, REST), totals, strict=True):
        shares.append(
            DelayShare(
                resource=name, minutes=total[0] - before[0], cost=total[1] - before[1]
            )
        )
        before = total
    return tuple(shares)


def worth_of_plan(day: Day, plan: Plan) -> tuple[int, int]:
    """Delay minutes and delay cost of a plan."""
    delays = [row.delay_minutes or 0 for row in plan.turnarounds]
    return sum(delays), sum(day.station.delay_cost.of(delay) for delay in delays)


def day_what_ifs(
    day: Day, tables: Sequence[OptionTable], plan: Plan, config: SolveConfig
) -> tuple[WhatIf, ...]:
    """Solve the day again with one more unit of each fan type, and one more slot."""
    return tuple(
        what_if(day, changed, tables, plan, config, text)
        for text, changed in _one_more(day)
    )


def what_if(
    day: Day,
    changed: Day,
    tables: Sequence[OptionTable],
    plan: Plan,
    config: SolveConfig,
    text: str,
) -> WhatIf:
    """Solve a changed day and compare its delay with the plan's."""
    found = improve(changed, tables, config)
    minutes, cost = _worth(changed, tables, found)
    before = worth_of_plan(day, plan)
    proof = found.proof
    return WhatIf(
        change=text,
        minutes_saved=before[0] - minutes,
        cost_saved=before[1] - cost,
        proved=tuple(proof.objective[:2]) == tuple(proof.bound[:2]),
    )


def flight_what_if(
    day: Day,
    changed: Day,
    tables: Sequence[OptionTable],
    plan: Plan,
    config: SolveConfig,
    name: str,
    text: str,
) -> WhatIf:
    """Solve again only what competes with one flight; the rest stays as planned.

    The answer is local: what the change could do further away is not looked at.
    """
    near = replace(config, touched=frozenset({name}), is_local=True)
    found = improve(changed, tables, near, plan)
    minutes, cost = _worth(changed, tables, found)
    before = worth_of_plan(day, plan)
    return WhatIf(
        change=text,
        minutes_saved=before[0] - minutes,
        cost_saved=before[1] - cost,
        proved=False,
        local=True,
    )


def lighter(day: Day, turnaround_id: str, less_kg: float = FLIGHT_KG) -> Day | None:
    """Day on which one flight takes off lighter; None where its weight is unknown."""

    def change(one: Turnaround) -> Turnaround:
        weight = one.departure.take_off_weight_kg
        if one.id != turnaround_id or weight is None:
            return one
        departure = replace(one.departure, take_off_weight_kg=weight - less_kg)
        return replace(one, departure=departure)

    changed = replace(day, turnarounds=tuple(change(one) for one in day.turnarounds))
    return None if changed.turnarounds == day.turnarounds else changed


def _worth(day: Day, tables: Sequence[OptionTable], found: Outcome) -> tuple[int, int]:
    """Delay minutes and delay cost of what was found."""
    choices = choices_of(day, tables)
    minutes = sum(
        decision.off_block_minute - one.turnaround.target_off_block_minute
        for one, decision in zip(choices, found.decisions, strict=True)
        if decision.off_block_minute is not None
    )
    return minutes, objective_of(found.decisions, choices, day, {})[1]


def _own_heat(day: Day) -> Day:
    """Day on which every aircraft has all fans, and the runway, to itself."""
    plenty = len(day.turnarounds)
    fans = tuple(
        replace(
            fan,
            units=fan.units * plenty,
            outages=(),
            home=tuple((zone, units * plenty) for zone, units in fan.home),
        )
        for fan in day.station.fans
    )
    open_day = _fans_shared(day)
    station = replace(open_day.station, fans=fans, exact_moves=False)
    return replace(open_day, station=station)


def _fans_shared(day: Day) -> Day:
    """Day on which only the fans are shared: everyone has a runway of its own."""
    own = tuple(
        replace(
            day.departure_runway_of(one),
            name=_RUNWAY_OF.format(one.id),
            closures=(),
            arrival_gap_minutes=0,
        )
        for one in day.turnarounds
    )
    station = replace(
        day.station,
        runways=(*day.station.runways, *own),
        wake=None,
        slots=(),
        slots_only=False,
        curfews=(),
    )
    without = _runway_shared(replace(day, station=station))
    return replace(
        without,
        turnarounds=tuple(
            replace(
                one,
                departure=replace(
                    one.departure, ctot_minute=None, runway=_RUNWAY_OF.format(one.id)
                ),
            )
            for one in without.turnarounds
        ),
    )


def _runway_shared(day: Day) -> Day:
    """Day without next arrivals, crews, duty limits, rotations and pins."""
    stands = {
        one.id: replace(day.stand_of(one), name=one.id, tow_off_minutes=None)
        for one in day.turnarounds
    }
    turnarounds = tuple(
        replace(
            one,
            stand=one.id,
            rotation_minutes=None,
            departure=replace(one.departure, crew_limit_minute=None),
        )
        for one in day.turnarounds
    )
    station = replace(day.station, stands=tuple(stands.values()), crews=())
    return replace(day, station=station, turnarounds=turnarounds, pins=())


def _one_more(day: Day) -> Iterator[tuple[str, Day]]:
    """One more unit of each type, and one more take-off in each interval."""
    station = day.station
    for fan in station.fans:
        more = replace(
            fan,
            units=fan.units + 1,
            home=tuple(
                (zone, units + (place == 0))
                for place, (zone, units) in enumerate(fan.home)
            ),
        )
        fans = tuple(more if one is fan else one for one in station.fans)
        yield (
            f"one more {fan.name}",
            replace(day, station=replace(station, fans=fans)),
        )
    for slot in station.slots:
        more_slots = tuple(
            replace(one, take_offs=one.take_offs + 1) if one is slot else one
            for one in station.slots
        )
        start, end = day.clock.short(slot.from_minute), day.clock.short(slot.to_minute)
        yield (
            f"one more take-off from {start} to {end}",
            replace(day, station=replace(station, slots=more_slots)),
        )
