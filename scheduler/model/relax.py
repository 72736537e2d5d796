"""The linear relaxation of a model: a bound, and columns that no good plan uses.

Enters: a model and a stage. Leaves: a lower bound on the stage and the reduced cost of
every variable. A plan that uses a variable is worth at least the bound plus its reduced
cost, so with a plan of value v in hand every variable above v - bound can be dropped.
The bound is computed again from the dual prices, so it holds however well or badly the
linear solver did.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from scheduler.model.build import Model
from scheduler.model.objective import Stage

_NOISE = 1e-6
FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Relaxation:
    """Lower bound and reduced costs, shape (variable,), of one stage of a model.

    The model is part of the record, because reduced costs belong to its variables.
    """

    model: Model
    bound: int
    exact_bound: float
    reduced_cost: FloatArray

    def keeps(self, value: float) -> NDArray[np.bool_]:
        """Mark variables that a plan of at most this value can use."""
        return np.asarray(self.exact_bound + self.reduced_cost <= value + _NOISE)


def relax(model: Model, stage: Stage, *, seconds: float) -> Relaxation | None:
    """Solve the linear relaxation; None if that takes too long or nothing is open.

    Implications are left out, which can only lower the bound.
    """
    from scipy.optimize import linprog
    from scipy.sparse import csr_matrix

    if not model.variables.departures:
        return None
    cost = np.zeros(len(model.cp.proto.variables))
    for literal, weight in stage.terms:
        cost[literal.index] += weight
    equal, at_most = _rows(model.cp)
    parts = [
        csr_matrix(
            (np.array(rows.weights, dtype=np.float64), (rows.row, rows.column)),
            shape=(len(rows.most), cost.size),
        )
        for rows in (equal, at_most)
    ]
    found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix
        cost,
        A_eq=parts[0],
        b_eq=np.array(equal.most, dtype=np.float64),
        A_ub=parts[1],
        b_ub=np.array(at_most.most, dtype=np.float64),
        bounds=(0, 1),
        method="highs",
        options={"time_limit": max(seconds, 0.0)},
    )
    if found.status != 0:
        return None
    free = np.asarray(found.eqlin.marginals)
    price = np.minimum(found.ineqlin.marginals, 0.0)
    reduced = cost - parts[0].T @ free - parts[1].T @ price
    bound = free @ equal.most + price @ at_most.most + np.minimum(reduced, 0).sum()
    exact = float(bound) + stage.constant
    return Relaxation(
        model=model,
        bound=max(math.ceil(exact - _NOISE), 0),
        exact_bound=exact,
        reduced_cost=np.maximum(reduced, 0.0),
    )


class _Rows:
    """Rows of a matrix, entry by entry."""

    def __init__(self) -> None:
        self.row: list[int] = []
        self.column: list[int] = []
        self.weights: list[int] = []
        self.most: list[int] = []

    def add(self, columns: list[int], weights: list[int], most: int) -> None:
        """Append one row."""
        self.row += [len(self.most)] * len(columns)
        self.column += columns
        self.weights += weights
        self.most.append(most)


def _rows(cp: cp_model.CpModel) -> tuple[_Rows, _Rows]:
    """Read equalities and upper limits from a model of Booleans."""
    equal, at_most = _Rows(), _Rows()
    for entry in cp.proto.constraints:
        if entry.has_exactly_one():
            columns = list(entry.exactly_one.literals)
            equal.add(columns, [1] * len(columns), 1)
        elif entry.has_at_most_one():
            columns = list(entry.at_most_one.literals)
            at_most.add(columns, [1] * len(columns), 1)
        elif entry.has_linear():
            row = entry.linear
            at_most.add(list(row.vars), list(row.coeffs), list(row.domain)[-1])
    return equal, at_most
