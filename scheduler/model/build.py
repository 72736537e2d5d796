"""Wiring: choices in, a model with rules and stages out, its answer read back."""

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from scheduler.choices import Choices
from scheduler.day import Day
from scheduler.decisions import Decision, Decisions, Published, decision_of
from scheduler.model import capacity, moves, rules
from scheduler.model.objective import Stage, stages_of
from scheduler.model.variables import DepartureVariables, Variables, add_variables
from scheduler.windows import gone_take_offs


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """A built model; ``stages`` most important first.

    The first ``boolean_count`` variables are Booleans, later ones count fan units.
    """

    cp: cp_model.CpModel
    choices: tuple[Choices, ...]
    variables: Variables
    stages: tuple[Stage, Stage, Stage, Stage]
    may_hold: bool
    most_weight: int | None
    tolerance_minutes: int
    boolean_count: int

    def hint(self, decisions: Decisions) -> None:
        """Give every variable the value it has under the decisions."""
        by_id = {decision.turnaround_id: decision for decision in decisions}
        self.cp.clear_hints()  # type: ignore[no-untyped-call]
        for one in self.variables.departures:
            for literal, value in one.decided(
                by_id[one.choices.turnaround.id], self.tolerance_minutes
            ):
                self.cp.add_hint(literal, int(value))

    def minimize(self, stage: Stage) -> None:
        """Make a stage the objective."""
        self.cp.minimize(_sum(stage) + stage.constant)

    def freeze(self, stage: Stage, value: int) -> None:
        """Let a stage never be worse than ``value`` again."""
        self.cp.add(_sum(stage) <= value - stage.constant)

    def read(self, solver: cp_model.CpSolver) -> Decisions:
        """Turn the solver's values into decisions, in the order of the choices."""
        planned = {
            one.choices.turnaround.id: _read(one, solver)
            for one in self.variables.departures
        }
        return tuple(
            planned.get(one.turnaround.id) or _only_decision(one)
            for one in self.choices
        )


def build(
    day: Day,
    choices: Sequence[Choices],
    published: Published,
    *,
    may_hold: bool,
    most_weight: int | None = None,
) -> Model:
    """Build the model of a day.

    Parameters
    ----------
    day : Day
        The day.
    choices : sequence of Choices
        One per turnaround, in the day's order.
    published : mapping of str to PlannedTurnaround
        Rows of the published plan.
    may_hold : bool
        Whether an aircraft that could go may be held for the sake of others.
    most_weight : int, optional
        Weight of broken rules that no plan may exceed.

    Returns
    -------
    model : Model
        With every rule; without an objective.
    """
    cp = cp_model.CpModel()
    station = day.station
    tolerance = station.tolerance_minutes
    variables = add_variables(
        cp, choices, published, may_hold=may_hold, tolerance_minutes=tolerance
    )
    boolean_count = len(cp.proto.variables)
    every_rule: tuple[rules.Rule, ...] = (
        rules.OneDeparture(),
        rules.OneCooling(),
        rules.BrakeReady(),
        rules.DutiesDone(),
        capacity.FanCapacity(station.fans),
        moves.FanMoves(day),
        capacity.CrewCapacity(station.crews),
        capacity.RunwaySpacing(day),
        capacity.SlotCapacity(station.slots, gone_take_offs(day)),
        rules.TowOff(),
        rules.PinsKept(),
        rules.PublishedKept(tolerance),
    )
    for rule in every_rule:
        rule.add(cp, variables)
    model = Model(
        cp=cp,
        choices=tuple(choices),
        variables=variables,
        stages=stages_of(variables, choices, day, published),
        may_hold=may_hold,
        most_weight=most_weight,
        tolerance_minutes=tolerance,
        boolean_count=boolean_count,
    )
    if most_weight is not None and (may_hold or variables.may_mend):
        model.freeze(model.stages[0], most_weight)
    return model


def _sum(stage: Stage) -> cp_model.LinearExprT:
    literals = [literal for literal, _ in stage.terms]
    return cp_model.LinearExpr.weighted_sum(
        literals, [weight for _, weight in stage.terms]
    )


def _read(one: DepartureVariables, solver: cp_model.CpSolver) -> Decision:
    value = solver.boolean_value
    minute = next((slot for slot, x in one.slots.items() if value(x)), None)
    option = next(
        (way.option for way, x in one.coolings if value(x)), one.choices.still_air
    )
    duties = tuple(
        work.ways.planned(*start)
        for work in one.duties
        for start, x in work.starts.items()
        if value(x)
    )
    towed = one.towed is not None and value(one.towed)
    return decision_of(one.choices, option, minute, duties, towed=towed)


def _only_decision(one: Choices) -> Decision:
    minute = one.turnaround.target_off_block_minute if one.gone else None
    return decision_of(
        one, one.still_air, minute, towed=one.tow_minute is not None and minute is None
    )
