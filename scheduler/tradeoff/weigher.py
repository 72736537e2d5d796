"""Earliest off-block of one turnaround at any take-off weight.

Enters: the day, a turnaround, its planned fan job and brake-ready. Leaves: minutes.

- The heat at the stand does not depend on the departure: it is integrated once, and
  only accelerate-stop, taxi-out and flight are computed again for a weight.
- A dispatched V1 stays where load comes off, until the performance office gives
  another; at more weight it rises with the root of the weight.
- At the planned weight the plan's own minute counts; where it was moved later there,
  all weights are moved alike.
- Where the plan asks for a full-length rollout, all weights land so.
"""

from copy import copy

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.cases.full_length import full_length_case
from scheduler.cases.other_landing import draws_of
from scheduler.day import Day, Turnaround
from scheduler.errors import DayError
from scheduler.options import Option
from scheduler.plan import FanJob
from scheduler.readiness.fan_jobs import Job
from scheduler.readiness.fan_options import fan_options
from scheduler.readiness.limits import SampleMinutes, rank_of, stand_minutes
from scheduler.readiness.plugs import plug_state
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.readiness.table import check_minute, option_table
from scheduler.tradeoff.departures import (
    departing,
    few_rows,
    side_by_side,
    with_departure,
)
from scheduler.tradeoff.record import Point, Relief

# Rows of each limit that are followed at other weights than the planned one.
FOLLOWED = 8
# Weights looked at in one batch of a search.
AT_ONCE = 10
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
        rollout: str | None = None,
    ) -> None:
        station = day.station
        self.day, self.turnaround = day, turnaround
        self.job, self.seed, self.rollout = job, seed, rollout
        rank = rank_of(sample_count, station.limit_confidence, station.bound_confidence)
        case = build_case(day, turnaround, sample_count=sample_count, seed=seed)
        if rollout is not None:
            above = sample_count - rank
            case = full_length_case(day, case, seed=seed, above=above) or case
        self._draws = draws_of(day, turnaround, sample_count=sample_count, seed=seed)
        self._heat = stand_heat((case,), station.hold_minutes, rule=station.approach)
        self._rank_count = rank, sample_count
        self._plugs = plug_state(self._heat, 0, station.approach, *self._rank_count)
        self._check = check_minute(day, case, self._plugs)
        still = stand_minutes(self._heat)
        self._few = self._few_rows(still[0])
        self._own = {True: self._options_of(self._heat, still, None)[0]}
        self.tie(planned_minute)

    def tie(self, planned_minute: int | None) -> None:
        """Move all weights as the plan moved the planned one."""
        self.planned_minute, self._shift = planned_minute, 0
        found = self._planned_option()
        self._planned_limit, own = found.binding, found.ready_minute
        if planned_minute is None:
            return
        if own is None or planned_minute - own < -AGREES_MINUTES:
            clock = self.day.clock
            found_at = "none" if own is None else clock.short(own)
            raise DayError.of(
                f"plan of {self.turnaround.id}",
                f"brake-ready as this day has it, {found_at} UTC; the day was changed "
                "after the plan: make the plan again (heatslot plan, or replan)",
                f"{clock.short(planned_minute)} UTC",
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
        return self.at_each([weight_kg])[0]

    def at_each(self, weights_kg: list[float]) -> list[Point]:
        """Earliest off-block at each of some take-off weights, in one batch."""
        planned = self.planned
        known = {} if planned is None else {planned.take_off_weight_kg: planned}
        asked = [weight for weight in weights_kg if weight not in known]
        if asked:
            known |= dict(zip(asked, self._points(asked), strict=True))
        return [known[weight] for weight in weights_kg]

    def _points(self, weights_kg: list[float]) -> list[Point]:
        heats = [
            with_departure(
                self.day, self._few, self._draws, departing(self.turnaround, weight)
            )
            for weight in weights_kg
        ]
        heat = side_by_side(heats)
        options = self._options_of(heat, stand_minutes(heat, FOLLOWED), self.job)
        return [
            Point(
                take_off_weight_kg=weight,
                earliest_off_block_minute=None
                if one.ready_minute is None
                else one.ready_minute + self._shift,
                binding_limit=one.binding,
            )
            for weight, one in zip(weights_kg, options, strict=True)
        ]

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
        """Greatest whole number of steps that leaves in time, a few at a time."""
        while True:
            steps = np.unique(np.linspace(low, high, AT_ONCE).round().astype(int))
            points = self.at_each([int(one) * step_kg for one in steps])
            ready = [one.earliest_off_block_minute for one in points]
            late = [one is None or one > minute for one in ready]
            if late[0]:
                return None
            if not any(late):
                return int(steps[-1]) * step_kg
            first = late.index(True)
            low, high = int(steps[first - 1]), int(steps[first])
            if high - low == 1:
                return low * step_kg

    def _few_rows(self, still: SampleMinutes) -> StandHeat:
        aircraft = self.day.aircraft_of(self.turnaround)
        heats = [
            with_departure(
                self.day, self._heat, self._draws, departing(self.turnaround, weight)
            )
            for weight in (aircraft.operating_empty_kg, aircraft.maximum_take_off_kg)
        ]
        return few_rows([*heats, self._heat], still, self._heat)

    def _planned_option(self) -> Option:
        """As planned, all rows looked at; computed once with a fan, once without."""
        still = self.job is None
        if still not in self._own:
            minutes = stand_minutes(self._heat)
            found = self._options_of(self._heat, minutes, self.job)
            self._own[still] = found[0]
        return self._own[still]

    def _options_of(
        self, heat: StandHeat, minutes: list[SampleMinutes], job: FanJob | None
    ) -> list[Option]:
        """Still air or a job, for every case of a heat."""
        if job is None:
            rank = self._rank_count[0]
            return [
                option_table(
                    self.day, heat, place, still, self._plugs, [], rank
                ).still_air
                for place, still in enumerate(minutes)
            ]
        in_block = self.turnaround.in_block_minute
        jobs = [
            Job(
                case=place,
                fan=self.day.fan(job.fan_type),
                start=job.start_minute - in_block,
                end=job.end_minute - in_block,
            )
            for place in range(len(minutes))
        ]
        checks = [self._check] * len(minutes)
        found = fan_options(heat, minutes, jobs, *self._rank_count, checks)
        return [one[0] for one in found]
