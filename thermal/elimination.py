"""Fixed-pattern elimination of the network's linear systems, for a whole batch.

The matrix of one implicit step is diagonal plus Laplacian: positive diagonal, the
off-diagonal entries minus the link conductances. Eliminating a node turns its star
of links into a mesh between its neighbours; only positive numbers are added, so no
pivoting is needed. The pattern is worked out once, each operation then acts on one
row of contiguous samples.
"""

from itertools import combinations

import numpy as np

from thermal.arrays import FloatArray

_Operation = tuple[np.ufunc, FloatArray | float, FloatArray, FloatArray]
_Pivot = tuple[int, tuple[tuple[int, int], ...], tuple[tuple[int, int, int], ...]]


class Elimination:
    """Symbolic factorisation for links ``first``–``second`` in a given order.

    Attributes
    ----------
    pair_count : int
        Rows of conductances needed: one per linked pair, then the fill.
    linked_pair_count : int
        How many of them are linked from the start.
    link_pair : int array, shape (link,)
        Row that each link adds to; several links may join the same pair.
    """

    def __init__(
        self, first: np.ndarray, second: np.ndarray, order: tuple[int, ...]
    ) -> None:
        rows: dict[tuple[int, int], int] = {}
        links = [_pair(a, b) for a, b in zip(first, second, strict=True)]
        self.link_pair = np.array([rows.setdefault(p, len(rows)) for p in links])
        self.linked_pair_count = len(rows)
        self.pivots: list[_Pivot] = []
        done: set[int] = set()
        for pivot in order:
            done.add(pivot)
            star = sorted(
                (b if a == pivot else a, row)
                for (a, b), row in rows.items()
                if pivot in (a, b) and (b if a == pivot else a) not in done
            )
            mesh = tuple(
                (row_i, row_j, rows.setdefault(_pair(i, j), len(rows)))
                for (i, row_i), (j, row_j) in combinations(star, 2)
            )
            self.pivots.append((pivot, tuple(star), mesh))
        self.pair_count = len(rows)

    def workspace(self, node_count: int, batch: int) -> "Workspace":
        """Arrays for one batch size, with the operations on their rows laid out."""
        return Workspace(self, node_count, batch)


class Workspace:
    """Work arrays of one batch and the operations that factorise and solve in them.

    Attributes
    ----------
    diagonal : array, shape (node, batch)
        Diagonal of the matrix; fill before `factorise`, which inverts the pivots.
    conductance : array, shape (pair_count, batch)
        Minus the off-diagonal entries; fill the linked rows.
    right : array, shape (node, batch)
        Right-hand side in, solution out; several after one `factorise`.
    """

    def __init__(self, pattern: Elimination, node_count: int, batch: int) -> None:
        self.diagonal = np.empty((node_count, batch))
        self.conductance = np.empty((pattern.pair_count, batch))
        self.right = np.empty((node_count, batch))
        self._fill = self.conductance[pattern.linked_pair_count :]
        self._factors: list[_Operation] = []
        self._solves: list[_Operation] = []
        diagonal, right = list(self.diagonal), list(self.right)
        link, scratch = list(self.conductance), np.empty(batch)
        part = list(np.empty_like(self.conductance))
        factor, solve = self._factors.append, self._solves.append
        for pivot, star, mesh in pattern.pivots:
            factor((np.divide, 1.0, diagonal[pivot], diagonal[pivot]))
            for node, row in star:
                factor((np.multiply, link[row], diagonal[pivot], part[row]))
                factor((np.multiply, link[row], part[row], scratch))
                factor((np.subtract, diagonal[node], scratch, diagonal[node]))
                solve((np.multiply, part[row], right[pivot], scratch))
                solve((np.add, right[node], scratch, right[node]))
            for row_i, row_j, row in mesh:
                factor((np.multiply, link[row_i], part[row_j], scratch))
                factor((np.add, link[row], scratch, link[row]))
        for pivot, star, _ in reversed(pattern.pivots):
            solve((np.multiply, right[pivot], diagonal[pivot], right[pivot]))
            for node, row in star:
                solve((np.multiply, part[row], right[node], scratch))
                solve((np.add, right[pivot], scratch, right[pivot]))

    @property
    def factor_count(self) -> int:
        """Row operations of one factorisation."""
        return len(self._factors)

    @property
    def solve_count(self) -> int:
        """Row operations of one solution."""
        return len(self._solves)

    def factorise(self) -> None:
        """Factorise what ``diagonal`` and ``conductance`` hold, in place."""
        self._fill.fill(0.0)
        for operation, left, other, out in self._factors:
            operation(left, other, out)

    def solve(self) -> FloatArray:
        """Solve for ``right`` in place; it is to be used before the next call."""
        for operation, left, other, out in self._solves:
            operation(left, other, out)
        return self.right


def _pair(a: int, b: int) -> tuple[int, int]:
    return (int(a), int(b)) if a < b else (int(b), int(a))
