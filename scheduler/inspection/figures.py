"""Figures of each brake of a turnaround: how hot, how probable, what was foretold.

Enters: a group of turnarounds of one brake type. Leaves: `Figures`. Two sets of draws:
those of the plan, from which its approach minute follows, and a smaller one in which
every brake is followed. All in still air: a fan that blows makes them cooler.

- What the stack reaches at the end of the roll is taken without any loss during it, on
  the high side by one or two per cent of its rise.
- The oxidation dose and the medians are those of the middle of all ranges, followed
  from touchdown on.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.day import Day, Reading, Turnaround
from scheduler.inspection.odd import Odd, odd_of
from scheduler.inspection.readings import Foretold, foretold_of
from scheduler.inspection.stops import StopFigures, stop_figures
from scheduler.readiness.carried import touchdown_k
from scheduler.readiness.limits import rank_of
from scheduler.readiness.plugs import RAISED, plug_state
from scheduler.readiness.stand import StandHeat, stand_heat
from thermal.arrays import FloatArray
from thermal.materials import property_table
from thermal.timeline import Heat

PLAN_SAMPLES = 512
BRAKE_SAMPLES = 128


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """One turnaround; probabilities and peaks per position, of its last stop.

    Attributes
    ----------
    approach_minute : int or None
        As in the plan; None where the figures do not pass the operator's threshold.
    plug_peak_minute : int
        When the plugs of the safe bound are hottest.
    is_check_due : bool
        Whether the plan asks for a plug check: some plug of the aircraft comes within
        its margin of release with 1 % or more.
    released, near_release : tuple of float
        Probability that a plug lets go, and that it comes within its margin.
    wheel_hot, stack_hot : tuple of float or None
        Probability that a limit is passed; None where the brake data give none.
    stops : tuple of StopFigures
        The landing, then each rejected take-off.
    foretold : tuple of Foretold
        Readings against what was to be expected.
    odd : tuple of Odd
        Brakes and readings that differ from the others.
    """

    turnaround_id: str
    positions: tuple[str, ...]
    approach_minute: int | None
    plug_peak_minute: int
    is_check_due: bool
    released: tuple[float, ...]
    near_release: tuple[float, ...]
    wheel_hot: tuple[float, ...] | None
    stack_hot: tuple[float, ...] | None
    stops: tuple[StopFigures, ...]
    foretold: tuple[Foretold, ...]
    odd: tuple[Odd, ...] = ()


def figures_of(
    day: Day, group: tuple[str, ...], seed: int, deicer_factor: float
) -> list[Figures]:
    """Figures of turnarounds of one brake type, in the order of the group."""
    turnarounds = [one for one in day.turnarounds if one.id in group]
    hold, rule = day.station.hold_minutes, day.station.approach

    def cases(count: int) -> tuple[Case, ...]:
        return _cases(day, turnarounds, count, seed)

    plan = stand_heat(cases(PLAN_SAMPLES), hold, rule=rule)
    every = stand_heat(cases(BRAKE_SAMPLES), hold, rule=rule, every_brake=True)
    foretold = _foretold(day, turnarounds, seed)
    return [
        replace(
            _figures(day, plan, every, place, seed, deicer_factor),
            foretold=foretold.get(one.id, ()),
        )
        for place, one in enumerate(turnarounds)
    ]


def _cases(
    day: Day, turnarounds: list[Turnaround], count: int, seed: int
) -> tuple[Case, ...]:
    return tuple(
        build_case(day, one, sample_count=count, seed=seed, case=place)
        for place, one in enumerate(turnarounds)
    )


def _foretold(
    day: Day, turnarounds: list[Turnaround], seed: int
) -> dict[str, tuple[Foretold, ...]]:
    """Compare readings with what was to be expected before anything was read."""
    readings = {one.id: _readings(day, one) for one in turnarounds}
    chosen = [one for one in turnarounds if readings[one.id]]
    if not chosen:
        return {}
    cases = _cases(replace(day, readings=()), chosen, BRAKE_SAMPLES, seed)
    hold = max(readings[one.id][-1].minute - one.in_block_minute + 1 for one in chosen)
    heat = stand_heat(cases, min(hold, day.station.hold_minutes), every_brake=True)
    return {
        one.id: foretold_of(heat, place, readings[one.id])
        for place, one in enumerate(chosen)
    }


def _figures(
    day: Day,
    plan: StandHeat,
    every: StandHeat,
    place: int,
    seed: int,
    deicer_factor: float,
) -> Figures:
    station, case = day.station, every.cases[place]
    rank = rank_of(PLAN_SAMPLES, station.limit_confidence, station.bound_confidence)
    plugs = plug_state(plan, place, station.approach, rank, PLAN_SAMPLES)
    in_block, brake = case.turnaround.in_block_minute, case.brake
    mine = every.rows_of(place)
    curve, plug = every.curve, brake.plug
    plug_k = curve.plug_k[mine].max(axis=1).reshape(case.shape)
    wheel_k = np.maximum(
        curve.node_k("wheel inboard")[mine], curve.node_k("wheel outboard")[mine]
    ).max(axis=1)
    stack_k = np.maximum(curve.stack_k[mine].max(axis=1), _after_roll_k(every, case))
    approach = plugs.approach_minute
    return Figures(
        turnaround_id=case.turnaround.id,
        positions=case.positions,
        approach_minute=(
            in_block + int(np.ceil(approach)) if np.isfinite(approach) else None
        ),
        plug_peak_minute=in_block + int(np.ceil(plugs.peak_minute)),
        is_check_due=plugs.exceeded_probability >= RAISED,
        released=_shares(plug_k > case.release_k),
        near_release=_shares(plug_k > plug.release_k - plug.margin_k),
        wheel_hot=_above(wheel_k, brake.limits.wheel_k, case),
        stack_hot=_above(stack_k, brake.limits.inspect_above_k, case),
        stops=stop_figures(day, case.turnaround, seed, deicer_factor),
        foretold=(),
        odd=odd_of(plan.cases[place]),
    )


def _readings(day: Day, turnaround: Turnaround) -> tuple[Reading, ...]:
    """Choose readings of the last stay that no ground fan distorts, by time."""
    fans = [one for one in day.fan_times if one.turnaround_id == turnaround.id]
    first_fan = min((one.start_minute for one in fans), default=None)
    mine = [
        one
        for one in day.readings
        if one.turnaround_id == turnaround.id
        and one.minute >= turnaround.in_block_minute
        and (first_fan is None or one.minute <= first_fan)
    ]
    return tuple(sorted(mine, key=lambda one: one.minute))


def _shares(hit: np.ndarray) -> tuple[float, ...]:
    return tuple(float(share) for share in hit.mean(axis=0))


def _above(
    peak_k: FloatArray, limit_k: float | None, case: Case
) -> tuple[float, ...] | None:
    return None if limit_k is None else _shares(peak_k.reshape(case.shape) > limit_k)


def _after_roll_k(heat: StandHeat, case: Case) -> FloatArray:
    """Mean stack temperature after a roll that loses nothing, shape (row,)."""
    rows, network = case.rows, heat.network
    table = property_table(case.brake.stack_material)
    start = touchdown_k(network, case, np.arange(rows.count))
    discs, mass = start[:, : network.disc_count], network.mass_kg[: network.disc_count]
    carried = (table.enthalpy(discs) * mass).sum(axis=1) / mass.sum()
    roll_j = Heat(power_w=rows.roll_power_w).energy_j(rows.roll_s)
    added = roll_j / (case.brake.stack_mass_kg * rows.stack_fraction)
    return table.temperature(carried + added)
