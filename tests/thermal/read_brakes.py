"""One aircraft's draws and what its indicators would show, for tests of the estimate.

Everything is synthetic: four brakes, a landing known to some ten per cent.
"""

from dataclasses import replace
from functools import cache

import numpy as np

from tests.brake_days import network_of, rows_like
from thermal.cooling import cool
from thermal.estimate import FanSpan, Readings
from thermal.estimate.design import history
from thermal.rows import Rows
from thermal.turnaround import arrival_s, start_k

BRAKE, BRAKES, SAMPLES = "carbon-narrow", 4, 128
NETWORK = network_of(BRAKE)
HEAT_J = 20e6
STEP_K = NETWORK.brake.probe.display_step_k


@cache
def draws(seed: int = 1, brakes: int = BRAKES) -> Rows:
    """Rows of all samples and brakes, sample-major."""
    generator = np.random.default_rng(seed)
    heat = HEAT_J * generator.uniform(0.6, 1.4, (SAMPLES, 1))
    heat = heat * generator.uniform(0.95, 1.05, (SAMPLES, brakes))

    def common(low: float, high: float) -> np.ndarray:
        return np.repeat(generator.uniform(low, high, SAMPLES), brakes)

    rows = rows_like(
        SAMPLES * brakes,
        roll_power_w=np.repeat(heat.reshape(-1, 1) / 25.0, 33, axis=1),
        convection_factor=common(0.85, 1.15),
        radiation_factor=common(0.9, 1.08),
        joint_factor=common(0.7, 1.4),
        fan_factor=common(0.7, 1.1),
    )
    return replace(
        rows,
        sample=np.repeat(np.arange(SAMPLES), brakes),
        brake=np.tile(np.arange(brakes), SAMPLES),
    )


def truly(
    shares: tuple[float, ...], minutes: tuple[float, ...], fan: FanSpan | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """Indication and stack of brakes with these shares of `HEAT_J`, (brake, time)."""
    share = np.array(shares)
    rows = rows_like(
        share.size, roll_power_w=np.repeat(HEAT_J * share[:, None] / 25.0, 33, axis=1)
    )
    at_s = np.array(minutes) * 60.0
    fans = () if fan is None else (fan,)
    curve = cool(
        NETWORK,
        rows.variation,
        history(rows, fans, float(at_s[-1])),
        start_k(NETWORK, rows),
        at_s,
        start_s=-arrival_s(rows),
    )
    shown = 273.15 + STEP_K * np.round((curve.indicated_k - 273.15) / STEP_K)
    return shown, curve.stack_k


def read(shown_k: np.ndarray, minutes: tuple[float, ...]) -> Readings:
    """Every brake at every minute; readings of one brake follow each other."""
    return Readings.of(
        [
            (60.0 * minute, brake, shown_k[brake, k])
            for brake in range(shown_k.shape[0])
            for k, minute in enumerate(minutes)
        ]
    )


def changed(readings: Readings, number: int, shown_k: float) -> Readings:
    """The same readings with one of them different."""
    shown = readings.shown_k.copy()
    shown[number] = shown_k
    return replace(readings, shown_k=shown)
