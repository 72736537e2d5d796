"""How many draws may be above a threshold, and which others are the hottest.

The limit confidence leaves a few draws out: where a draw is not the one that set the
minute, it alone proves no fault; more than may be have to be above the threshold.
Enters: a case, when people are at the wheels, sample count, confidences.

Who is hottest is only foretold, by two lumps of heat, stack and wheel: it says which
draws are worth following. Rates and powers were read off the shipped brakes cooling
with one input changed at a time; among each other those differ by a fifth.
"""

import numpy as np

from scheduler.cases import Case
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.materials import property_table
from thermal.rows import Rows
from thermal.sectors import Sector
from thermal.units import MINUTE_S

Visit = tuple[float, float]
USUAL_VISIT: Visit = (30.0, 0.0)
# Of the whole brake's heat per minute, standing or in the well, and on approach.
_LOSS, _APPROACH_LOSS = 0.33 / 60.0, 4.0 / 60.0
# Of the stack's excess over the air, and what a ground fan adds for the plug.
_STACK_LOSS, _FAN_LOSS = 0.8 / 60.0, 1.0 / 60.0
# Air of an onboard fan that doubles the loss; loss of the plug's excess per m/s.
_OWN_FAN_M_PER_S, _WIND_LOSS = 6.0, 0.02
# Wheel and plug follow the stack as a lag does, up to half of an even share.
_SHARE, _LAG_MINUTES, _LEAD_MINUTES = 0.5, 15.0, 3.0
_TYPICAL_K = 500.0


def spare_samples(count: int, confidence: float, assurance: float) -> int:
    """Count the samples that may break a limit and still bound the share that does.

    The most failures that are seen with a chance of at most 1 - assurance where the
    share of failures is as large as 1 - confidence (binomial; Wilks 1941, doi
    10.1214/aoms/1177731788). It is -1 where so few samples cannot support it.
    """
    from scipy.stats import binom

    chance = binom.cdf(np.arange(count + 1), count, 1.0 - confidence)
    return int(np.count_nonzero(chance <= 1.0 - assurance)) - 1


def hottest_rows(
    case: Case,
    but_sample: int,
    count: int,
    visits: tuple[Visit, ...] = (USUAL_VISIT,),
) -> list[int]:
    """One row of each of the hottest samples but one, hottest first.

    Hottest by stack and by plug in turn, with what the rows differ in: heat of the
    landing and of sectors before, wear, air, wind at the wheel (less in the lee),
    joints, films, an onboard fan, and how much of a fan's air arrives.

    Parameters
    ----------
    visits : tuple of (float, float)
        Minutes after in-block at which people are at a wheel, and minutes of a ground
        fan's air until then.
    """
    samples, brakes = case.shape
    ranks = np.full(samples, samples)
    brake = np.zeros(samples, dtype=np.intp)
    for foretold_k in _foretold_k(case, visits):
        by_brake = foretold_k.reshape(samples, brakes)
        order = np.argsort(-by_brake.max(axis=1), kind="stable")
        rank = np.empty(samples, dtype=np.intp)
        rank[order] = np.arange(samples)
        brake = np.where(rank < ranks, by_brake.argmax(axis=1), brake)
        ranks = np.minimum(ranks, rank)
    order = np.argsort(ranks, kind="stable")
    chosen = order[order != but_sample][:count]
    return [int(sample) * brakes + int(brake[sample]) for sample in chosen]


def _foretold_k(case: Case, visits: tuple[Visit, ...]) -> tuple[FloatArray, FloatArray]:
    """Highest stack and plug over all visits, each of shape (row,)."""
    rows, brake = case.rows, case.brake
    table = property_table(brake.stack_material)
    air_k, left_k = rows.ambient_k[:, 0], _left_k(case)
    mass_kg = brake.stack_mass_kg * rows.stack_fraction
    full_k = table.temperature(
        table.enthalpy(air_k + left_k) + rows.arrival_j / mass_kg
    )
    even_k = left_k + rows.arrival_j / _capacity_j_per_k(brake, rows)
    stack_k, plug_k = [], []
    for minute, fan_minutes in visits:
        now_k = rows.ambient_at_k(np.full(rows.count, minute))
        gone = _STACK_LOSS * minute * rows.joint_factor**0.33
        gone = gone * rows.convection_factor**0.35 + _own_fan(rows, minute)
        fan = _FAN_LOSS * fan_minutes * rows.fan_factor
        stack_k.append(now_k + (full_k - air_k) * np.exp(-gone - fan))
        share = _SHARE * -np.expm1(-(minute + _LEAD_MINUTES) / _LAG_MINUTES)
        share = share * rows.joint_factor**0.3 / rows.convection_factor**0.2
        blown = _WIND_LOSS * rows.wind_m_per_s * min(minute / 60.0, 1.0)
        kept = np.exp(-blown - fan - _own_fan(rows, minute))
        plug_k.append(now_k + even_k * share * kept)
    return np.max(stack_k, axis=0), np.max(plug_k, axis=0)


def _left_k(case: Case) -> FloatArray:
    """Excess over the air at touchdown: drawn, or more from sectors before, (row,)."""
    carried_k = np.zeros(case.rows.count)
    for sector in case.before:
        carried_k = _after(case.brake, sector, carried_k)
    return np.maximum(case.rows.residual_k - case.rows.ambient_k[:, 0], carried_k)


def _after(brake: Brake, sector: Sector, carried_k: FloatArray) -> FloatArray:
    """Even excess over the air at the touchdown after a sector, shape (row,)."""
    rows, minutes = sector.rows, sector.off_block_minute
    capacity = _capacity_j_per_k(brake, rows)
    begin_k = np.maximum(rows.residual_k - rows.ambient_k[:, 0], carried_k)
    standing = _LOSS * minutes * rows.convection_factor + _own_fan(rows, minutes)
    left_k = (begin_k + rows.arrival_j / capacity) * np.exp(-standing)
    well = _LOSS * np.maximum(sector.flight_minutes - sector.approach_minutes, 0.0)
    flown = well + _APPROACH_LOSS * sector.approach_minutes
    return np.asarray((left_k + rows.taxi_out_j / capacity) * np.exp(-flown))


def _own_fan(rows: Rows, minute: float) -> FloatArray:
    """Loss by the aircraft's own fan up to a minute, as an exponent, shape (row,)."""
    air = rows.onboard_fan_m_per_s * np.minimum(rows.fan_factor, 1.0)
    minutes = np.minimum(rows.onboard_fan_s / MINUTE_S, minute)
    return np.asarray(_STACK_LOSS * minutes * air / _OWN_FAN_M_PER_S)


def _capacity_j_per_k(brake: Brake, rows: Rows) -> FloatArray:
    """Heat capacity of stack and wheel, shape (row,)."""
    stack = property_table(brake.stack_material)
    alloy = property_table("aluminium")
    typical_k = np.float64(_TYPICAL_K)
    wheel_kg = brake.wheel_inboard_kg + brake.wheel_outboard_kg
    of_stack = brake.stack_mass_kg * float(stack.specific_heat(typical_k))
    of_wheel = wheel_kg * float(alloy.specific_heat(typical_k))
    return of_stack * rows.stack_fraction + of_wheel
