"""How far a departure stays within each limit of the brake, in kelvin.

Enters: rows, their states at off-block, brake limits. Leaves: one margin per limit.

- stopping: mean enthalpy of the stack at line-up plus the accelerate-stop's share, and
  the hottest disc likewise, against the stack's limits
- plug: its peak from off-block to two hours in the wheel well, against release less
  margin
- wheel well: hottest disc at retraction
- other: piston housing, tyre bead and wheel where the brake data give limits
"""

from collections.abc import Callable
from enum import IntEnum

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.cooling import DEFAULT_TOLERANCE_K, CoolingCurve, cool
from thermal.materials import property_table
from thermal.network import Network
from thermal.rows import Rows
from thermal.turnaround import TAKE_OFF_RUN_S, WELL_S, departure

_WELL_SAMPLE_S = 300.0


class Margin(IntEnum):
    """Columns of a margin array."""

    STOPPING = 0
    PLUG = 1
    WHEEL_WELL = 2
    OTHER = 3


def departure_margins_k(
    network: Network,
    rows: Rows,
    state_k: FloatArray,
    off_block_minute: FloatArray,
    *,
    tolerance_k: float = DEFAULT_TOLERANCE_K,
) -> FloatArray:
    """Margins in kelvin if the aircraft leaves the stand at these minutes.

    Parameters
    ----------
    rows : Rows
    state_k : array, shape (row, node)
        Temperatures at off-block.
    off_block_minute : array, shape (row,)
        Minutes after in-block.
    tolerance_k : float
        Of the integration, as `thermal.cooling.cool` takes it.

    Returns
    -------
    margins : array, shape (row, 4)
        Columns by `Margin`; positive where the limit holds. Infinite where the brake
        data give no further limit.
    """
    gears_s, which = np.unique(rows.gear_down_s, return_inverse=True)
    retracted_s = TAKE_OFF_RUN_S + gears_s
    end_s = retracted_s[0] + WELL_S
    after_s = np.arange(retracted_s[-1] + _WELL_SAMPLE_S, end_s + 1e-6, _WELL_SAMPLE_S)
    curve = cool(
        network,
        rows.variation,
        departure(rows, off_block_minute),
        state_k,
        np.concatenate([[0.0], retracted_s, after_s]),
        start_s=-rows.taxi_out_s,
        tolerance_k=tolerance_k,
    )
    margins = margins_k(network.brake, rows, curve, retraction=1 + which.reshape(-1))
    return np.minimum(margins, _at_off_block_k(network, state_k))


def _at_off_block_k(network: Network, state_k: FloatArray) -> FloatArray:
    """Margins of what is limited from off-block on, before the taxi cools it."""
    brake, plug = network.brake, network.brake.plug
    margins = np.full((state_k.shape[0], len(Margin)), np.inf)
    plug_k = state_k[:, network.index("plug")]
    margins[:, Margin.PLUG] = plug.release_k - plug.margin_k - plug_k
    margins[:, Margin.OTHER] = _other_margin_k(
        brake, lambda node: state_k[:, [network.index(node)]]
    )
    return margins


def margins_k(
    brake: Brake, rows: Rows, curve: CoolingCurve, *, retraction: np.ndarray
) -> FloatArray:
    """Margins of a departure curve whose first instant is line-up.

    ``retraction`` gives the instant of each row's gear retraction, shape (row,).
    """
    limits, plug = brake.limits, brake.plug
    table = property_table(brake.stack_material)
    stop_j_per_kg = rows.stop_j / (brake.stack_mass_kg * rows.stack_fraction)
    after = curve.stack_j_per_kg[:, 0] + stop_j_per_kg
    heat = float(
        table.specific_heat(table.temperature(np.float64(limits.stack_j_per_kg)))
    )
    mean_margin = (limits.stack_j_per_kg - after) / heat
    hottest = table.enthalpy(curve.hottest_k[:, 0]) + stop_j_per_kg
    ceiling = float(table.enthalpy(np.float64(limits.disc_k)))
    disc_margin = (ceiling - hottest) / heat
    peak_k = curve.plug_k.max(axis=1)
    return np.stack(
        [
            np.minimum(mean_margin, disc_margin),
            plug.release_k - plug.margin_k - peak_k,
            limits.wheel_well_k - curve.hottest_k[np.arange(rows.count), retraction],
            _other_margin_k(brake, curve.node_k),
        ],
        axis=1,
    )


def _other_margin_k(brake: Brake, node_k: Callable[[str], FloatArray]) -> FloatArray:
    """Least margin of housing, bead and wheel over the times of their curves."""
    limits = brake.limits
    margin = np.full(node_k("plug").shape[0], np.inf)
    for limit_k, nodes in (
        (limits.housing_k, ("piston housing",)),
        (limits.bead_k, ("tyre bead",)),
        (limits.wheel_k, ("wheel inboard", "wheel outboard")),
    ):
        if limit_k is not None:
            for node in nodes:
                margin = np.minimum(margin, limit_k - node_k(node).max(axis=1))
    return margin


def not_assessed(brake: Brake) -> tuple[str, ...]:
    """Limits for which the brake data give no figure."""
    named = (
        ("piston housing", brake.limits.housing_k),
        ("tyre bead", brake.limits.bead_k),
        ("wheel", brake.limits.wheel_k),
    )
    return tuple(name for name, limit in named if limit is None)
