"""How the bound of brake-ready settles with the number and the kind of samples.

``python -m tests.benchmarks.convergence --seed 1``

Two landings, steel and carbon, some inputs missing. For each number of samples and for
independent and scrambled Sobol draws, the 99 % bound at 95 % assurance is computed from
many seeds, in still air, as minutes after in-block. It is held against the 99 %
quantile of 2^15 independent samples, drawn apart from those. Only samples that can set
a bound are followed to the minute, as a day does it, but more of them: the study is
about the samples, not about who is followed. Where the number is too small
for the one-sided rule, the largest sample stands in the table in its place.
"""

import argparse
import json
import sys
from collections.abc import Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import asdict, dataclass, replace
from unittest.mock import patch

import numpy as np

from scheduler.cases import build_case
from scheduler.day import Basis, Day, Departure, Landing, Tail, Turnaround
from scheduler.readiness.limits import SampleMinutes, rank_of, stand_minutes
from scheduler.readiness.stand import stand_heat
from tests.benchmarks.heat_days import make_heat_day
from thermal.catalogue import load_aircraft
from thermal.draws import Draws
from thermal.errors import EstimationError

COUNTS = (256, 512, 1024, 2048)
METHODS = ("independent", "scrambled Sobol")
LANDINGS = {"steel-narrow": "twin-52", "carbon-wide": "twin-232"}
CONFIDENCE, ASSURANCE = 0.99, 0.95
HOLD_MINUTES = 360
WEAR = 0.5
# The quantile comes from small batches, since a batch follows few samples to the end.
TRUTH_BATCH, TRUTH_COUNT, TRUTH_SEED = 512, 2**15, 10**6
TOGETHER = 4096
FOLLOWED = 96


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One number of samples with one kind of draws, over all seeds.

    Minutes after in-block; ``below`` is the share of seeds whose bound lies under the
    quantile, ``refused`` says that the rule gives no bound and the largest counts.
    """

    brake: str
    method: str
    count: int
    rank: int
    refused: bool
    mean_minute: float
    spread_minutes: float
    below: float


def one_landing(aircraft_name: str) -> Day:
    """A hot afternoon with one landing: weight, speed, reverse and taxi unknown."""
    day = make_heat_day(1, 1)
    aircraft = load_aircraft(aircraft_name)
    positions = tuple(str(k + 1) for k in range(aircraft.brake_count))
    tail = Tail(
        registration="T000",
        aircraft=aircraft_name,
        positions=positions,
        wear=(WEAR,) * len(positions),
    )
    turnaround = Turnaround(
        id="F000",
        tail=tail.registration,
        stand=day.station.stands[0].name,
        in_block_minute=840,
        in_block_basis=Basis.ESTIMATED,
        target_off_block_minute=880,
        off_block_basis=Basis.ESTIMATED,
        landing=Landing(deceleration_m_per_s2=2.0),
        departure=Departure(take_off_weight_kg=0.92 * aircraft.maximum_take_off_kg),
    )
    return replace(day, tails=(tail,), turnarounds=(turnaround,))


def independent(
    count: int,
    seed: Sequence[int],
    common_names: tuple[str, ...],
    per_brake_names: tuple[str, ...],
    brake_count: int,
) -> Draws:
    """Draw as `thermal.draws.draw` does, from independent uniform numbers."""
    generator = np.random.default_rng(np.random.SeedSequence(seed))
    return Draws(
        seed=int(seed[0]),
        common_names=common_names,
        per_brake_names=per_brake_names,
        common=generator.random((count, len(common_names))),
        per_brake=generator.random((count, len(per_brake_names), brake_count)),
    )


def minutes_of(
    day: Day, count: int, seeds: Sequence[int], method: str
) -> list[SampleMinutes]:
    """Minutes of the followed samples, one batch per seed."""
    followed = patch("scheduler.readiness.figures.FOLLOWED", FOLLOWED)
    drawn: AbstractContextManager[object] = nullcontext()
    if method == "independent":
        drawn = patch("scheduler.cases.inputs.draw", independent)
    found: list[SampleMinutes] = []
    size = max(TOGETHER // count, 1)
    with drawn, followed:
        for low in range(0, len(seeds), size):
            cases = tuple(
                build_case(
                    day, day.turnarounds[0], sample_count=count, seed=seed, case=place
                )
                for place, seed in enumerate(seeds[low : low + size])
            )
            found += stand_minutes(stand_heat(cases, HOLD_MINUTES))
    return found


def quantile_minute(day: Day) -> float:
    """Smallest minute by which 99 % of 2^15 samples are ready."""
    batches = TRUTH_COUNT // TRUTH_BATCH
    seeds = range(TRUTH_SEED, TRUTH_SEED + batches)
    above = TRUTH_COUNT - int(np.ceil(CONFIDENCE * TRUTH_COUNT))
    worst = []
    for found in minutes_of(day, TRUTH_BATCH, seeds, "independent"):
        order = np.argsort(-found.minute, kind="stable")
        _, first = np.unique(found.sample[order], return_index=True)
        worst.append(found.minute[order[first]])
    return float(np.sort(np.concatenate(worst))[::-1][above])


def study_row(
    day: Day, brake: str, method: str, count: int, seeds: Sequence[int], truth: float
) -> Row:
    """Bounds of all seeds, reduced to a row."""
    try:
        rank, refused = rank_of(count, CONFIDENCE, ASSURANCE), False
    except EstimationError:
        rank, refused = count, True
    bounds = np.array(
        [found.bound(rank, count)[0] for found in minutes_of(day, count, seeds, method)]
    )
    return Row(
        brake=brake,
        method=method,
        count=count,
        rank=rank,
        refused=refused,
        mean_minute=float(bounds.mean()),
        spread_minutes=float(bounds.std(ddof=1)),
        below=float((bounds < truth).mean()),
    )


def study(
    seed: int, seed_count: int, counts: Sequence[int] = COUNTS
) -> tuple[dict[str, float], list[Row]]:
    """Quantiles by brake, and all rows."""
    seeds = range(1000 * seed, 1000 * seed + seed_count)
    quantiles, rows = {}, []
    for brake, aircraft in LANDINGS.items():
        day = one_landing(aircraft)
        quantiles[brake] = quantile_minute(day)
        rows += [
            study_row(day, brake, method, count, seeds, quantiles[brake])
            for method in METHODS
            for count in counts
        ]
    return quantiles, rows


def table(quantiles: dict[str, float], rows: list[Row]) -> str:
    """Lines of the table for docs/sampling.md."""
    lines = [
        "| brake | draws | samples | rank | mean, min | spread, min | below 99 % |",
        "|---|---|---:|---:|---:|---:|---:|",
    ]
    for brake, quantile in quantiles.items():
        lines.append(f"| {brake} | quantile | {TRUTH_COUNT} | | {quantile:.1f} | | |")
        for row in (row for row in rows if row.brake == brake):
            rank = "refused" if row.refused else str(row.rank)
            lines.append(
                f"| {brake} | {row.method} | {row.count} | {rank} | "
                f"{row.mean_minute:.1f} | {row.spread_minutes:.2f} | {row.below:.0%} |"
            )
    return "\n".join(lines) + "\n"


def main() -> int:
    """Study and print, as text or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seeds", type=int, default=20, help="batches per row")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    quantiles, rows = study(given.seed, given.seeds)
    if given.json:
        found = {"quantiles": quantiles, "rows": [asdict(row) for row in rows]}
        json.dump(found, sys.stdout, indent=2)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(table(quantiles, rows))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
