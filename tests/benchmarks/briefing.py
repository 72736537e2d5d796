"""An arrival brief, a weight curve and many landing rolls: what each takes.

``python -m tests.benchmarks.briefing --json``

Each is the least of a few runs, since other work on the machine only adds to it; the
processor's time is told beside. The brief is of one flight of the demonstration day;
the rolls vary every input at once.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from scheduler.brief import compose
from scheduler.files import read_scenario
from scheduler.tradeoff import Weigher, weight_curve
from tests.synthetic_aircraft import FULL
from thermal.rollout import LandingRoll, roll_out

SCENARIO = Path(__file__).parents[2] / "scenarios" / "tarn-field"


def least_seconds(name: str, runs: int, what: Callable[[], object]) -> dict[str, float]:
    """Least time of some runs, on the wall and of the processor."""
    found = []
    for _ in range(runs):
        begin, work = time.perf_counter(), time.process_time()
        what()
        found.append((time.perf_counter() - begin, time.process_time() - work))
    wall, processor = (round(min(one), 3) for one in zip(*found, strict=True))
    return {f"{name}_seconds": wall, f"{name}_processor_seconds": processor}


def varied_rolls(count: int, seed: int) -> LandingRoll:
    """Landing rolls to an exit, all different."""
    rng = np.random.default_rng(seed)

    def within(low: float, high: float) -> np.ndarray:
        return rng.uniform(low, high, count)

    return LandingRoll(
        weight_kg=within(45e3, 60e3),
        touchdown_speed_m_per_s=within(60.0, 75.0),
        density_kg_per_m3=within(1.0, 1.25),
        deceleration_m_per_s2=within(1.2, 2.4),
        friction_fraction=within(0.2, 0.45),
        headwind_m_per_s=within(-4.0, 8.0),
        slope_fraction=within(-0.01, 0.01),
        reverse_fraction=within(0.0, 1.0),
        spoiler_delay_s=1.0,
        exit_distance_m=within(1500.0, 2500.0),
        exit_speed_m_per_s=within(8.0, 15.0),
    )


def main(arguments: list[str] | None = None) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--turnaround", default="TF323")
    parser.add_argument("--samples", type=int, default=256)
    parser.add_argument("--rolls", type=int, default=10_000)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args(arguments)
    day = read_scenario(SCENARIO)
    one = next(item for item in day.turnarounds if item.id == given.turnaround)
    brief = compose(day, one.id, sample_count=given.samples, seed=given.seed)
    rolls = varied_rolls(given.rolls, given.seed)

    def curve() -> object:
        return weight_curve(
            Weigher(
                day,
                one,
                job=None,
                planned_minute=None,
                sample_count=512,
                seed=given.seed,
            )
        )

    def again() -> object:
        return compose(day, one.id, sample_count=given.samples, seed=given.seed)

    found = {
        "options": len(brief.options),
        "samples": given.samples,
        **least_seconds("brief", given.runs, again),
        "rolls": given.rolls,
        **least_seconds("rollout", given.runs, lambda: roll_out(FULL, rolls)),
        **least_seconds("curve", given.runs, curve),
    }
    if given.json:
        sys.stdout.write(json.dumps(found) + "\n")
    else:
        sys.stdout.writelines(f"{name}: {value}\n" for name, value in found.items())
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
