"""Earliest off-block of one turnaround at any take-off weight.

Enters: the day, a turnaround, its planned fan job and brake-ready. Leaves: minutes.

- The heat at the stand does not depend on the departure: it is integrated once, and
  only accelerate-stop, taxi-out and flight are computed again for a weight.
- A dispatched V1 stays where load comes off, until the performance office gives
  another; at more weight it rises with the root of the weight.
- At the planned weight the plan's own minute counts; where it was moved later there,
  all weights are moved alike.
"""

from collections.abc import Callable
from copy import copy
from dataclasses import replace

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.cases.other_landing import draws_of
from scheduler.cases.take_off import take_off_heat
from scheduler.day import Day, Turnaround
from scheduler.errors import DayError
from scheduler.options import Option
from scheduler.plan import FanJob
from scheduler.readiness.fan_options import Job, fan_options
from scheduler.readiness.limits import rank_of, stand_minutes
from scheduler.readiness.plugs import plug_state
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.readiness.table import check_minute, option_table
from scheduler.tradeoff.record import Point, Relief, WeightCurve

STEP_KG = 100.0
LIGHTER, HEAVIER = 0.88, 1.04
POINTS = 9
# Rows of each limit that are followed at other weights than the planned one.
FOLLOWED = 8
# The two ways of computing may differ by so much before the plan is another day's.
AGREES_MINUTES = 2


