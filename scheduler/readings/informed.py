"""Rows of a turnaround moved to its readings.

- Readings count from touchdown on, or from the brakes-on of a rejected take-off on.
- Fans that blew until the last reading are part of what is estimated. A fan that
  reached only some brakes counts as if it had reached all: a brake that it did not
  reach is then taken for hotter than it is.
- Heat left from sectors before is not taken off the estimate, so that it counts twice.
- Where no landing explains the readings, no brake gets cooler by them.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.day import Day, Reading, Turnaround
from scheduler.readings.told import told
from thermal.arrays import FloatArray
from thermal.catalogue import load_brake
from thermal.estimate import HOTTEST, Estimate, FanSpan, Readings, estimate
from thermal.network import build_network
from thermal.rows import Rows
from thermal.units import MINUTE_S

UNEXPLAINED = 2.5
_MOVED = (
    "ambient_k",
    "residual_k",
    "convection_factor",
    "radiation_factor",
    "joint_factor",
    "fan_factor",
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Informed:
    """Rows after the readings, the estimate, what it was made from, what it says."""

    rows: Rows
    estimate: Estimate
    readings: tuple[Reading, ...]
    told: tuple[str, ...] = ()

    @property
    def is_explained(self) -> bool:
        """Whether a landing as described explains the readings."""
        return self.estimate.misfit <= UNEXPLAINED


def readings_of(day: Day, turnaround: Turnaround) -> tuple[Reading, ...]:
    """Give the readings of a turnaround in order of time."""
    mine = [one for one in day.readings if one.turnaround_id == turnaround.id]
    return tuple(sorted(mine, key=lambda one: one.minute))


def has_readings(day: Day, turnaround: Turnaround) -> bool:
    """Whether anything was read at this turnaround."""
    return any(one.turnaround_id == turnaround.id for one in day.readings)


def informed(day: Day, turnaround: Turnaround, rows: Rows, *, seed: int) -> Informed:
    """Move the draws of a turnaround to its readings.

    Parameters
    ----------
    rows : Rows
        Of all samples and brakes, sample-major.
    """
    given = readings_of(day, turnaround)
    positions = day.tail_of(turnaround).positions
    places = {name: number for number, name in enumerate(positions)}
    in_block = turnaround.in_block_minute
    entries = [
        (
            (one.minute - in_block) * MINUTE_S,
            HOTTEST if one.position is None else places.get(one.position, HOTTEST),
            one.indicated_k,
        )
        for one in given
    ]
    last = max((one.minute for one in given), default=in_block)
    found = estimate(
        build_network(load_brake(day.aircraft_of(turnaround).brake)),
        rows,
        Readings.of(entries),
        fans=_fans(day, turnaround, last),
        seed=seed,
    )
    lines = told(day, turnaround, found, given)
    result = Informed(rows=found.rows, estimate=found, readings=given, told=lines)
    if result.is_explained:
        return result
    return replace(result, rows=_no_cooler(rows, found.rows))


def informed_middle(after: Informed, before: Rows, middle: Rows) -> Informed:
    """Move one row per brake as the draws were moved on average.

    Parameters
    ----------
    after : Informed
        Of the draws.
    before : Rows
        The draws before the readings.
    middle : Rows
        One row per brake, in the middle of all ranges.
    """
    brakes = middle.count

    def mean(values: FloatArray) -> FloatArray:
        shape = (-1, brakes, *values.shape[1:])
        return np.asarray(values.reshape(shape).mean(axis=0))

    heat_j = mean(before.arrival_j)
    factor = mean(after.rows.arrival_j) / np.where(heat_j > 0, heat_j, 1.0)
    moved = {
        name: getattr(middle, name)
        + mean(getattr(after.rows, name))
        - mean(getattr(before, name))
        for name in _MOVED
    }
    rows = replace(
        middle,
        roll_power_w=middle.roll_power_w * factor[:, None],
        taxi_in_j=middle.taxi_in_j * factor,
        **moved,
    )
    return replace(after, rows=rows)


def _fans(day: Day, turnaround: Turnaround, last: int) -> tuple[FanSpan, ...]:
    """Fans that blew until the last reading, minutes after in-block."""
    in_block, spans = turnaround.in_block_minute, []
    for one in day.fan_times:
        if one.turnaround_id != turnaround.id:
            continue
        start = max(one.start_minute, in_block)
        end = last if one.end_minute is None else min(one.end_minute, last)
        if end > start:
            spans.append(
                FanSpan(
                    start_minute=float(start - in_block),
                    end_minute=float(end - in_block),
                    air_m_per_s=day.fan(one.fan).air_speed_m_per_s,
                )
            )
    return tuple(spans)


def _no_cooler(before: Rows, after: Rows) -> Rows:
    """Of every row the one with more heat."""
    hotter = np.flatnonzero(after.arrival_j >= before.arrival_j)
    both = Rows.joined([before, after])
    place = np.arange(before.count)
    place[hotter] += before.count
    return both.select(place)
