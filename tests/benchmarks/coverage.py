"""How well readings tell what a brake is: intervals, errors and bounds on landings.

``python -m tests.benchmarks.coverage --brake carbon-narrow --landings 1000 --json``

Landings come from `tests.benchmarks.truth_model`, another model with other draws. Each
is read at some minutes after the stop and estimated from those readings alone: one
brake, nothing known of the landing but the aircraft type and its take-off weight.
"""

import argparse
import json
import sys
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
from scipy.stats import beta

from scheduler.cases import build_case, network_of
from scheduler.clock import Clock
from scheduler.day import (
    ApproachRule,
    Basis,
    Day,
    Departure,
    Landing,
    Runway,
    Stand,
    Station,
    Tail,
    Turnaround,
    WeatherRow,
)
from tests.benchmarks.truth_departures import ready_minute
from tests.benchmarks.truth_model import Truth, happened, shown_k
from thermal.catalogue import known_aircraft, load_aircraft
from thermal.estimate.design import fitted
from thermal.estimate.estimating import estimate
from thermal.estimate.inputs import Base, row_inputs
from thermal.estimate.leaving import leaving
from thermal.estimate.records import Readings
from thermal.rows import Rows
from thermal.sampling import bound_rank

TAXI_IN_MINUTES = 2
CONFIDENCE, ASSURANCE = 0.99, 0.95
# Minutes after the stop at which is estimated, and the readings up to then.
LOOKS = {
    3: (1, 3),
    5: (1, 3, 5),
    10: (3, 6, 10),
    30: (3, 6, 10, 15, 20, 30),
}
HOLD_MINUTES = 300
DRAWS = 1024
# What the landing's inputs leave open beside what is drawn.
HEAT_SCATTER = 0.03


def one_landing(brake: str) -> tuple[Day, Turnaround]:
    """A day with one turnaround of the type that has this brake, 35 °C, half worn."""
    name = next(one for one in known_aircraft() if load_aircraft(one).brake == brake)
    aircraft = load_aircraft(name)
    turnaround = Turnaround(
        id="one",
        tail="one",
        stand="one",
        in_block_minute=600,
        in_block_basis=Basis.ACTUAL,
        target_off_block_minute=640,
        off_block_basis=Basis.ESTIMATED,
        landing=Landing(),
        departure=Departure(take_off_weight_kg=0.97 * aircraft.maximum_take_off_kg),
    )
    day = Day(
        name="one",
        clock=Clock(day=date(2026, 7, 14)),
        station=Station(
            name="one",
            elevation_m=600.0,
            time_zone="UTC",
            runways=(Runway(name="09", heading_deg=90.0, landing_distance_m=3000.0),),
            stands=(
                Stand(
                    name="one",
                    taxi_in_minutes=TAXI_IN_MINUTES,
                    taxi_out_minutes=10,
                ),
            ),
            fans=(),
            approach=ApproachRule(max_plug_k=383.15, max_stack_k=623.15),
        ),
        aircraft=(aircraft,),
        tails=(
            Tail(
                registration="one",
                aircraft=name,
                positions=tuple(str(k + 1) for k in range(aircraft.brake_count)),
                wear=(0.7,) * aircraft.brake_count,
            ),
        ),
        weather=(
            WeatherRow(
                minute=0,
                temperature_k=308.15,
                wind_m_per_s=0.0,
                wind_direction_deg=None,
                pressure_pa=94300.0,
                source="report",
            ),
        ),
        turnarounds=(turnaround,),
    )
    return day, turnaround


def one_brake(day: Day, turnaround: Turnaround, count: int, seed: int) -> Rows:
    """Draws of the first brake alone; the departure lies in the middle of its ranges.

    The readings say nothing of it, and what is measured is what they say.
    """
    case = build_case(day, turnaround, sample_count=count, seed=seed)
    rows = case.rows.select(np.flatnonzero(case.rows.brake == 0))
    middle = build_case(day, turnaround, sample_count=1, seed=1, central=True).rows
    departure = ("stop_j", "taxi_out_j", "well_warmer_k")
    return replace(
        rows, **{name: np.full(count, getattr(middle, name)[0]) for name in departure}
    )


def true_rows(day: Day, turnaround: Turnaround, count: int, seed: int) -> Rows:
    """Landings drawn apart from the estimator's seed, with heat of their own."""
    generator = np.random.default_rng((seed, 1))
    whole = 1 << (count - 1).bit_length()
    rows = one_brake(day, turnaround, whole, 10_000 + seed)
    rows = rows.select(generator.permutation(whole)[:count])
    factor = np.exp(HEAT_SCATTER * generator.standard_normal(count))
    return replace(
        rows,
        roll_power_w=rows.roll_power_w * factor[:, None],
        taxi_in_j=rows.taxi_in_j * factor,
    )


