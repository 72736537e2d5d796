"""Fuse plugs on the stand, and when the figures pass the approach threshold.

Enters: `StandHeat`. Leaves: release probability, whether a plug check is due, and the
first minute after in-block at which the operator's approach rule is met for good.
"""

from dataclasses import dataclass

import numpy as np

from scheduler.day import ApproachRule
from scheduler.options import PlugRisk
from scheduler.readiness.stand import StandHeat
from thermal.arrays import FloatArray
from thermal.materials import property_table

RAISED = 0.01
HIGH = 0.10


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlugState:
    """One turnaround's plugs.

    Attributes
    ----------
    release_probability : float
        Share of samples in which any plug of the aircraft lets go.
    by_brake : array, shape (brake,)
        The same for one brake; never more than that of the aircraft.
    exceeded_probability : float
        Share in which any plug comes within its margin of release on the stand.
    peak_k, peak_minute : float
        Safe bound of the hottest plug, and when that sample peaks.
    approach_minute : float
        After in-block; infinite where nobody is to be sent.
    """

    release_probability: float
    by_brake: FloatArray
    exceeded_probability: float
    peak_k: float
    peak_minute: float
    approach_minute: float

    @property
    def risk(self) -> PlugRisk:
        """Word for the release probability."""
        return PlugRisk.of(self.release_probability)


def plug_state(
    heat: StandHeat, case: int, rule: ApproachRule, rank: int, count: int
) -> PlugState:
    """Plugs and approach for one case."""
    mine = heat.rows_of(case)
    rows = heat.rows.select(mine)
    plug_k = heat.curve.plug_k[mine]
    release_k = heat.cases[case].release_k[rows.sample, rows.brake]
    peak_k = plug_k.max(axis=1)
    plug = heat.network.brake.plug
    exceeded = _share(peak_k > plug.release_k - plug.margin_k, rows.sample, count)
    released = _share(peak_k > release_k, rows.sample, count)
    worst = _by_sample(peak_k, rows.sample, count)
    bound_sample = int(np.argsort(worst, kind="stable")[rank - 1])
    bound_row = np.flatnonzero(rows.sample == bound_sample)
    bound_row = bound_row[peak_k[bound_row].argmax()]
    return PlugState(
        release_probability=released,
        by_brake=np.minimum(_by_brake(heat, case, mine, peak_k), released),
        exceeded_probability=exceeded,
        peak_k=float(worst[bound_sample]),
        peak_minute=float(heat.minute[plug_k[bound_row].argmax()]),
        approach_minute=_approach(heat, mine, release_k, rule, (rank, count), released),
    )


def _approach(
    heat: StandHeat,
    mine: np.ndarray,
    release_k: FloatArray,
    rule: ApproachRule,
    rank_count: tuple[int, int],
    released: float,
) -> float:
    """First minute after in-block at which the figures let people go to a wheel."""
    if released > HIGH:
        return np.inf
    rank, count = rank_count
    sample = heat.rows.sample[mine]
    plug_k, stack_j_per_kg = heat.curve.plug_k[mine], heat.curve.stack_j_per_kg[mine]
    # The stack is held against the threshold as heat, which rises with temperature.
    table = property_table(heat.network.brake.stack_material)
    most_j_per_kg = float(table.enthalpy(np.float64(rule.max_stack_k)))
    calm = _from_then_on(
        heat.minute, (plug_k <= rule.max_plug_k) & (stack_j_per_kg <= most_j_per_kg)
    )
    bound = float(np.sort(_by_sample(calm, sample, count))[rank - 1])
    future_k = np.maximum.accumulate(plug_k[:, ::-1], axis=1)[:, ::-1]
    over = _from_then_on(heat.minute, future_k <= release_k[:, None])
    allowed = HIGH if rule.at_raised else RAISED
    ranked = np.sort(_by_sample(over, sample, count))
    settled = float(ranked[int(np.ceil((1.0 - allowed) * count))])
    return max(bound, settled, float(rule.minutes_after_in_block))


def _from_then_on(minute: FloatArray, good: np.ndarray) -> FloatArray:
    """First grid minute from which a condition holds to the end, shape (row,)."""
    bad = ~good
    last = np.where(bad.any(axis=1), bad.shape[1] - bad[:, ::-1].argmax(axis=1), 0)
    return np.where(
        last < minute.size, minute[np.minimum(last, minute.size - 1)], np.inf
    )


def _by_sample(values: FloatArray, sample: np.ndarray, count: int) -> FloatArray:
    """Largest value of each sample over its brakes, shape (sample,)."""
    largest = np.full(count, -np.inf)
    np.maximum.at(largest, sample, values)
    return largest


def _share(hit: np.ndarray, sample: np.ndarray, count: int) -> float:
    return np.unique(sample[hit]).size / count


def _by_brake(
    heat: StandHeat, case: int, mine: np.ndarray, peak_k: FloatArray
) -> FloatArray:
    """Release probability per brake; brakes not followed scale with their heat."""
    one = heat.cases[case]
    samples, brakes = one.shape
    rows = heat.rows.select(mine)
    air = rows.ambient_k[:, 0]
    rise = np.full((samples, brakes), np.nan)
    per_joule = np.full(samples, -np.inf)
    energy_j = one.energy_j[rows.sample, rows.brake]
    ratio = np.zeros_like(energy_j)
    np.divide(peak_k - air, energy_j, out=ratio, where=energy_j > 0)
    np.maximum.at(per_joule, rows.sample, ratio)
    ambient = np.full(samples, np.nan)
    ambient[rows.sample] = air
    rise = per_joule[:, None] * one.energy_j
    return np.asarray((ambient[:, None] + rise > one.release_k).mean(axis=0))
