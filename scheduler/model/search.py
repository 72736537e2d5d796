"""One run of the solver on one stage.

Enters: a model, the stage to minimise and decisions to start from. Leaves: decisions
with their value and a bound, both whole numbers, or nothing when the solver found no
plan in its time or failed.
"""

import logging
import math
from dataclasses import dataclass
from pathlib import Path

from ortools.sat.python import cp_model

from scheduler.decisions import Decisions
from scheduler.model.build import Model
from scheduler.model.objective import Stage
from scheduler.model.rescue import keep, kept_if_lost

_BOUND_NOISE = 1e-6
_SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Decisions of one run; no plan has a value below ``bound``."""

    decisions: Decisions
    value: int
    bound: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Limits of one run; ``effort`` is the solver's own deterministic time."""

    seconds: float
    effort: float | None
    seed: int
    workers: int
    rescue: Path | None = None


def minimize(
    model: Model, stage: Stage, start: Decisions, limits: Limits
) -> Answer | None:
    """Minimise a stage from a complete start; None if the solver has no answer."""
    model.hint(start)
    model.minimize(stage)
    solver = _solver(limits)
    try:
        with kept_if_lost(model.cp, solver, limits.rescue):
            status = solver.solve(model.cp)
    except (RuntimeError, ValueError, MemoryError) as error:
        _LOG.warning("the solver failed: %s", error)
        return None
    if status not in _SOLVED:
        if status != cp_model.UNKNOWN:
            keep(model.cp, solver, limits.rescue)
        return None
    value = round(solver.objective_value)
    bound = math.ceil(solver.best_objective_bound - _BOUND_NOISE)
    return Answer(
        decisions=model.read(solver),
        value=value,
        bound=value if status == cp_model.OPTIMAL else min(bound, value),
    )


def _solver(limits: Limits) -> cp_model.CpSolver:
    """Make a solver set for dense rows; much presolve costs more than it saves."""
    solver = cp_model.CpSolver()
    values = solver.parameters
    values.max_time_in_seconds = max(limits.seconds, 0.0)
    if limits.effort is not None:
        values.max_deterministic_time = limits.effort
    values.random_seed = limits.seed
    values.num_workers = limits.workers
    values.linearization_level = 2
    values.max_presolve_iterations = 2
    values.cp_model_probing_level = 0
    values.symmetry_level = 0
    values.hint_conflict_limit = 0
    return solver
