"""When landings as they really were let the aircraft go, by `truth_model` alone.

Enters: landings and their states at the stand. Leaves: the first whole minute from
which leaving keeps every limit.
"""

import numpy as np

from tests.benchmarks.truth_model import GRID_K, Air, Landings, Truth

RUN_S, WELL_S = 35.0, 7200.0
# Where the specific heat is taken that turns heat into kelvin.
HOT_K = 1200.0


def margin_k(truth: Truth, landings: Landings, minute: np.ndarray) -> np.ndarray:
    """Least margin over all limits of leaving at each landing's own minute."""
    rows, limits = truth.rows, truth.brake.limits
    temperature = landings.states[minute, :, np.arange(rows.count)].T.copy()
    ambient, count = rows.ambient_k[:, 0], rows.count
    density = float(rows.pressure_pa[0]) / 101325.0
    worst = _node_margin(truth, temperature)
    taxi = Air(outer=4.0, through=0.5, ambient_k=ambient, density=density)
    for _ in range(80):
        power = rows.taxi_out_j / rows.taxi_out_s
        temperature = truth.step(temperature, taxi, power, rows.taxi_out_s / 80)
    mass = truth.mass[: truth.discs]
    enthalpy = truth.enthalpy(temperature[: truth.discs])
    stack_kg = truth.brake.stack_mass_kg * rows.stack_fraction
    stop = rows.stop_j / stack_kg
    mean = (enthalpy * mass).sum(axis=0) / mass.sum(axis=0) + stop
    ceiling = truth.enthalpy(np.full(count, limits.disc_k))
    heat = float(np.interp(HOT_K, GRID_K, truth.heat[0]))
    worst = np.minimum(worst, (limits.stack_j_per_kg - mean) / heat)
    worst = np.minimum(worst, (ceiling - enthalpy.max(axis=0) - stop) / heat)
    worst = np.minimum(worst, _node_margin(truth, temperature))
    nothing = np.zeros(count)
    run = Air(outer=30.0, through=8.0, ambient_k=ambient, density=density)
    for _ in range(7):
        temperature = truth.step(temperature, run, nothing, np.full(count, RUN_S / 7))
    gear = Air(outer=60.0, through=20.0, ambient_k=ambient, density=density)
    for _ in range(20):
        temperature = truth.step(temperature, gear, nothing, rows.gear_down_s / 20)
    hottest = temperature[: truth.discs].max(axis=0)
    worst = np.minimum(worst, limits.wheel_well_k - hottest)
    well = Air(
        outer=0.0,
        through=0.0,
        ambient_k=ambient + rows.well_warmer_k,
        density=0.75 * density,
        enclosed=0.5,
    )
    for _ in range(round(WELL_S / 10.0)):
        temperature = truth.step(temperature, well, nothing, np.full(count, 10.0))
        worst = np.minimum(worst, _node_margin(truth, temperature))
    return worst


def _node_margin(truth: Truth, temperature: np.ndarray) -> np.ndarray:
    limits, plug, at = truth.brake.limits, truth.brake.plug, truth.place
    worst = plug.release_k - plug.margin_k - temperature[at["plug"]]
    for limit_k, nodes in (
        (limits.housing_k, ("piston housing",)),
        (limits.bead_k, ("tyre bead",)),
        (limits.wheel_k, ("wheel inboard", "wheel outboard")),
    ):
        if limit_k is not None:
            for node in nodes:
                worst = np.minimum(worst, limit_k - temperature[at[node]])
    return worst


def ready_minute(truth: Truth, landings: Landings) -> np.ndarray:
    """First whole minute from which on leaving keeps every limit, shape (landing,).

    The last of some minutes that fails is looked for first; infinite where that is the
    last one.
    """
    count, last = truth.rows.count, int(landings.minute[-1])
    looks = [0, 20, 45, 90, 150, last]
    fails = np.array(
        [margin_k(truth, landings, np.full(count, look)) < 0 for look in looks]
    )
    worst = np.where(fails.any(axis=0), len(looks) - 1 - fails[::-1].argmax(axis=0), -1)
    low = np.array([*looks, 0])[worst]
    high = np.array([*looks[1:], last, 0])[worst]
    high = np.where(worst < 0, 0, high)
    for _ in range(7):
        middle = (low + high + 1) // 2
        holds = margin_k(truth, landings, middle) >= 0
        active = high - low > 1
        high = np.where(active & holds, middle, high)
        low = np.where(active & ~holds, middle, low)
    return np.where(worst == len(looks) - 1, np.inf, high.astype(float))
