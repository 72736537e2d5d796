"""Readings of one aircraft → what its brakes are: `Estimate`.

Enters: network, the landing's draws as `Rows`, readings, when fans blew. Leaves: draws
that the readings allow, curves, and what was odd.
"""

from dataclasses import replace

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import ParameterError
from thermal.estimate.design import Fitted, fitted
from thermal.estimate.inputs import HEAT, NAMES, Base, row_inputs, rows_with
from thermal.estimate.layout import ODD_SHARE_SD, Layout, brake_inputs, layout
from thermal.estimate.odd_brakes import odd_probability, rising_brakes
from thermal.estimate.odd_readings import sorted_out
from thermal.estimate.records import (
    Estimate,
    FanSpan,
    OddBrake,
    Oddity,
    Readings,
)
from thermal.estimate.update import Problem, move
from thermal.estimate.words import sentence
from thermal.network import Network
from thermal.rows import Rows
from thermal.turnaround import arrival_s
from thermal.units import MINUTE_S

# Draws further off than this many standard deviations beyond their number of readings
# did not reach them.
_FAR = 6.0
_SENSELESS = (Oddity.OUT_OF_RANGE, Oddity.FAHRENHEIT)


def estimate(
    network: Network,
    rows: Rows,
    readings: Readings,
    *,
    fans: tuple[FanSpan, ...] = (),
    seed: int = 1,
    design: Fitted | None = None,
) -> Estimate:
    """Update the draws of one landing by what the indicator showed.

    Parameters
    ----------
    network : Network
    rows : Rows
        One aircraft's draws, sample-major, the same brakes in each sample.
    readings : Readings
        From touchdown on; earlier ones say nothing of this landing and are not used.
    fans : tuple of FanSpan
        Fans that blew until the last reading.
    seed : int
        Of the errors that each draw's readings are given.
    design : Fitted, optional
        Responses from before, where the instants are among its own.

    Returns
    -------
    estimate : Estimate

    Raises
    ------
    ParameterError
        If a reading names a brake that is not there.
    """
    brakes = int(rows.brake.max()) + 1
    for brake in readings.brake:
        if not -1 <= brake < brakes:
            raise ParameterError.of("brake", f"-1 to {brakes - 1}", brake)
    stop_s = -float(np.median(rows.taxi_in_s))
    usable = np.flatnonzero(readings.time_s > -float(arrival_s(rows).min()))
    base = Base.of(rows) if design is None else design.base
    inputs = row_inputs(base, rows)
    if design is None:
        read_s = np.unique(readings.time_s[usable])
        design = fitted(network, base, inputs, read_s, fans)
    generator = np.random.default_rng((seed, rows.count, 7))
    drawn = layout(inputs, brakes, network.brake.probe, generator)
    problem = Problem.of(drawn, design, readings.select(usable))
    kept, put_right, odd = sorted_out(problem)
    problem = Problem.of(drawn, design, put_right)
    probability, named = odd_probability(problem)
    senseless = [one.reading for one in odd if one.oddity in _SENSELESS]
    read = readings.select(np.delete(usable, senseless))
    after, effective, misfit = _moved(problem, probability, generator)
    moved = _inputs_of(drawn, after) if put_right.count else inputs
    heat = moved.reshape(-1, brakes, len(NAMES))[:, :, HEAT]
    before = inputs.reshape(-1, brakes, len(NAMES))[:, :, HEAT]
    stack_k, plug_k = design.stack_and_plug_k(moved)
    narrowing = heat.std(axis=0) / np.maximum(before.std(axis=0), 1e-9)
    last_s = float(put_right.time_s.max()) - stop_s if put_right.count else None
    return Estimate(
        rows=rows_with(rows, base, moved),
        minute=design.minute,
        stack_k=stack_k.reshape(-1, brakes, design.minute.size),
        plug_k=plug_k.reshape(-1, brakes, design.minute.size),
        heat_factor=heat,
        used=usable[kept],
        odd_readings=tuple(
            replace(one, reading=int(usable[one.reading])) for one in odd
        ),
        odd_brakes=tuple(_odd_brake(drawn, after, k, probability[k]) for k in named),
        odd_probability=probability,
        rising=rising_brakes(read, drawn.probe),
        effective_count=effective,
        misfit=misfit,
        narrowing=narrowing,
        text=sentence(
            network.brake,
            last_s,
            narrowing,
            misfit,
            beside_fan=_beside_fan(network, put_right, fans),
        ),
    )


def _moved(
    problem: Problem, probability: FloatArray, generator: np.random.Generator
) -> tuple[FloatArray, float, float]:
    """Vectors after the readings, how many they are worth, and what they leave.

    Each draw takes a brake for an odd one as often as that is probable. Draws that do
    not reach the readings are replaced by others that do.
    """
    drawn, count = problem.layout, problem.readings.count
    samples = drawn.vectors.shape[0]
    if not count:
        return drawn.vectors, float(samples), 0.0
    start = drawn.vectors.copy()
    variance = np.repeat(drawn.variance[None], samples, axis=0)
    for brake, likely in enumerate(probability):
        odd = np.flatnonzero(generator.random(samples) < likely)
        entry = drawn.share_entry(brake)
        start[odd, entry] = 1.0 + ODD_SHARE_SD * generator.standard_normal(odd.size)
        variance[odd, entry] = ODD_SHARE_SD**2
    error = np.sqrt(problem.noise) * generator.standard_normal((samples, count))
    shown_k = problem.readings.shown_k + error
    moved = move(problem, start, variance, shown_k, drawn.fixed)
    misfit = float(np.sqrt(np.median(moved.distance) / count))
    reached = np.flatnonzero(
        moved.distance <= np.median(moved.distance) + _FAR * np.sqrt(2.0 * count) + 6.0
    )
    chosen = np.arange(samples)
    lost = np.setdiff1d(chosen, reached)
    chosen[lost] = generator.choice(reached, lost.size)
    times = np.bincount(chosen, minlength=samples)
    return moved.vectors[chosen], float(samples**2 / (times**2).sum()), misfit


def _inputs_of(drawn: Layout, vectors: FloatArray) -> FloatArray:
    """Give the inputs of all rows, sample-major, shape (sample * brake, input)."""
    each = [
        brake_inputs(vectors, drawn.fixed[:, brake], brake)[:, : len(NAMES)]
        for brake in range(drawn.brakes)
    ]
    return np.stack(each, axis=1).reshape(-1, len(NAMES))


def _odd_brake(
    drawn: Layout, vectors: FloatArray, brake: int, probability: float
) -> OddBrake:
    share = np.maximum(vectors[:, drawn.share_entry(brake)], 0.0)
    low, middle, high = np.quantile(share, (0.05, 0.5, 0.95))
    return OddBrake(
        brake=brake,
        probability=float(probability),
        share=float(middle),
        share_range=(float(low), float(high)),
    )


def _beside_fan(
    network: Network, readings: Readings, fans: tuple[FanSpan, ...]
) -> bool:
    """Whether a fan distorts the last reading."""
    if not readings.count:
        return False
    last = float(readings.time_s.max()) / MINUTE_S
    wait = network.brake.limits.fan_invalid_s / MINUTE_S
    return any(fan.start_minute <= last < fan.end_minute + wait for fan in fans)
