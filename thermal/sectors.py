"""Sector after sector: the heat of a brake from one touchdown to the next.

Enters: a `Sector` per turnaround and the temperatures at its touchdown. Leaves: the
temperatures of all nodes at the touchdown that follows.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.network import Network
from thermal.rows import Rows
from thermal.timeline import Phase
from thermal.turnaround import arrival, arrival_s, flight, parked, take_off
from thermal.units import MINUTE_S


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sector:
    """A turnaround in still air and the flight after it.

    Attributes
    ----------
    off_block_minute : float
        After in-block, for all rows.
    flight_minutes, approach_minutes : array, shape (row,)
        From line-up to the next touchdown, and the part with the gear extended.
    is_rejected : bool
        The take-off is rejected: the sector ends at line-up, and what cools on the run
        until the brakes come on counts for nothing. There are no flight minutes.
    """

    rows: Rows
    off_block_minute: float
    flight_minutes: FloatArray
    approach_minutes: FloatArray
    is_rejected: bool = False

    def select(self, rows: np.ndarray) -> "Sector":
        """Take the same sector for some of the rows."""
        return replace(
            self,
            rows=self.rows.select(rows),
            flight_minutes=self.flight_minutes[rows],
            approach_minutes=self.approach_minutes[rows],
        )

    @property
    def phases(self) -> tuple[Phase, ...]:
        """From touchdown to touchdown, or to where the take-off is rejected."""
        rows = self.rows
        off_block = np.full(rows.count, self.off_block_minute)
        stand = parked(rows, 0.0, self.off_block_minute * MINUTE_S)
        if self.is_rejected:
            leaving = take_off(rows, off_block, np.zeros(rows.count))[:1]
        else:
            leaving = flight(
                rows, off_block, self.flight_minutes, self.approach_minutes
            )
        return (*arrival(rows), *stand, *leaving)

    @property
    def duration_s(self) -> FloatArray:
        """From touchdown to the sector's end, shape (row,)."""
        stand_s = self.off_block_minute * MINUTE_S + self.rows.taxi_out_s
        return arrival_s(self.rows) + stand_s + self.flight_minutes * MINUTE_S


def next_start_k(network: Network, sector: Sector, start_k: FloatArray) -> FloatArray:
    """Temperatures at the next touchdown, shape (row, node).

    Parameters
    ----------
    start_k : array, shape (row, node)
        Temperatures at the sector's own touchdown.
    """
    curve = cool(
        network,
        sector.rows.variation,
        sector.phases,
        start_k,
        np.zeros(1),
        start_s=-arrival_s(sector.rows),
        nodes=("plug",),
    )
    return curve.end_k


def chained_k(
    network: Network, sectors: Iterable[Sector], start_k: FloatArray
) -> FloatArray:
    """Temperatures after sectors that follow each other, shape (row, node)."""
    for sector in sectors:
        start_k = next_start_k(network, sector, start_k)
    return start_k
