"""The stages of the objective, one after the other, in the time that is left.

Enters: choices and a complete start. Leaves: decisions that are no worse in the
lexicographic order, with a lower bound per stage. A stage's bound is valid given that
all stages before it are at their minimum; while one is not proved, later bounds are 0.
"""

from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

from scheduler.choices import Choices
from scheduler.day import Day
from scheduler.decisions import Decisions, Objective, Published, objective_of
from scheduler.model.build import Model, build
from scheduler.model.objective import Stage, folded, unfolded_bound
from scheduler.model.reduce import at_least_weight, fixed, only, without_dominated
from scheduler.model.relax import Relaxation, relax
from scheduler.model.search import Answer, Limits, minimize

_SHARE_OF_FIRST_STAGE = 0.4
_SHARE_OF_RELAXATION = 0.4
_SHARE_OF_PARTS = 0.75
_CUTS = ((0.02, 5.0), (0.06, 10.0), (0.2, 20.0))
_SHARE_OF_CUT = 0.6
_SMALLEST_PART = 16
_LARGEST_PART = 40
_PART_EFFORT = 1.5
_MEND_EFFORT = 0.5
_NEIGHBOURS = 12
_Bound = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """A day and the time left for it; ``until`` is on `time.perf_counter`'s clock."""

    day: Day
    choices: Sequence[Choices]
    published: Published
    until: float
    seed: int
    workers: int
    rescue: Path | None = None
    better: Callable[[Decisions, Objective], object] | None = None

    def improve(self, start: Decisions) -> tuple[Decisions, Objective] | None:
        """Improve a complete start in all stages; None if the solver has no answer."""
        least = sum(one.least_weight for one in self.choices)
        best, bound = self._told(start), least
        first = self._weight(start) if self._value(start)[0] > least else None
        if first is not None:
            best, bound = self._told(first.decisions), max(first.bound, least)
        is_proved = self._value(best)[0] == bound
        rest = self._rest(best, is_least=is_proved and bound == least)
        if rest is None:
            return None if first is None else (best, (bound, 0, 0, 0))
        decisions, (cost, changes, effort) = rest
        return decisions, (bound, *((cost, changes, effort) if is_proved else (0,) * 3))

    def mend(
        self, start: Decisions, touched: frozenset[str]
    ) -> tuple[Decisions, Objective]:
        """Decide again only what is touched and what competes with it."""
        names = touched_and_near(self.choices, start, touched, self.published)
        choices = []
        for one, decision in zip(self.choices, start, strict=True):
            row = self.published.get(one.turnaround.id)
            if one.slots and one.turnaround.id not in names:
                choices.append(fixed(one, decision))
            else:
                choices.append(without_dominated(one, row.fan_jobs if row else ()))
        model = build(self.day, choices, self.published, may_hold=True)
        least = sum(one.least_weight for one in self.choices)
        bound = (least, 0, 0, 0)
        sum_of_all = folded(model.stages)
        if sum_of_all is None:
            return start, bound
        found = self._minimize(
            model, sum_of_all, start, self._seconds_left(), _MEND_EFFORT
        )
        if found is None or self._value(found.decisions) > self._value(start):
            return start, bound
        return found.decisions, bound

    def _told(self, best: Decisions) -> Decisions:
        """Pass a better plan on, with the bound that needs no solver."""
        if self.better is not None:
            least = sum(one.least_weight for one in self.choices)
            self.better(best, (least, 0, 0, 0))
        return best

    def _value(self, decisions: Decisions) -> Objective:
        return objective_of(decisions, self.choices, self.day, self.published)

    def _weight(self, start: Decisions) -> Answer | None:
        model = self._model(most_weight=None)
        seconds = _SHARE_OF_FIRST_STAGE * self._seconds_left()
        return self._minimize(model, model.stages[0], start, seconds)

    def _rest(
        self, start: Decisions, *, is_least: bool
    ) -> tuple[Decisions, _Bound] | None:
        """Minimise the later stages while the weight stays as it is."""
        weight = self._value(start)[0]
        model = self._model(is_least=is_least, most_weight=weight)
        if folded(model.stages[1:]) is None:
            return self._one_by_one(model, start)
        price = relax(
            model, model.stages[1], seconds=_SHARE_OF_RELAXATION * self._seconds_left()
        )
        if price is None:
            return self._sum_of_all(model, start, self._seconds_left())
        return self._priced(price, start)

    def _priced(
        self, price: Relaxation, start: Decisions
    ) -> tuple[Decisions, _Bound] | None:
        """Solve with the columns near the bound, widened until that is a proof.

        A plan that costs no more than the columns were cut at cannot be beaten by one
        that uses a dropped column. Where that takes too long, the day is improved
        part by part before the next try.
        """
        best, found = start, None
        for share, least in _CUTS:
            cut = min((1 + share) * price.exact_bound + least, self._value(best)[1])
            slim = self._slimmer(price, best, cut)
            seconds = _SHARE_OF_CUT * self._seconds_left()
            found = self._sum_of_all(slim, best, seconds)
            if found is None:
                break
            best = self._told(found[0])
            value = self._value(best)[1:]
            if found[1] != value:
                break
            if value[0] <= cut:
                return best, value
        best = self._part_by_part(
            self._slimmer(price, best, self._value(best)[1]), best
        )
        found = self._proof(price, best, self._seconds_left())
        if found is None:
            return None if best is start else (best, (price.bound, 0, 0))
        return found

    def _proof(
        self, price: Relaxation, start: Decisions, seconds: float
    ) -> tuple[Decisions, _Bound] | None:
        """Solve with the columns that still matter."""
        slim = self._slimmer(price, start, self._value(start)[1])
        found = self._sum_of_all(slim, start, seconds)
        if found is None:
            return None
        decisions, (low, *later) = found
        return decisions, (max(low, price.bound), *later)

    def _part_by_part(self, model: Model, start: Decisions) -> Decisions:
        """Solve a stretch of arrivals at a time; longer ones once that brings nothing.

        Each part has a deterministic limit, so that the same plan comes out again
        unless the whole day runs out of time.
        """
        departures = [one.choices for one in model.variables.departures]
        until = perf_counter() + _SHARE_OF_PARTS * self._seconds_left()
        best, size = start, _SMALLEST_PART
        while size < len(departures) and size <= _LARGEST_PART:
            before = best
            for names in stretches(departures, size):
                left = until - perf_counter()
                if left <= 0:
                    return best
                part = self._part(model, best, names)
                found = self._sum_of_all(part, best, left, effort=_PART_EFFORT)
                if found is not None and found[0] != best:
                    best = self._told(found[0])
            if self._value(best) == self._value(before):
                size = size * 3 // 2
        return best

    def _part(self, model: Model, best: Decisions, names: Container[str]) -> Model:
        """Model in which all but the named turnarounds stay as decided."""
        choices = [
            one if one.turnaround.id in names or not one.slots else fixed(one, decision)
            for one, decision in zip(model.choices, best, strict=True)
        ]
        return self._like(model, choices)

    def _sum_of_all(
        self,
        model: Model,
        start: Decisions,
        seconds: float,
        effort: float | None = None,
    ) -> tuple[Decisions, _Bound] | None:
        """Minimise the exact sum of the later stages."""
        stages = model.stages[1:]
        sum_of_all = folded(stages)
        if sum_of_all is None:
            return None
        found = self._minimize(model, sum_of_all, start, seconds, effort)
        if found is None:
            return None
        value = self._value(found.decisions)[1:]
        return found.decisions, unfolded_bound(found.bound, stages, value)

    def _slimmer(self, price: Relaxation, best: Decisions, cost: float) -> Model:
        """Model without the columns that no plan of this delay cost uses.

        The columns of the best plan stay.
        """
        model = price.model
        usable = price.keeps(cost)
        kept = {one.turnaround_id: one for one in best}
        slim = {}
        for one in model.variables.departures:
            decision = kept[one.choices.turnaround.id]
            slots = {slot for slot, x in one.slots.items() if usable[x.index]}
            options = [way.option for way, x in one.coolings if usable[x.index]]
            if decision.off_block_minute is not None:
                slots.add(decision.off_block_minute)
                options.append(decision.option)
            slim[decision.turnaround_id] = only(one.choices, slots, options)
        choices = [slim.get(one.turnaround.id, one) for one in model.choices]
        return self._like(model, choices)

    def _one_by_one(
        self, model: Model, start: Decisions
    ) -> tuple[Decisions, _Bound] | None:
        """Minimise, freeze and go on, where the folded sum would not be exact."""
        best = start
        bounds = [0, 0, 0]
        for index, stage in enumerate(model.stages[1:]):
            found = self._minimize(model, stage, best, self._seconds_left())
            if found is None:
                return None if index == 0 else (best, tuple(bounds))
            best, bounds[index] = found.decisions, found.bound
            if found.bound < found.value:
                break
            model.freeze(stage, found.value)
        return best, tuple(bounds)

    def _model(self, *, is_least: bool = False, most_weight: int | None) -> Model:
        choices = []
        for one in self.choices:
            row = self.published.get(one.turnaround.id)
            slimmer = at_least_weight(one) if is_least else one
            choices.append(without_dominated(slimmer, row.fan_jobs if row else ()))
        return build(
            self.day,
            choices,
            self.published,
            may_hold=not is_least,
            most_weight=most_weight,
        )

    def _like(self, model: Model, choices: Sequence[Choices]) -> Model:
        """Model of other choices under the same limits."""
        return build(
            self.day,
            choices,
            self.published,
            may_hold=model.may_hold,
            most_weight=model.most_weight,
        )

    def _minimize(
        self,
        model: Model,
        stage: Stage,
        start: Decisions,
        seconds: float,
        effort: float | None = None,
    ) -> Answer | None:
        limits = Limits(
            seconds=seconds,
            effort=effort,
            seed=self.seed,
            workers=self.workers,
            rescue=self.rescue,
        )
        return minimize(model, stage, start, limits)

    def _seconds_left(self) -> float:
        return max(self.until - perf_counter(), 0.0)


def touched_and_near(
    choices: Sequence[Choices],
    start: Decisions,
    touched: frozenset[str],
    published: Published,
) -> frozenset[str]:
    """Names of what is touched or moved, and of so many that are nearest in time."""
    moved = set(touched)
    for decision in start:
        row = published.get(decision.turnaround_id)
        if row is None or decision.changes(row):
            moved.add(decision.turnaround_id)
    times = {
        one.turnaround.id: one.turnaround.target_off_block_minute for one in choices
    }
    centre = [times[name] for name in moved if name in times]
    if not centre:
        return frozenset(moved)
    near = sorted(
        (min(abs(times[one.turnaround.id] - at) for at in centre), one.turnaround.id)
        for one in choices
        if one.slots and one.turnaround.id not in moved
    )
    return frozenset(moved) | {name for _, name in near[:_NEIGHBOURS]}


def stretches(departures: Sequence[Choices], size: int) -> Iterator[frozenset[str]]:
    """Names of so many arrivals in a row, each stretch half over the one before."""
    ordered = sorted(departures, key=lambda one: one.turnaround.in_block_minute)
    names = [one.turnaround.id for one in ordered]
    for first in range(0, max(len(names) - size // 2, 1), size // 2):
        yield frozenset(names[first : first + size])
