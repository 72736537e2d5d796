"""Weight against time for the flights of a plan that their brakes make late.

Enters: a plan and its day. Leaves: the plan with the curves of few flights in it.
"""

from collections.abc import Iterator
from dataclasses import replace

from scheduler.day import Day
from scheduler.errors import DayError
from scheduler.options import Limit
from scheduler.plan import Plan, PlannedTurnaround, TradePoint
from scheduler.tradeoff.curve import weight_curve
from scheduler.tradeoff.record import WeightCurve
from scheduler.tradeoff.weigher import Weigher
from scheduler.windows import is_gone

MOST_FLIGHTS = 8


def with_load_trades(plan: Plan, day: Day, most: int = MOST_FLIGHTS) -> Plan:
    """Add the load trade of the flights that their brakes delay most.

    Parameters
    ----------
    plan : Plan
    day : Day
        The day that it is the plan of.
    most : int
        So many flights get one: held ones first, then those with the largest delay.

    Returns
    -------
    plan : Plan
        The same plan, ``load_trade`` filled where brake-ready comes after the target
        off-block or not at all. A flight that waits for a check of its plugs gets
        none, since no weight changes that; nor does one whose brake-ready the heat of
        this day does not give again.
    """
    open_ids = {one.id for one in day.turnarounds if not is_gone(one)}
    late = [row for row in plan.turnarounds if row.id in open_ids and _is_late(row)]
    chosen = {row.id for row in sorted(late, key=_order)[:most]}
    rows = tuple(
        replace(row, load_trade=tuple(_trade(plan, day, row)))
        if row.id in chosen
        else row
        for row in plan.turnarounds
    )
    return replace(plan, turnarounds=rows)


def _is_late(row: PlannedTurnaround) -> bool:
    if row.binding_limit is Limit.PLUG_CHECK:
        return False
    ready = row.brake_ready_minute
    return ready is None or ready > row.target_off_block_minute


def _order(row: PlannedTurnaround) -> tuple[bool, int, str]:
    return row.off_block_minute is not None, -(row.delay_minutes or 0), row.id


def _trade(plan: Plan, day: Day, row: PlannedTurnaround) -> Iterator[TradePoint]:
    try:
        curve = _curve(plan, day, row)
    except DayError:
        return
    for point in curve.points:
        yield TradePoint(
            take_off_weight_kg=point.take_off_weight_kg,
            earliest_off_block_minute=point.earliest_off_block_minute,
            binding_limit=point.binding_limit,
            planned=curve.planned is not None
            and point.take_off_weight_kg == curve.planned.take_off_weight_kg,
        )


def _curve(plan: Plan, day: Day, row: PlannedTurnaround) -> WeightCurve:
    weigher = Weigher(
        day,
        next(one for one in day.turnarounds if one.id == row.id),
        job=row.fan_jobs[0] if row.fan_jobs else None,
        planned_minute=row.brake_ready_minute,
        sample_count=plan.sample_count,
        seed=plan.seed,
        rollout=row.rollout,
    )
    return weight_curve(weigher)
