"""Earlier turnarounds of a tail on the same day: the sectors whose heat is carried.

Enters: the day, a turnaround, its draws and rows. Leaves: one `Sector` per earlier
turnaround. The aircraft leaves it at the target off-block, without a ground fan: no
plan lets it go earlier, and wheel and plug cool less in the well than at the stand.
"""

from dataclasses import dataclass
from zlib import crc32

import numpy as np

from scheduler.cases.inputs import Inputs, sampled_inputs
from scheduler.cases.rows import turnaround_rows
from scheduler.day import Day, Turnaround
from thermal.sectors import Sector
from thermal.turnaround import Rows, arrival_s
from thermal.units import MINUTE_S

# With less between line-up and the next landing the times of the day contradict each
# other, and nothing is carried.
SHORTEST_FLIGHT_MINUTES = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampling:
    """Samples, seed, and whether the middle of all ranges is taken instead."""

    count: int
    seed: int
    central: bool

    def inputs(self, day: Day, turnaround: Turnaround) -> Inputs:
        """Draws of a turnaround from its own stream."""
        return sampled_inputs(
            day,
            turnaround,
            sample_count=self.count,
            seed=self.seed,
            central=self.central,
        )

    def order(self, turnaround: Turnaround, earlier: Turnaround) -> np.ndarray:
        """Which draw of the earlier turnaround goes with each draw of the later."""
        stream = [crc32(one.id.encode()) for one in (turnaround, earlier)]
        return np.random.default_rng((self.seed, *stream)).permutation(self.count)


def earlier_turnarounds(day: Day, turnaround: Turnaround) -> tuple[Turnaround, ...]:
    """Turnarounds of the same tail whose heat is carried to this one, oldest first.

    None where the heat left at touchdown is given, and none from before one at which
    it is given.
    """
    before = [
        one
        for one in day.turnarounds
        if one.tail == turnaround.tail
        and one.in_block_minute < turnaround.in_block_minute
    ]
    if turnaround.landing.residual_k is not None or not before:
        return ()
    last = max(before, key=lambda one: one.in_block_minute)
    touchdown = turnaround.in_block_minute - day.taxi_in_minutes(turnaround)
    line_up = last.target_off_block_minute + day.taxi_out_minutes(last)
    if touchdown - line_up < SHORTEST_FLIGHT_MINUTES:
        return ()
    return (*earlier_turnarounds(day, last), last)


def sectors_before(
    day: Day,
    turnaround: Turnaround,
    later: tuple[Inputs, Rows],
    earlier: tuple[Turnaround, ...],
    sampling: Sampling,
) -> tuple[Sector, ...]:
    """Sectors of the earlier turnarounds, oldest first, row by row as the later one.

    What belongs to the brakes is drawn once for all of them; the landings have their
    own draws.
    """
    inputs, rows = later
    sectors: list[Sector] = []
    following = turnaround
    for place, one in reversed(list(enumerate(earlier))):
        order = sampling.order(turnaround, one)
        own = sampling.inputs(day, one).with_brakes_of(inputs, order)
        part = turnaround_rows(day, one, own, carried=place > 0)
        away = following.in_block_minute - one.target_off_block_minute
        brakes = part.count // sampling.count
        approach_minutes = np.repeat(own.drawn("approach_minutes")[:, 0], brakes)
        sectors.append(
            Sector(
                rows=part,
                off_block_minute=float(one.target_off_block_minute)
                - one.in_block_minute,
                flight_minutes=away - (part.taxi_out_s + arrival_s(rows)) / MINUTE_S,
                approach_minutes=approach_minutes,
            )
        )
        following, rows = one, part
    return tuple(reversed(sectors))