class Weigher:
    """Earliest off-block of one turnaround by take-off weight."""

    def __init__(
        self,
        day: Day,
        turnaround: Turnaround,
        *,
        job: FanJob | None,
        planned_minute: int | None,
        sample_count: int,
        seed: int,
    ) -> None:
        station = day.station
        self.day, self.turnaround = day, turnaround
        self.job, self.seed = job, seed
        case = build_case(day, turnaround, sample_count=sample_count, seed=seed)
        self._draws = draws_of(day, turnaround, sample_count=sample_count, seed=seed)
        self._heat = stand_heat((case,), station.hold_minutes)
        rank = rank_of(sample_count, station.limit_confidence, station.bound_confidence)
        self._rank_count = rank, sample_count
        self._plugs = plug_state(self._heat, 0, station.approach, *self._rank_count)
        self._check = check_minute(day, case, self._plugs)
        self.tie(planned_minute)

    def tie(self, planned_minute: int | None) -> None:
        """Move all weights as the plan moved the planned one."""
        self.planned_minute, self._shift = planned_minute, 0
        found = self._option(self.turnaround)
        self._planned_limit, own = found.binding, found.ready_minute
        if planned_minute is None:
            return
        if own is None or planned_minute - own < -AGREES_MINUTES:
            raise DayError.of(
                f"plan of {self.turnaround.id}",
                f"brake-ready as this day gives it ({own})",
                planned_minute,
            )
        self._shift = planned_minute - own

    def without_fan(self, planned_minute: int | None) -> "Weigher":
        """Weigh the same turnaround in still air, tied to the plan's minute there."""
        other = copy(self)
        other.job = None
        other.tie(planned_minute)
        return other

    @property
    def shift_minutes(self) -> int:
        """How much later the plan has the planned weight than its heat gives."""
        return self._shift

    @property
    def case(self) -> Case:
        """The turnaround as planned."""
        return self._heat.cases[0]

    @property
    def planned(self) -> Point | None:
        """Point of the planned weight; None where none is given."""
        weight = self.turnaround.departure.take_off_weight_kg
        if weight is None:
            return None
        return Point(
            take_off_weight_kg=weight,
            earliest_off_block_minute=self.planned_minute,
            binding_limit=self._planned_limit,
        )

    def at(self, weight_kg: float) -> Point:
        """Earliest off-block at a take-off weight."""
        planned = self.planned
        if planned is not None and weight_kg == planned.take_off_weight_kg:
            return planned
        found = self._option(departing(self.turnaround, weight_kg), FOLLOWED)
        ready = found.ready_minute
        return Point(
            take_off_weight_kg=weight_kg,
            earliest_off_block_minute=None if ready is None else ready + self._shift,
            binding_limit=found.binding,
        )

    def relief(self, off_block_minute: int, step_kg: float) -> Relief:
        """Greatest weight that may leave at a minute, and what has to come off."""
        aircraft = self.day.aircraft_of(self.turnaround)
        planned = self.planned
        low = int(np.ceil(aircraft.operating_empty_kg / step_kg))
        high = int(aircraft.maximum_take_off_kg // step_kg)
        weight = self._greatest(off_block_minute, low, high, step_kg)
        if planned is not None and weight is not None:
            leaves = planned.earliest_off_block_minute
            if leaves is not None and leaves <= off_block_minute:
                weight = max(weight, planned.take_off_weight_kg)
        off = None
        if planned is not None and weight is not None:
            off = max(planned.take_off_weight_kg - weight, 0.0)
        limit = self._planned_limit
        if weight is None:
            limit = self.at(low * step_kg).binding_limit
        removable = self.turnaround.departure.removable_load_kg
        return Relief(
            off_block_minute=off_block_minute,
            weight_kg=weight,
            off_kg=off,
            binding_limit=limit,
            within_removable=None
            if off is None or removable is None
            else off <= removable,
        )

    def _greatest(
        self, minute: int, low: int, high: int, step_kg: float
    ) -> float | None:
        """Greatest whole number of steps that leaves in time, by halving."""

        def leaves(steps: int) -> bool:
            ready = self.at(steps * step_kg).earliest_off_block_minute
            return ready is not None and ready <= minute

        if not leaves(low):
            return None
        if leaves(high):
            return high * step_kg
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if leaves(middle) else (low, middle)
        return low * step_kg

    def _option(self, turnaround: Turnaround, followed: int | None = None) -> Option:
        """Still air or the planned job for a departure."""
        heat = self._departure_heat(turnaround)
        still = stand_minutes(heat, followed)[0]
        if self.job is None:
            table = option_table(
                self.day, heat, 0, still, self._plugs, [], self._rank_count[0]
            )
            return table.still_air
        in_block = turnaround.in_block_minute
        job = Job(
            case=0,
            fan=self.day.fan(self.job.fan_type),
            start=self.job.start_minute - in_block,
            end=self.job.end_minute - in_block,
        )
        found = fan_options(heat, [still], [job], *self._rank_count, [self._check])
        return found[0][0]

    def _departure_heat(self, turnaround: Turnaround) -> StandHeat:
        """Stand heat with accelerate-stop and taxi-out of a departure."""
        draws = self._draws
        taxi_out_j, stop_j = take_off_heat(
            self.day, turnaround, draws.inputs, draws.serviceable
        )
        rows = self._heat.rows
        share = draws.share[rows.sample, rows.brake]
        return replace(
            self._heat,
            cases=(replace(self.case, turnaround=turnaround),),
            rows=replace(
                rows,
                taxi_out_j=taxi_out_j[rows.sample, 0] * share,
                stop_j=stop_j[rows.sample, 0] * share,
            ),
        )


def departing(turnaround: Turnaround, weight_kg: float) -> Turnaround:
    """Turnaround at another take-off weight; V1 rises with it, and never falls."""
    departure = turnaround.departure
    planned, v1 = departure.take_off_weight_kg, departure.v1_m_per_s
    if v1 is not None and planned is not None:
        v1 *= max(1.0, float(np.sqrt(weight_kg / planned)))
    return replace(
        turnaround,
        departure=replace(departure, take_off_weight_kg=weight_kg, v1_m_per_s=v1),
    )


def weight_curve(weigher: Weigher) -> WeightCurve:
    """Curve over the weights that come into question.

    From the planned weight less the removable load, or an eighth less, to a little
    more than planned; between empty and maximum take-off weight.
    """
    curve = bare_curve(weigher)
    weights = _weights(curve.day, curve.turnaround, curve.step_kg)
    found = [weigher.at(weight) for weight in weights]
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
