"""A turnaround and its draws → `Case`: one row per sample and brake.

What is not given is drawn from its range and named in ``assumed``; wear that is not
given counts as fully worn. The same draws come back from the same seed.
"""

from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np

from scheduler.cases.earlier import Sampling, earlier_turnarounds, sectors_before
from scheduler.cases.rejected import stays_of
from scheduler.cases.rows import turnaround_rows
from scheduler.day import Day, RejectedTakeOff, Turnaround
from scheduler.readings import Informed, has_readings, informed, informed_middle
from thermal.aircraft import Aircraft
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.catalogue import load_brake
from thermal.network import Network, build_network
from thermal.sectors import Sector
from thermal.turnaround import Rows

# Draws whose middle stands for a turnaround with readings.
MIDDLE_COUNT = 128


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One turnaround's heat inputs.

    Attributes
    ----------
    rows : Rows
        One per sample and brake, sample-major.
    release_k : array, shape (sample, brake)
        Temperature at which each plug lets go.
    energy_j : array, shape (sample, brake)
        Heat of rollout and taxi-in; after a rejected take-off of that stop instead.
    drawn : tuple of (name, array of shape (sample,))
        The draws of what was not given.
    before : tuple of Sector
        Earlier stays of the tail in the day, oldest first, with the same brakes row by
        row; empty where the heat left at touchdown is given and the take-off was not
        rejected.
    rejected : RejectedTakeOff or None
        From which the aircraft came back.
    informed : Informed or None
        What the readings changed; the rows are then those after the readings.
    """

    turnaround: Turnaround
    aircraft: Aircraft
    brake: Brake
    positions: tuple[str, ...]
    rows: Rows
    release_k: FloatArray
    energy_j: FloatArray
    assumed: tuple[str, ...]
    drawn: tuple[tuple[str, FloatArray], ...]
    before: tuple[Sector, ...] = field(default=())
    rejected: RejectedTakeOff | None = None
    informed: Informed | None = None

    @property
    def shape(self) -> tuple[int, int]:
        """Samples and brakes."""
        return int(self.energy_j.shape[0]), int(self.energy_j.shape[1])

    def row_of(self, sample: int, position: str) -> int:
        """Row of a sample and a brake position."""
        return sample * len(self.positions) + self.positions.index(position)


@cache
def network_of(brake: str) -> Network:
    """Network of a catalogue brake, built once."""
    return build_network(load_brake(brake))


def build_case(
    day: Day,
    turnaround: Turnaround,
    *,
    sample_count: int,
    seed: int,
    case: int = 0,
    central: bool = False,
) -> Case:
    """Sample one turnaround; with ``central``, one sample in the middle of all ranges.

    Parameters
    ----------
    sample_count : int
        A power of two.
    seed : int
        Of the plan; each turnaround draws from its own stream.
    case : int
        Number written into the rows, to find them again in a joint batch.
    """
    aircraft, tail = day.aircraft_of(turnaround), day.tail_of(turnaround)
    brake = load_brake(aircraft.brake)
    sampling = Sampling(count=sample_count, seed=seed, central=central)
    inputs = sampling.inputs(day, turnaround)
    earlier = earlier_turnarounds(day, turnaround)
    rejected = stays_of(day, turnaround)[-1].begins_after
    rows = turnaround_rows(
        day, turnaround, inputs, carried=bool(earlier), rejected=rejected
    )
    rows = replace(rows, case=np.full(rows.count, case))
    before = sectors_before(day, turnaround, (inputs, rows), earlier, sampling)
    found = _informed(day, turnaround, rows, sampling)
    rows = rows if found is None else found.rows
    release_k = brake.plug.release_k + brake.plug.release_sd_k * inputs.per_brake(
        "release_normal"
    )
    return Case(
        turnaround=turnaround,
        aircraft=aircraft,
        brake=brake,
        positions=tail.positions,
        rows=rows,
        release_k=release_k,
        energy_j=rows.arrival_j.reshape(release_k.shape),
        assumed=tuple(dict.fromkeys((*inputs.assumed, *_told(found)))),
        drawn=tuple(dict(inputs.missed).items()),
        before=before,
        rejected=rejected,
        informed=found,
    )


def _told(found: Informed | None) -> tuple[str, ...]:
    return () if found is None else found.told


def _informed(
    day: Day, turnaround: Turnaround, rows: Rows, sampling: Sampling
) -> Informed | None:
    """Move the rows to what was read; None where nothing was."""
    if not has_readings(day, turnaround):
        return None
    if not sampling.central:
        return informed(day, turnaround, rows, seed=sampling.seed)
    drawn = replace(sampling, count=MIDDLE_COUNT, central=False)
    many = turnaround_rows(
        day,
        turnaround,
        drawn.inputs(day, turnaround),
        carried=bool(earlier_turnarounds(day, turnaround)),
        rejected=stays_of(day, turnaround)[-1].begins_after,
    )
    after = informed(day, turnaround, many, seed=sampling.seed)
    return informed_middle(after, many, rows)
