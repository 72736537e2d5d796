"""Heat at the stand in still air, for all turnarounds of one brake type at once.

Enters: cases of one brake type. Leaves: `StandHeat`, the curves of the brakes that
can bind. Of each sample the brake with the most heat is kept, and every brake with
less heat but a thinner stack than those kept; likewise among those in the lee.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case, network_of
from scheduler.day import ApproachRule
from scheduler.readiness.carried import touchdown_k
from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.cooling import DEFAULT_TOLERANCE_K, CoolingCurve, cool
from thermal.departure import StandCurve
from thermal.network import Network
from thermal.turnaround import Rows, arrival, arrival_s, parked
from thermal.units import MINUTE_S

SETTLED_MINUTE = 135
ARRIVAL_TOLERANCE_K = 4.0
STAND_TOLERANCE_K = 1.5
_AFTER_FAN_MINUTES = 60.0
_NEAR_K = 40.0
_NEARLY = 0.93
_FINE_UNTIL = 20
_COARSE_STEP = 5
_LATE_STEP = 10


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StandHeat:
    """Curves from in-block on.

    Attributes
    ----------
    minute : array, shape (time,)
        Minutes after in-block: every minute at first, then every fifth, then tenth.
    curve : CoolingCurve
        All nodes, shape (row, time, node).
    """

    network: Network
    cases: tuple[Case, ...]
    rows: Rows
    curve: CoolingCurve
    hold_minutes: int

    @property
    def minute(self) -> FloatArray:
        """Grid of minutes after in-block."""
        return self.curve.time_s / MINUTE_S

    @property
    def states(self) -> StandCurve:
        """States for a departure at any minute."""
        return StandCurve.of(self.curve)

    def rows_of(self, case: int) -> np.ndarray:
        """Row numbers of one case."""
        return np.flatnonzero(self.rows.case == case)


def grid_minutes(hold_minutes: int, settled_minute: float) -> FloatArray:
    """Minutes after in-block at which curves are kept."""
    settled = min(np.ceil(settled_minute), hold_minutes)
    parts = (
        np.arange(_FINE_UNTIL),
        np.arange(_FINE_UNTIL, settled, _COARSE_STEP),
        np.arange(settled, hold_minutes, _LATE_STEP),
        [hold_minutes],
    )
    return np.unique(np.concatenate(parts)).astype(np.float64)


def binding_rows(case: Case) -> np.ndarray:
    """Row numbers of the brakes of each sample that can bind."""
    energy, stack = case.energy_j, case.rows.stack_fraction.reshape(case.shape)
    wind = case.rows.wind_m_per_s.reshape(case.shape)
    in_lee = wind <= wind.min(axis=1, keepdims=True)
    return np.union1d(
        _hot_or_thin(energy, stack), _hot_or_thin(np.where(in_lee, energy, 0.0), stack)
    )


def _hot_or_thin(energy_j: FloatArray, stack: FloatArray) -> np.ndarray:
    """Row numbers of brakes than which none of the sample is as hot and as thin.

    Arrays of shape (sample, brake); a brake without heat is none.
    """
    samples, brakes = energy_j.shape
    order = np.argsort(-energy_j, axis=1, kind="stable")
    sorted_stack = np.take_along_axis(stack, order, axis=1)
    thinnest = np.minimum.accumulate(sorted_stack, axis=1)
    before = np.concatenate([np.full((samples, 1), np.inf), thinnest[:, :-1]], axis=1)
    keep = (sorted_stack < before) & (np.take_along_axis(energy_j, order, axis=1) > 0)
    sample, place = np.nonzero(keep)
    return np.asarray(sample * brakes + order[sample, place])


def stand_heat(
    cases: tuple[Case, ...],
    hold_minutes: int,
    *,
    rule: ApproachRule | None = None,
    every_brake: bool = False,
) -> StandHeat:
    """Integrate the arrivals and the stand of all cases, which share one brake.

    With an approach rule, only rows that it or some limit may still hold are followed
    after `SETTLED_MINUTE` (and an hour after an onboard fan); the others keep their
    last temperatures, which are below all of them, and steps are as long as minutes
    need. Without one every row is followed to the end, as exactly as a curve is.
    """
    network = network_of(cases[0].aircraft.brake)
    kept = [
        np.arange(case.rows.count) if every_brake else binding_rows(case)
        for case in cases
    ]
    rows = Rows.joined(
        [case.rows.select(some) for case, some in zip(cases, kept, strict=True)]
    )
    begin_k = [
        touchdown_k(network, case, some) for case, some in zip(cases, kept, strict=True)
    ]
    settled = _settled_minute(rows)
    minutes = grid_minutes(hold_minutes, settled)
    early = minutes if rule is None else minutes[minutes <= settled]
    end_s = float(early[-1]) * MINUTE_S
    exact = DEFAULT_TOLERANCE_K
    come = cool(
        network,
        rows.variation,
        arrival(rows),
        np.concatenate(begin_k),
        early[:1] * MINUTE_S,
        start_s=-arrival_s(rows),
        tolerance_k=exact if rule is None else ARRIVAL_TOLERANCE_K,
    )
    curve = cool(
        network,
        rows.variation,
        parked(rows, 0.0, end_s),
        come.end_k,
        early * MINUTE_S,
        tolerance_k=exact if rule is None else STAND_TOLERANCE_K,
    )
    if rule is not None and early.size < minutes.size:
        late = minutes[early.size :] * MINUTE_S
        open_rows = np.flatnonzero(_may_hold(network.brake, rows, curve, rule))
        curve = _followed_on(network, rows, curve, open_rows, end_s, late)
    return StandHeat(
        network=network,
        cases=cases,
        rows=rows,
        curve=curve,
        hold_minutes=hold_minutes,
    )


def _settled_minute(rows: Rows) -> float:
    """Minute after in-block from which nothing warms again."""
    fan_end = float(rows.onboard_fan_s.max()) / MINUTE_S
    return max(SETTLED_MINUTE, fan_end + _AFTER_FAN_MINUTES if fan_end > 0 else 0.0)


def _may_hold(
    brake: Brake, rows: Rows, curve: CoolingCurve, rule: ApproachRule
) -> np.ndarray:
    """Rows that a limit or the approach rule may hold at the curve's last instant."""
    limits, plug = brake.limits, brake.plug
    stop = (rows.stop_j + rows.taxi_out_j) / (brake.stack_mass_kg * rows.stack_fraction)
    plug_k, hottest_k = curve.plug_k[:, -1], curve.hottest_k[:, -1]
    held = curve.stack_j_per_kg[:, -1] + stop > _NEARLY * limits.stack_j_per_kg
    held |= plug_k > min(rule.max_plug_k, plug.release_k - plug.margin_k) - _NEAR_K
    held |= hottest_k > min(rule.max_stack_k, limits.wheel_well_k) - _NEAR_K
    held |= curve.indicated_k[:, -1] > limits.indicated_k - _NEAR_K
    for limit_k, node in (
        (limits.housing_k, "piston housing"),
        (limits.bead_k, "tyre bead"),
        (limits.wheel_k, "wheel inboard"),
    ):
        if limit_k is not None:
            held |= curve.node_k(node)[:, -1] > limit_k - _NEAR_K
    return np.asarray(held)


