"""Cool-downs of brakes whose parameters are known, recorded with noise.

True parameters are drawn from the priors, as a fit has to assume; the heat of each
landing is off by its stated uncertainty, readings by noise and the display's step.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermal.calibrate import CoolDown, brake_with, indicated_k, parameters_of
from thermal.calibrate.parameters import rest_of
from thermal.catalogue import load_brake

BRAKE = "carbon-narrow"
NOISE_K = 8.0
STEP_K = 5.0
EVERY_FIVE = np.arange(5.0, 90.1, 5.0) * 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """Records, and the truth behind them."""

    records: tuple[CoolDown, ...]
    values: tuple[float, ...]


def landings(
    count: int = 3, *, energies_mj=(22.0, 30.0, 26.0, 34.0), time_s=EVERY_FIVE, **more
) -> tuple[CoolDown, ...]:
    """Landings without readings yet."""
    return tuple(
        CoolDown(
            name=f"landing {number + 1}",
            energy_j=energies_mj[number % len(energies_mj)] * 1e6,
            ambient_k=288.15 + 3.0 * number,
            time_s=time_s,
            indicated_k=np.full(time_s.size, 400.0),
            **more,
        )
        for number in range(count)
    )


def drawn(seed: int, brake: str = BRAKE) -> tuple[float, ...]:
    """Parameters from their priors, within their ranges.

    Draws count as often as what the probe's other touches leave for the housing is
    probable.
    """
    generator, asked = np.random.default_rng(seed), parameters_of(brake)
    rest = rest_of(brake, asked)
    while True:
        normal = generator.standard_normal(len(asked))
        values = [one.value + one.sd * u for one, u in zip(asked, normal, strict=True)]
        left = rest.begin + float(rest.slope @ normal)
        inside = all(
            one.low <= value <= one.high
            for one, value in zip(asked, values, strict=True)
        )
        if inside and generator.random() < np.exp(-0.5 * left**2):
            return tuple(float(value) for value in values)


def recorded(
    seed: int,
    asked: tuple[CoolDown, ...],
    values: tuple[float, ...] | None = None,
    brake: str = BRAKE,
) -> Recorded:
    """Read what a brake with these parameters shows."""
    generator = np.random.default_rng((seed, 1))
    truth = drawn(seed, brake) if values is None else values
    heat = 1.0 + np.array([one.energy_sd_fraction for one in asked]) * (
        generator.standard_normal(len(asked))
    )
    real = brake_with(load_brake(brake), parameters_of(brake), truth)
    shown = indicated_k(real, asked, heat)
    noisy = shown + NOISE_K * generator.standard_normal(shown.size)
    steps = np.round(noisy / STEP_K) * STEP_K
    ends = np.cumsum([one.time_s.size for one in asked])[:-1]
    return Recorded(
        records=tuple(
            replace(one, indicated_k=part)
            for one, part in zip(asked, np.split(steps, ends), strict=True)
        ),
        values=truth,
    )
