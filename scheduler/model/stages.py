"""The stages of the objective, one after the other, in the time that is left.

Enters: choices and a complete start. Leaves: decisions that are no worse in the
lexicographic order, with a lower bound per stage. A stage's bound is valid given that
all stages before it are at their minimum; while one is not proved, later bounds are 0.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter

from scheduler.choices import Choices
from scheduler.day import Day
from scheduler.decisions import Decisions, Objective, Published, objective_of
from scheduler.model.build import Model, build
from scheduler.model.objective import Stage, folded, unfolded_bound
from scheduler.model.reduce import at_least_weight, without_dominated
from scheduler.model.search import Answer, minimize

_SHARE_OF_FIRST_STAGE = 0.4
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

    def improve(self, start: Decisions) -> tuple[Decisions, Objective] | None:
        """Improve a complete start in all stages; None if the solver has no answer."""
        least = sum(one.least_weight for one in self.choices)
        best, bound = start, least
        first = self._weight(start) if self._value(start)[0] > least else None
        if first is not None:
            best, bound = first.decisions, max(first.bound, least)
        is_proved = self._value(best)[0] == bound
        rest = self._rest(best, is_least=is_proved and bound == least)
        if rest is None:
            return None if first is None else (best, (bound, 0, 0, 0))
        decisions, (cost, changes, effort) = rest
        return decisions, (bound, *((cost, changes, effort) if is_proved else (0,) * 3))

    def _value(self, decisions: Decisions) -> Objective:
        cost = self.day.station.delay_cost
        return objective_of(decisions, self.choices, cost, self.published)

    def _weight(self, start: Decisions) -> Answer | None:
        model = self._model(is_least=False)
        seconds = _SHARE_OF_FIRST_STAGE * self._seconds_left()
        return self._minimize(model, model.stages[0], start, seconds)

    def _rest(
        self, start: Decisions, *, is_least: bool
    ) -> tuple[Decisions, _Bound] | None:
        """Minimise the later stages while the weight stays as it is."""
        model = self._model(is_least=is_least)
        if not is_least:
            model.freeze(model.stages[0], self._value(start)[0])
        stages = model.stages[1:]
        sum_of_all = folded(stages)
        if sum_of_all is None:
            return self._one_by_one(model, start)
        found = self._minimize(model, sum_of_all, start, self._seconds_left())
        if found is None:
            return None
        value = self._value(found.decisions)[1:]
        return found.decisions, unfolded_bound(found.bound, stages, value)

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

    def _model(self, *, is_least: bool) -> Model:
        choices = []
        for one in self.choices:
            row = self.published.get(one.turnaround.id)
            slimmer = at_least_weight(one) if is_least else one
            choices.append(without_dominated(slimmer, row.fan_jobs if row else ()))
        return build(self.day, choices, self.published, may_hold=not is_least)

    def _minimize(
        self, model: Model, stage: Stage, start: Decisions, seconds: float
    ) -> Answer | None:
        return minimize(
            model, stage, start, seconds=seconds, seed=self.seed, workers=self.workers
        )

    def _seconds_left(self) -> float:
        return max(self.until - perf_counter(), 0.0)
