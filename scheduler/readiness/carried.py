"""Temperatures at touchdown: heat left from the sectors before, where the day has them.

Enters: a `Case` and some of its rows. Leaves: temperatures of all nodes. Every node is
at least as warm as without the sectors before: between two turnarounds at one station
lies a landing elsewhere that the day does not have.
"""

import numpy as np

from scheduler.cases import Case
from thermal.arrays import FloatArray
from thermal.network import Network
from thermal.sectors import next_start_k
from thermal.turnaround import start_k


def touchdown_k(network: Network, case: Case, rows: np.ndarray) -> FloatArray:
    """Temperatures at touchdown of some rows of a case, shape (row, node)."""
    carried: FloatArray | None = None
    for whole in case.before:
        sector = whole.select(rows)
        begin = _at_least(start_k(network, sector.rows), carried)
        carried = next_start_k(network, sector, begin)
    return _at_least(start_k(network, case.rows.select(rows)), carried)


def _at_least(begin_k: FloatArray, carried_k: FloatArray | None) -> FloatArray:
    return begin_k if carried_k is None else np.maximum(begin_k, carried_k)