def measure(brake: str, landings: int, seed: int) -> dict[str, Any]:
    """Estimate all landings at every look."""
    day, turnaround = one_landing(brake)
    network = network_of(brake)
    rows = one_brake(day, turnaround, DRAWS, 1)
    truth = Truth(
        network,
        true_rows(day, turnaround, landings, seed),
        np.random.default_rng((seed, 2)),
    )
    really = happened(truth, HOLD_MINUTES)
    ready = ready_minute(truth, really)
    since_stop = np.unique(np.concatenate([list(times) for times in LOOKS.values()]))
    read_s = (since_stop - TAXI_IN_MINUTES) * 60.0
    shown = shown_k(truth, really, read_s)
    base, rank = Base.of(rows), bound_rank(DRAWS, CONFIDENCE, ASSURANCE)
    inputs = row_inputs(base, rows)
    design = fitted(network, base, inputs, read_s, ())
    goes = leaving(network, base, rows, inputs, design.shown.high[0])
    before = goes.ready_minute(rows, inputs)
    looks = {}
    for look, times in LOOKS.items():
        place = np.searchsorted(since_stop, times)
        found = [
            _one(
                network, rows, design, goes, read_s[place], shown[k, place], look, rank
            )
            for k in range(landings)
        ]
        at = max(look - TAXI_IN_MINUTES, 0)
        looks[str(look)] = _figures(
            np.array(found),
            stack_k=really.stack_k[:, at],
            indicated_k=shown[:, place[-1]],
            ready=ready,
            before=before,
        )
    return {
        "brake": brake,
        "landings": landings,
        "seed": seed,
        "draws": DRAWS,
        "confidence": CONFIDENCE,
        "ready_minutes": np.quantile(ready, (0.05, 0.5, 0.95)).tolist(),
        "before_minutes": np.quantile(before, (0.05, 0.5, 0.95)).tolist(),
        "after_stop_minutes": looks,
    }


def _one(network, rows, design, goes, read_s, shown, look, rank) -> list[float]:
    """Quantiles of stack and brake-ready of one landing."""
    count = read_s.size
    readings = Readings(
        time_s=read_s, shown_k=shown, brake=np.zeros(count, dtype=np.intp)
    )
    found = estimate(network, rows, readings, design=design)
    minute = float(look - TAXI_IN_MINUTES)
    stack = np.array([np.interp(minute, found.minute, one[0]) for one in found.stack_k])
    ready = goes.ready_minute(found.rows, row_inputs(design.base, found.rows))
    return [
        *np.quantile(stack, (0.05, 0.5, 0.95)),
        *np.quantile(ready, (0.05, 0.5, 0.95)),
        float(np.sort(ready)[rank - 1]),
        float(len(found.odd_readings)),
        found.misfit,
        found.effective_count,
    ]


def _figures(
    found: np.ndarray,
    *,
    stack_k: np.ndarray,
    indicated_k: np.ndarray,
    ready: np.ndarray,
    before: np.ndarray,
) -> dict[str, float]:
    known = np.isfinite(ready)
    stack, minutes, bound = found[:, :3], found[known, 3:6], found[known, 6]
    truth = ready[known]
    middle = float(np.median(before))
    error = np.abs(minutes[:, 1] - truth)
    without = np.abs(middle - truth)
    early = int((bound < truth).sum())
    return {
        "stack_coverage": _share((stack[:, 0] <= stack_k) & (stack_k <= stack[:, 2])),
        "stack_rmse_k": _rms(stack[:, 1] - stack_k),
        "stack_bias_k": float((stack[:, 1] - stack_k).mean()),
        "indication_rmse_k": _rms(indicated_k - stack_k),
        "rmse_against_indication": _rms(stack[:, 1] - stack_k)
        / _rms(indicated_k - stack_k),
        "ready_coverage": _share(
            (minutes[:, 0] <= truth + 0.5) & (truth - 0.5 <= minutes[:, 2])
        ),
        "ready_median_error": float(np.median(error)),
        "ready_median_error_without": float(np.median(without)),
        "median_error_against_without": float(np.median(error) / np.median(without)),
        "rmse_against_without": _rms(error) / _rms(without),
        "too_early": early,
        "too_early_share": early / truth.size,
        "too_early_lower_95": float(beta.ppf(0.05, early, truth.size - early + 1))
        if early
        else 0.0,
        "median_excess_minutes": float(np.median(bound - truth)),
        "left_out_readings": float(found[:, 7].mean()),
        "misfit": float(np.median(found[:, 8])),
        "effective_count": float(found[:, 9].mean()),
    }


def _share(hit: np.ndarray) -> float:
    return float(hit.mean())


def _rms(values: np.ndarray) -> float:
    return float(np.sqrt((values**2).mean()))


def main() -> int:
    """Measure and print, as text or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--brake", default="carbon-narrow")
    parser.add_argument("--landings", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=9)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    found = measure(given.brake, given.landings, given.seed)
    if given.json:
        json.dump(found, sys.stdout, indent=2)
        sys.stdout.write("\n")
        return 0
    looks = found.pop("after_stop_minutes")
    for key, value in found.items():
        sys.stdout.write(f"{key}: {value}\n")
    for look, figures in looks.items():
        sys.stdout.write(f"\n{look} minutes after the stop\n")
        for key, value in figures.items():
            sys.stdout.write(f"  {key}: {value:.3f}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
