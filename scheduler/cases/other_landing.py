"""The same turnaround landed otherwise: other rollout heat in an existing case.

Enters: a `Case`, its turnaround with another `Landing`, a `Technique`. Leaves: a case
with the same draws, brakes, weather and departure, so that two of them differ by the
landing alone.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases.case import Case
from scheduler.cases.inputs import Inputs, sampled_inputs
from scheduler.cases.landing import Roll, Technique, arrival_of, landing_roll
from scheduler.day import Day, Turnaround
from thermal.arrays import FloatArray
from thermal.rollout_heat import RolloutHeat
from thermal.shares import share_of_brakes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OtherLanding:
    """A landing of every sample: the roll, its heat, and the case that follows."""

    planned: Roll
    heat: RolloutHeat
    case: Case


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Draws:
    """Draws of a turnaround: inputs, heat share of each brake, share that serves."""

    inputs: Inputs
    share: FloatArray
    serviceable: float


def draws_of(
    day: Day, turnaround: Turnaround, *, sample_count: int, seed: int
) -> Draws:
    """Draws as `build_case` has them for the same count and seed."""
    tail = day.tail_of(turnaround)
    inputs = sampled_inputs(
        day, turnaround, sample_count=sample_count, seed=seed, central=False
    )
    serviceable = np.array([name not in tail.inoperative for name in tail.positions])
    share = share_of_brakes(
        len(tail.positions), serviceable, inputs.per_brake("share_factor")
    )
    return Draws(inputs=inputs, share=share, serviceable=float(serviceable.mean()))


def land_otherwise(
    day: Day,
    case: Case,
    turnaround: Turnaround,
    draws: Draws,
    technique: Technique,
) -> OtherLanding:
    """Land a turnaround in another way.

    Parameters
    ----------
    case : Case
        Of the same turnaround as planned, with as many samples.
    turnaround : Turnaround
        The same but for its landing.
    """
    inputs = draws.inputs
    planned = landing_roll(day, turnaround, inputs, draws.serviceable, technique)
    heat = planned.heat
    arrival = arrival_of(day, turnaround, inputs, planned, heat, technique)
    share = draws.share.reshape(-1)
    brakes = draws.share.shape[1]
    rows = replace(
        case.rows,
        roll_s=np.repeat(arrival.roll_s[:, 0], brakes),
        roll_power_w=np.repeat(arrival.power_w, brakes, axis=0) * share[:, None],
        taxi_in_j=np.repeat(arrival.taxi_in_j[:, 0], brakes) * share,
    )
    changed = replace(
        case,
        turnaround=turnaround,
        rows=rows,
        energy_j=rows.arrival_j.reshape(case.shape),
    )
    return OtherLanding(planned=planned, heat=heat, case=changed)
