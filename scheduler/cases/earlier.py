"""Earlier stays of a tail on the same day: the sectors whose heat is carried.

Enters: the day, a turnaround, its draws and rows. Leaves: one `Sector` per earlier
turnaround, and per take-off that was rejected. The aircraft leaves at the target
off-block, without a ground fan: no plan lets it go earlier, and wheel and plug cool
less in the well than at the stand.
"""

from dataclasses import dataclass
from zlib import crc32

import numpy as np

from scheduler.cases.inputs import Inputs, sampled_inputs
from scheduler.cases.rejected import Stay, stays_of
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
    first = stays_of(day, turnaround)[0].turnaround
    before = [
        one
        for one in day.turnarounds
        if one.tail == turnaround.tail
        and one.id != turnaround.id
        and one.in_block_minute < first.in_block_minute
    ]
    if turnaround.landing.residual_k is not None or not before:
        return ()
    last = max(before, key=lambda one: one.in_block_minute)
    touchdown = first.in_block_minute - day.taxi_in_minutes(turnaround)
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
    """Sectors of the earlier stays, oldest first, row by row as the later one.

    What belongs to the brakes is drawn once for all of them; the landings have their
    own draws.
    """
    inputs, rows = later
    sectors: list[Sector] = []
    *own, following = stays_of(day, turnaround)
    stays = [(stay, inputs.again()) for stay in own]
    for one in reversed(earlier):
        order = sampling.order(turnaround, one)
        drawn = sampling.inputs(day, one).with_brakes_of(inputs, order)
        stays = [*((stay, drawn) for stay in stays_of(day, one)), *stays]
    for place, (stay, drawn) in reversed(list(enumerate(stays))):
        part = turnaround_rows(
            day,
            stay.turnaround,
            drawn,
            carried=place > 0,
            rejected=stay.begins_after,
        )
        sectors.append(_sector(stay, part, following, rows, drawn))
        following, rows = stay, part
    return tuple(reversed(sectors))


def _sector(
    stay: Stay, part: Rows, following: Stay, rows: Rows, drawn: Inputs
) -> Sector:
    """Sector from a stay's arrival to the arrival that follows."""
    in_block, off_block = (
        stay.turnaround.in_block_minute,
        stay.turnaround.target_off_block_minute,
    )
    away = following.turnaround.in_block_minute - off_block
    flown = away - (part.taxi_out_s + arrival_s(rows)) / MINUTE_S
    approach = drawn.drawn("approach_minutes")[:, 0]
    approach_minutes = np.repeat(approach, part.count // approach.size)
    is_rejected = stay.ends_before is not None
    nothing = np.zeros(part.count)
    return Sector(
        rows=part,
        off_block_minute=float(off_block - in_block),
        flight_minutes=nothing if is_rejected else flown,
        approach_minutes=nothing if is_rejected else approach_minutes,
        is_rejected=is_rejected,
    )