def _followed_on(
    network: Network,
    rows: Rows,
    curve: CoolingCurve,
    open_rows: np.ndarray,
    from_s: float,
    at_s: FloatArray,
) -> CoolingCurve:
    """Append later instants: integrated for some rows, the last values for others."""

    def longer(values: FloatArray) -> FloatArray:
        known = values.shape[1]
        shape = (values.shape[0], known + at_s.size, *values.shape[2:])
        out = np.empty(shape)
        out[:, :known], out[:, known:] = values, values[:, -1:]
        return out

    temperature_k = longer(curve.temperature_k)
    stack, hottest = longer(curve.stack_j_per_kg), longer(curve.hottest_k)
    if open_rows.size:
        some = rows.select(open_rows)
        on = cool(
            network,
            some.variation,
            parked(some, from_s, float(at_s[-1])),
            curve.end_k[open_rows],
            at_s,
            start_s=from_s,
            tolerance_k=STAND_TOLERANCE_K,
        )
        temperature_k[open_rows, -at_s.size :] = on.temperature_k
        stack[open_rows, -at_s.size :] = on.stack_j_per_kg
        hottest[open_rows, -at_s.size :] = on.hottest_k
    return replace(
        curve,
        time_s=np.concatenate([curve.time_s, at_s]),
        temperature_k=temperature_k,
        stack_j_per_kg=stack,
        hottest_k=hottest,
    )
