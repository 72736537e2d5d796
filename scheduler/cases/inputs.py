"""Draws of one turnaround's uncertain inputs, and what had to be assumed.

Enters: the day, a turnaround, sample count and seed. Leaves: `Inputs`, which hands out
draws by their name in the catalogue of ranges.
"""

from collections.abc import Mapping
from dataclasses import replace
from zlib import crc32

import numpy as np

from scheduler.day import Day, Turnaround
from thermal.arrays import FloatArray
from thermal.catalogue import load_ranges
from thermal.draws import Draws, central_draws, draw

# What only some turnarounds need has a stream of its own, independent draws: whether
# it is used or not, all other draws stay as they are.
BESIDE = ("lee_wind_fraction", "approach_minutes")
# What belongs to the brakes of a tail rather than to one landing.
OF_THE_BRAKES = (
    "convection_factor",
    "fan_factor",
    "radiation_factor",
    "joint_factor",
    "share_factor",
)


class Inputs:
    """Draws of one turnaround, and what had to be assumed on the way."""

    def __init__(self, draws: Draws, beside: Mapping[str, FloatArray]) -> None:
        self.draws = draws
        self._beside = beside
        self._ranges = {item.name: item for item in load_ranges()}
        self.assumed: list[str] = []
        self.missed: list[tuple[str, FloatArray]] = []

    def drawn(self, name: str) -> FloatArray:
        """One draw per sample from the named range, shape (sample, 1)."""
        item = self._ranges[name]
        if name in self._beside:
            return (item.low + (item.high - item.low) * self._beside[name])[:, None]
        return self.draws.between(name, item.low, item.high)[:, None]

    def per_brake(self, name: str) -> FloatArray:
        """One draw per sample and brake, shape (sample, brake)."""
        item = self._ranges[name]
        return self.draws.between_per_brake(name, item.low, item.high)

    def range_of(self, name: str) -> str:
        """Say what an input is drawn from, with its unit."""
        item = self._ranges[name]
        unit = "" if item.unit == "1" else item.unit
        return f"{item.low:g} to {item.high:g} {unit}".rstrip()

    def missing(self, what: str, name: str) -> FloatArray:
        """Draw an input that was not given and say so, shape (sample, 1)."""
        self.assumed.append(f"{what}: {self.range_of(name)}")
        values = self.drawn(name)
        self.missed.append((what, values[:, 0]))
        return values

    def again(self) -> "Inputs":
        """Hand out the same draws to another stay; what is assumed is told together."""
        same = Inputs(self.draws, self._beside)
        same.assumed, same.missed = self.assumed, self.missed
        return same

    def with_brakes_of(self, other: "Inputs", order: np.ndarray) -> "Inputs":
        """Take these draws in another order, with the brakes of another turnaround.

        Parameters
        ----------
        other : Inputs
            Of the same tail and sample count.
        order : int array, shape (sample,)
            A permutation. Scrambled points of two streams go together index by index
            (their correlation is 0.5 to 0.95 either way), so that they may not be
            paired as they come.
        """
        mine, theirs = self.draws, other.draws
        common, per_brake = mine.common[order], mine.per_brake[order]
        for name in OF_THE_BRAKES:
            if name in mine.common_names:
                column = mine.common_names.index(name)
                common[:, column] = theirs.common[:, column]
            else:
                column = mine.per_brake_names.index(name)
                per_brake[:, column] = theirs.per_brake[:, column]
        draws = replace(mine, common=common, per_brake=per_brake)
        return Inputs(draws, self._beside)


def sampled_inputs(
    day: Day, turnaround: Turnaround, *, sample_count: int, seed: int, central: bool
) -> Inputs:
    """Draws of one turnaround from its own stream of the plan's seed.

    Parameters
    ----------
    sample_count : int
        A power of two.
    central : bool
        Take the middle of every range instead of draws.
    """
    ranges = [item for item in load_ranges() if item.name not in BESIDE]
    stream = seed, crc32(turnaround.id.encode())
    make = central_draws if central else draw
    draws = make(
        sample_count,
        stream,
        tuple(item.name for item in ranges if not item.per_brake),
        tuple(item.name for item in ranges if item.per_brake),
        len(day.tail_of(turnaround).positions),
    )
    beside = {
        name: np.full(sample_count, 0.5)
        if central
        else np.random.default_rng((*stream, crc32(name.encode()))).random(sample_count)
        for name in BESIDE
    }
    return Inputs(draws, beside)
