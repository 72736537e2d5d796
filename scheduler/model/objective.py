"""The four stages of the objective as sums over variables.

Enters: variables and choices. Leaves: one `Stage` each for the weight of broken rules,
the delay cost, the changes against a published plan and the fan effort; and several
stages folded into one exactly.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from scheduler.choices import TOW_EFFORT, WEIGHT_OF, Choices, weight_of
from scheduler.day import Day, DelayCost
from scheduler.decisions import Published, change_charge, decision_of
from scheduler.model.variables import DepartureVariables, Literal, Variables
from scheduler.plan import Relaxation

LARGEST = 2**53  # whole numbers that the solver's linear relaxation still tells apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A sum to minimise; its value lies between 0 and ``reach`` in every plan."""

    constant: int
    terms: tuple[tuple[Literal, int], ...]
    reach: int


def stages_of(
    variables: Variables,
    choices: Sequence[Choices],
    day: Day,
    published: Published,
) -> tuple[Stage, Stage, Stage, Stage]:
    """Write the four stages in the order of their importance."""
    departures = variables.departures
    fixed = [one for one in choices if not one.slots]
    changes = _changes(variables, fixed, day, published)
    costs = [list(_costs(one, day.station.delay_cost)) for one in departures]
    return (
        _weights_of(departures, fixed),
        _charged(_stage(0, costs), changes, change_charge(day)),
        changes,
        _stage(
            TOW_EFFORT * sum(one.tow_minute is not None for one in fixed),
            [list(_efforts(one)) for one in departures],
        ),
    )


def folded(stages: Sequence[Stage]) -> Stage | None:
    """Fold stages, most important first, into one sum with the same best plan.

    The minimum of the sum is the lexicographic minimum, because a step of one stage
    outweighs all that later stages can make. None where the numbers would grow too
    large to be exact.
    """
    factors = factors_of(stages)
    weighted = list(zip(stages, factors, strict=True))
    reach = sum(stage.reach * factor for stage, factor in weighted)
    if reach >= LARGEST:
        return None
    return Stage(
        constant=sum(stage.constant * factor for stage, factor in weighted),
        terms=tuple(
            (literal, weight * factor)
            for stage, factor in weighted
            for literal, weight in stage.terms
        ),
        reach=reach,
    )


def unfolded_bound(
    bound: int, stages: Sequence[Stage], value: Sequence[int]
) -> tuple[int, ...]:
    """Split a bound on the folded sum into one per stage, for a plan of this value.

    A stage after the first one that is not proved gets 0.
    """
    bounds = [0] * len(value)
    left = bound
    for index, factor in enumerate(factors_of(stages)):
        bounds[index] = max(left // factor, 0)
        if bounds[index] < value[index]:
            break
        left -= factor * value[index]
    return tuple(bounds)


def factors_of(stages: Sequence[Stage]) -> list[int]:
    """Factor of each stage: more than all that lower stages can make."""
    factors = [1]
    for stage in reversed(stages[1:]):
        factors.insert(0, factors[0] * (stage.reach + 1))
    return factors


def _stage(constant: int, terms: Sequence[Sequence[tuple[Literal, int]]]) -> Stage:
    """Stage of non-negative weights, of which each turnaround takes one."""
    reach = sum(_most(own) for own in terms)
    return Stage(
        constant=constant,
        terms=tuple(term for own in terms for term in own),
        reach=constant + reach,
    )


def _most(terms: Sequence[tuple[Literal, int]]) -> int:
    """Most that a turnaround can add: one minute or option, and a tow."""
    return max((weight for _, weight in terms), default=0) + TOW_EFFORT


def _weights_of(
    departures: Sequence[DepartureVariables], fixed: Sequence[Choices]
) -> Stage:
    """Weight of what is broken: by minute, less what a tow or kept pins save."""
    pin = WEIGHT_OF[Relaxation.PIN]
    pins = pin * sum(one.pinned is not None for one in departures)
    stage = _stage(
        pins + sum(one.least_weight for one in fixed),
        [list(_weights(one)) for one in departures],
    )
    saved = [(x, -pin) for one in departures if (x := one.pinned) is not None]
    saved += [
        (x, -WEIGHT_OF[Relaxation.STAND])
        for one in departures
        if (x := one.towed) is not None
    ]
    return replace(stage, terms=(*stage.terms, *saved))


def _weights(one: DepartureVariables) -> Iterator[tuple[Literal, int]]:
    def weight(minute: int | None) -> int:
        relaxed = one.choices.relaxed(minute)
        return weight_of(rule for rule in relaxed if rule is not Relaxation.PIN)

    first = one.choices.first_broken_minute
    for slot, literal in one.slots.items():
        if slot >= first and (broken := weight(slot)):
            yield literal, broken
    for literal in one.holding:
        yield literal, weight(None)


def _charged(costs: Stage, changes: Stage, charge: int) -> Stage:
    """Delay cost with the charge of each change."""
    if charge == 0:
        return costs
    return Stage(
        constant=costs.constant + charge * changes.constant,
        terms=(*costs.terms, *((x, charge * weight) for x, weight in changes.terms)),
        reach=costs.reach + charge * changes.reach,
    )


def _costs(
    one: DepartureVariables, delay_cost: DelayCost
) -> Iterator[tuple[Literal, int]]:
    target = one.choices.turnaround.target_off_block_minute
    costs = costs_of(delay_cost, max(one.slots) - target)
    for slot, literal in one.slots.items():
        if cost := costs[slot - target]:
            yield literal, cost


@lru_cache(maxsize=64)
def costs_of(delay_cost: DelayCost, longest: int) -> tuple[int, ...]:
    """Cost of each delay from 0 to the longest."""
    return tuple(delay_cost.of(delay) for delay in range(longest + 1))


def _efforts(one: DepartureVariables) -> Iterator[tuple[Literal, int]]:
    for way, literal in one.coolings:
        if way.effort:
            yield literal, way.effort
    if one.towed is not None:
        yield one.towed, TOW_EFFORT


def _changes(
    variables: Variables, fixed: Sequence[Choices], day: Day, published: Published
) -> Stage:
    constant = 0
    for one in fixed:
        row = published.get(one.turnaround.id)
        minute = one.turnaround.target_off_block_minute if one.gone else None
        decision = decision_of(one, one.still_air, minute)
        tolerance = day.station.tolerance_minutes
        constant += row is not None and decision.changes(row, tolerance)
    kept = [one.kept for one in variables.departures if one.kept is not None]
    constant += sum(one.published is not None for one in variables.departures)
    return Stage(
        constant=constant,
        terms=tuple((literal, -1) for literal in kept),
        reach=constant,
    )
