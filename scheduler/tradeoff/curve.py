"""The curve of take-off weight against the earliest off-block.

Enters: a `Weigher`. Leaves: a `WeightCurve` whose minutes never fall with weight.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from scheduler.day import Day, Turnaround
from scheduler.tradeoff.record import Point, WeightCurve
from scheduler.tradeoff.weigher import Weigher

STEP_KG = 100.0
LIGHTER, HEAVIER = 0.88, 1.04
POINTS = 9


def weight_curve(weigher: Weigher) -> WeightCurve:
    """Curve over the weights that come into question.

    From the planned weight less the removable load, or an eighth less, to a little
    more than planned; between empty and maximum take-off weight.
    """
    curve = bare_curve(weigher)
    weights = _weights(curve.day, curve.turnaround, curve.step_kg)
    found = weigher.at_each(weights)
    return replace(curve, points=_never_falling(found, weigher.planned))


def bare_curve(weigher: Weigher) -> WeightCurve:
    """Curve without points: what is planned."""
    step = weigher.turnaround.departure.load_step_kg or STEP_KG
    return WeightCurve(
        day=weigher.day,
        turnaround=weigher.turnaround,
        planned=weigher.planned,
        planned_minute=weigher.planned_minute,
        points=(),
        fan_job=weigher.job,
        rollout=weigher.rollout,
        step_kg=step,
        assumed=weigher.case.assumed,
        sample_count=weigher.case.shape[0],
        seed=weigher.seed,
    )


def _weights(day: Day, turnaround: Turnaround, step_kg: float) -> list[float]:
    aircraft, departure = day.aircraft_of(turnaround), turnaround.departure
    planned = departure.take_off_weight_kg
    middle = aircraft.maximum_take_off_kg if planned is None else planned
    low = LIGHTER * middle
    if departure.removable_load_kg:
        low = middle - departure.removable_load_kg
    low = max(low, aircraft.operating_empty_kg)
    high = min(HEAVIER * middle, aircraft.maximum_take_off_kg)
    spread = np.linspace(low, high, POINTS)
    weights = {float(step_kg * np.floor(value / step_kg)) for value in spread}
    weights = {one for one in weights if one >= aircraft.operating_empty_kg}
    return sorted(weights | ({planned} if planned is not None else set()))


def _never_falling(points: list[Point], planned: Point | None) -> tuple[Point, ...]:
    """Hold a heavier one at least as long, a lighter one no longer than planned."""
    found: list[Point] = []
    for point in points:
        later = point
        if planned is not None and point.take_off_weight_kg <= (
            planned.take_off_weight_kg
        ):
            later = _of_both(later, planned, min)
        found.append(_of_both(later, found[-1], max) if found else later)
    return tuple(found)


def _of_both(
    point: Point, other: Point, pick: Callable[[float, float], float]
) -> Point:
    """Point with its own minute or that of another, whichever is picked."""
    own, others = (
        np.inf
        if one.earliest_off_block_minute is None
        else one.earliest_off_block_minute
        for one in (point, other)
    )
    if pick(own, others) == own:
        return point
    return replace(other, take_off_weight_kg=point.take_off_weight_kg)
