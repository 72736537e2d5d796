"""Draws of one turnaround's uncertain inputs, and what had to be assumed.

Enters: the day, a turnaround, sample count and seed. Leaves: `Inputs`, which hands out
draws by their name in the catalogue of ranges.
"""

from zlib import crc32

from scheduler.day import Day, Turnaround
from thermal.arrays import FloatArray
from thermal.catalogue import load_ranges
from thermal.draws import Draws, central_draws, draw


class Inputs:
    """Draws of one turnaround, and what had to be assumed on the way."""

    def __init__(self, draws: Draws) -> None:
        self._draws = draws
        self._ranges = {item.name: item for item in load_ranges()}
        self.assumed: list[str] = []
        self.missed: list[tuple[str, FloatArray]] = []

    def drawn(self, name: str) -> FloatArray:
        """One draw per sample from the named range, shape (sample, 1)."""
        item = self._ranges[name]
        return self._draws.between(name, item.low, item.high)[:, None]

    def per_brake(self, name: str) -> FloatArray:
        """One draw per sample and brake, shape (sample, brake)."""
        item = self._ranges[name]
        return self._draws.between_per_brake(name, item.low, item.high)

    def missing(self, what: str, name: str) -> FloatArray:
        """Draw an input that was not given and say so, shape (sample, 1)."""
        item = self._ranges[name]
        unit = "" if item.unit == "1" else item.unit
        self.assumed.append(f"{what}: {item.low:g} to {item.high:g} {unit}".rstrip())
        values = self.drawn(name)
        self.missed.append((what, values[:, 0]))
        return values


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
    ranges = load_ranges()
    make = central_draws if central else draw
    draws = make(
        sample_count,
        (seed, crc32(turnaround.id.encode())),
        tuple(item.name for item in ranges if not item.per_brake),
        tuple(item.name for item in ranges if item.per_brake),
        len(day.tail_of(turnaround).positions),
    )
    return Inputs(draws)
