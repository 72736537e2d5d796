"""Straight lines that the margins of a departure nearly follow.

Enters: rows, curves of their states at the stand, which margin. Leaves: that margin
along each row's curve. Heat is passed on nearly in proportion, so that a departure from
a state a little warmer in one node is a little worse by a fixed share: the slopes of
all margins come from one row per case that leaves with each node warmer in turn.
"""

import numpy as np

from thermal.arrays import FloatArray
from thermal.departure import TOLERANCE_K, StandCurve
from thermal.margins import Margin, departure_margins_k
from thermal.network import Network
from thermal.rows import Rows

# Where the slopes are taken, minutes after the earliest, and how much warmer.
_MINUTE = 30.0
_WARMER_K = 10.0


def margin_lines_k(
    network: Network,
    rows: Rows,
    curve: StandCurve,
    column: np.ndarray,
    minutes: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """One margin of each row over the curve's time, by slopes, shape (row, time).

    Good for differences along a row's curve; its level is that of the case's first row,
    until a departure of the row itself corrects it.

    Parameters
    ----------
    column : int array, shape (row,)
        Which `Margin`.
    minutes : tuple of array, shape (row,)
        First and last minute on the curve's axis that are of interest.
    """
    _, firsts, case = np.unique(rows.case, return_index=True, return_inverse=True)
    at = np.minimum(minutes[0][firsts] + _MINUTE, minutes[1][firsts])
    state_k = curve.at(firsts, at)
    level, slope = _slopes(network, rows.select(firsts), state_k, at)
    case = case.reshape(-1)
    line = curve.state_k @ slope[case, :, column][:, :, None]
    return np.asarray(line[:, :, 0] + level[case, column][:, None])


def _slopes(
    network: Network, rows: Rows, state_k: FloatArray, minute: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Margins of all nodes at 0 K, (row, margin), and per K, (row, node, margin)."""
    count, nodes = state_k.shape
    warmer_k = np.repeat(state_k[:, None], nodes + 1, axis=1)
    warmer_k[:, 1:] += _WARMER_K * np.eye(nodes)
    every = np.repeat(np.arange(count), nodes + 1)
    found = departure_margins_k(
        network,
        rows.select(every),
        warmer_k.reshape(-1, nodes),
        minute[every],
        tolerance_k=TOLERANCE_K,
    )
    # Where the brake data give no limit the margin is infinite, and nobody asks.
    found = np.where(np.isfinite(found), found, 0.0)
    found = found.reshape(count, nodes + 1, len(Margin))
    slope = (found[:, 1:] - found[:, :1]) / _WARMER_K
    return found[:, 0] - np.einsum("rnm,rn->rm", slope, state_k), slope
