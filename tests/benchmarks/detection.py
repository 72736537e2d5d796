"""How surely a brake is found that takes too much or too little heat.

``python -m tests.benchmarks.detection --seed 9 --json``

Every landing is one aircraft whose brakes are all read three times, with another model
than the estimator's (`tests.benchmarks.truth_model`). It is looked at as it is, with
one brake taking more than its share, and with one that takes nothing.
"""

import argparse
import json
import sys
from dataclasses import replace
from typing import Any

import numpy as np

from scheduler.cases import build_case, network_of
from tests.benchmarks.coverage import one_landing
from tests.benchmarks.truth_model import Truth, happened, shown_k
from thermal.estimate.design import fitted
from thermal.estimate.inputs import Base, row_inputs
from thermal.estimate.layout import layout
from thermal.estimate.odd_brakes import odd_probability
from thermal.estimate.odd_readings import sorted_out
from thermal.estimate.records import Readings
from thermal.estimate.update import Problem
from thermal.network import Network
from thermal.rows import Rows

DRAWS = 256
READ_MINUTES = np.array([8.0, 15.0, 25.0])
THRESHOLDS = (0.1, 0.2, 0.3, 0.5, 0.7, 0.9, 0.95)
FACTORS = (0.0, 0.7, 1.0, 1.1, 1.2, 1.3, 1.5)
SCATTER = 0.03


def landed(
    network: Network, drawn: Rows, brakes: int, factor: float, seed: int
) -> tuple[np.ndarray, np.ndarray]:
    """Indications (landing, brake, time) and the odd brake of each landing."""
    landings = drawn.count // brakes
    generator = np.random.default_rng((seed, round(100 * factor)))
    odd = generator.integers(0, brakes, landings)
    heat = np.exp(SCATTER * np.repeat(generator.standard_normal(landings), brakes))
    heat = heat.reshape(landings, brakes)
    heat[np.arange(landings), odd] *= factor
    flat = heat.reshape(-1)
    rows = replace(
        drawn,
        roll_power_w=drawn.roll_power_w * flat[:, None],
        taxi_in_j=drawn.taxi_in_j * flat,
    )
    aircraft = np.repeat(np.arange(landings), brakes)
    truth = Truth(network, rows, generator, aircraft)
    really = happened(truth, int(READ_MINUTES[-1]) + 1)
    shown = shown_k(truth, really, READ_MINUTES * 60.0)
    return shown.reshape(landings, brakes, -1), odd


def measure(brake: str, landings: int, seed: int) -> dict[str, Any]:
    """Share of landings in which the odd brake is named, and others are, by factor."""
    day, turnaround = one_landing(brake)
    network = network_of(brake)
    prior = build_case(day, turnaround, sample_count=DRAWS, seed=1)
    brakes = prior.shape[1]
    base = Base.of(prior.rows)
    inputs = row_inputs(base, prior.rows)
    design = fitted(network, base, inputs, READ_MINUTES * 60.0, ())
    drawn = layout(inputs, brakes, network.brake.probe, np.random.default_rng(3))
    whole = 1 << (landings - 1).bit_length()
    true = build_case(day, turnaround, sample_count=whole, seed=20_000 + seed).rows
    true = true.select(np.flatnonzero(true.sample < landings))
    entries = np.stack(
        np.meshgrid(np.arange(brakes), READ_MINUTES * 60.0, indexing="ij"), axis=-1
    ).reshape(-1, 2)
    figures: dict[str, Any] = {}
    left_out = 0
    for factor in FACTORS:
        shown, odd = landed(network, true, brakes, factor, seed)
        found = np.zeros((landings, brakes))
        for k in range(landings):
            readings = Readings(
                time_s=entries[:, 1], brake=entries[:, 0], shown_k=shown[k].reshape(-1)
            )
            problem = Problem.of(drawn, design, readings)
            _, kept, left = sorted_out(problem)
            left_out += len(left)
            found[k], _ = odd_probability(Problem.of(drawn, design, kept))
        own = found[np.arange(landings), odd]
        others = found.copy()
        others[np.arange(landings), odd] = 0.0
        figures[f"{factor:g}"] = {
            str(threshold): {
                "found": float((own >= threshold).mean()),
                "others_named": float((others.max(axis=1) >= threshold).mean()),
                "any_named": float((found.max(axis=1) >= threshold).mean()),
            }
            for threshold in THRESHOLDS
        }
    return {
        "brake": brake,
        "brakes": brakes,
        "landings": landings,
        "seed": seed,
        "read_minutes_after_in_block": READ_MINUTES.tolist(),
        "by_share": figures,
        "found_at_130_percent": figures["1.3"]["0.5"]["found"],
        "found_idle": figures["0"]["0.5"]["found"],
        "false_alarms": figures["1"]["0.5"]["any_named"],
        "readings_left_out_per_landing": left_out / landings / len(FACTORS),
    }


def main() -> int:
    """Measure and print, as text or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--brake", default="carbon-narrow")
    parser.add_argument("--landings", type=int, default=500)
    parser.add_argument("--seed", type=int, default=9)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    found = measure(given.brake, given.landings, given.seed)
    if given.json:
        json.dump(found, sys.stdout, indent=2)
        sys.stdout.write("\n")
        return 0
    for key, value in found.items():
        if key != "by_share":
            sys.stdout.write(f"{key}: {value}\n")
    for factor, row in found["by_share"].items():
        each = ", ".join(
            f"{at} {one['found']:.3f}/{one['others_named']:.3f}"
            for at, one in row.items()
        )
        sys.stdout.write(f"share {factor}: {each}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
