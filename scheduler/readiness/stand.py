"""Heat at the stand in still air, for all turnarounds of one brake type at once.

Enters: cases of one brake type. Leaves: `StandHeat`, the curves of the brakes that
can bind. Of each sample the brake with the most heat is kept, and every brake with
less heat but a thinner stack than those kept.
"""

from dataclasses import dataclass

import numpy as np

from scheduler.cases import Case, network_of
from thermal.arrays import FloatArray
from thermal.cooling import CoolingCurve, cool
from thermal.departure import StandCurve
from thermal.network import Network
from thermal.turnaround import Rows, arrival, arrival_s, parked, start_k
from thermal.units import MINUTE_S

_FINE_UNTIL = 20
_COARSE_STEP = 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StandHeat:
    """Curves from in-block on.

    Attributes
    ----------
    minute : array, shape (time,)
        Minutes after in-block: every minute at first, later every fifth.
    curve : CoolingCurve
        All nodes, shape (row, time, node).
    """

    network: Network
    cases: tuple[Case, ...]
    rows: Rows
    curve: CoolingCurve
    hold_minutes: int

    @property
    def minute(self) -> FloatArray:
        """Grid of minutes after in-block."""
        return self.curve.time_s / MINUTE_S

    @property
    def states(self) -> StandCurve:
        """States for a departure at any minute."""
        return StandCurve.of(self.curve)

    def rows_of(self, case: int) -> np.ndarray:
        """Row numbers of one case."""
        return np.flatnonzero(self.rows.case == case)


def grid_minutes(hold_minutes: int) -> FloatArray:
    """Minutes after in-block at which curves are kept."""
    coarse = np.arange(_FINE_UNTIL, hold_minutes + 1, _COARSE_STEP)
    return np.concatenate([np.arange(_FINE_UNTIL), coarse]).astype(np.float64)


def binding_rows(case: Case) -> np.ndarray:
    """Row numbers of the brakes of each sample that can bind."""
    samples, brakes = case.shape
    energy = case.energy_j
    stack = case.rows.stack_fraction.reshape(samples, brakes)
    order = np.argsort(-energy, axis=1, kind="stable")
    sorted_stack = np.take_along_axis(stack, order, axis=1)
    thinnest = np.minimum.accumulate(sorted_stack, axis=1)
    before = np.concatenate([np.full((samples, 1), np.inf), thinnest[:, :-1]], axis=1)
    keep = (sorted_stack < before) & (np.take_along_axis(energy, order, axis=1) > 0)
    sample, place = np.nonzero(keep)
    return np.sort(sample * brakes + order[sample, place])


def stand_heat(
    cases: tuple[Case, ...], hold_minutes: int, *, every_brake: bool = False
) -> StandHeat:
    """Integrate the arrivals and the stand of all cases, which share one brake."""
    network = network_of(cases[0].aircraft.brake)
    parts = [
        case.rows if every_brake else case.rows.select(binding_rows(case))
        for case in cases
    ]
    rows = Rows.joined(parts)
    end_s = hold_minutes * MINUTE_S
    curve = cool(
        network,
        rows.variation,
        (*arrival(rows), *parked(rows, 0.0, end_s)),
        start_k(network, rows),
        grid_minutes(hold_minutes) * MINUTE_S,
        start_s=-arrival_s(rows),
    )
    return StandHeat(
        network=network,
        cases=cases,
        rows=rows,
        curve=curve,
        hold_minutes=hold_minutes,
    )
