"""The linear relaxation of a model: a bound, and columns that no good plan uses.

Enters: a model and a stage. Leaves: a lower bound on the stage and the reduced cost of
every variable. A plan that uses a variable is worth at least the bound plus its reduced
cost, so with a plan of value v in hand every variable above v - bound can be dropped.
The bound is computed again from the dual prices, so it holds however well or badly the
linear solver did.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from scheduler.model.build import Model
from scheduler.model.objective import Stage

if TYPE_CHECKING:
    from scipy.sparse import csr_matrix

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

    if not model.variables.departures:
        return None
    program = Program.of(model, stage)
    found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrix
        program.cost,
        A_eq=program.equal.matrix(program.cost.size),
        b_eq=np.array(program.equal.most, dtype=np.float64),
        A_ub=program.at_most.matrix(program.cost.size),
        b_ub=np.array(program.at_most.most, dtype=np.float64),
        bounds=np.stack([program.low, program.high], axis=1),
        method="highs",
        options={"time_limit": max(seconds, 0.0)},
    )
    if found.status != 0:
        return None
    exact, reduced = program.priced(
        np.asarray(found.eqlin.marginals), np.asarray(found.ineqlin.marginals)
    )
    return Relaxation(
        model=model,
        bound=max(math.ceil(exact - _NOISE), 0),
        exact_bound=exact,
        reduced_cost=np.maximum(reduced, 0.0),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Program:
    """A model's rows and one stage as a linear program.

    ``cost``, ``low`` and ``high`` have shape (variable,).
    """

    cost: FloatArray
    low: FloatArray
    high: FloatArray
    equal: "_Rows"
    at_most: "_Rows"
    constant: int

    @classmethod
    def of(cls, model: Model, stage: Stage) -> "Program":
        """Read rows and bounds from the model."""
        variables = model.cp.proto.variables
        cost = np.zeros(len(variables))
        for literal, weight in stage.terms:
            cost[literal.index] += weight
        equal, at_most = _rows(model.cp)
        high = np.ones(cost.size)
        for index in range(model.boolean_count, cost.size):
            *_, high[index] = variables[index].domain
        return cls(
            cost=cost,
            low=np.zeros(cost.size),
            high=high,
            equal=equal,
            at_most=at_most,
            constant=stage.constant,
        )

    def priced(
        self, equal_price: FloatArray, most_price: FloatArray
    ) -> tuple[float, FloatArray]:
        """Lower bound and reduced costs from prices of the rows.

        Prices of upper limits are cut at 0, so that the bound holds for any prices:
        every plan costs at least the rows' share plus, for each variable, its reduced
        cost at the cheaper end of its range.
        """
        price = np.minimum(most_price, 0.0)
        size = self.cost.size
        reduced = (
            self.cost
            - self.equal.matrix(size).T @ equal_price
            - self.at_most.matrix(size).T @ price
        )
        cheapest = np.minimum(reduced * self.low, reduced * self.high).sum()
        rows = equal_price @ self.equal.most + price @ self.at_most.most
        return float(rows + cheapest) + self.constant, reduced


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

    def matrix(self, columns: int) -> "csr_matrix":
        """Build the sparse matrix, shape (row, column)."""
        from scipy.sparse import csr_matrix

        weights = np.array(self.weights, dtype=np.float64)
        shape = len(self.most), columns
        return csr_matrix((weights, (self.row, self.column)), shape=shape)


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
            low, *_, high = row.domain
            rows = equal if low == high else at_most
            rows.add(list(row.vars), list(row.coeffs), high)
    return equal, at_most
