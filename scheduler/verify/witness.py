"""One draw of one brake, from touchdown to two hours after retraction, as planned.

Enters: a turnaround's case, one of its rows, the fan jobs and the off-block. Leaves:
`Witness`, its `History` with the instants at which limits are looked at.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from scheduler.cases import Case, network_of
from scheduler.cases.reach import reached_brakes
from scheduler.day import Day
from scheduler.plan import FanJob
from scheduler.verify.history import History, history_of
from thermal.arrays import FloatArray
from thermal.export import export_network
from thermal.network import Network
from thermal.timeline import Phase
from thermal.turnaround import (
    TAKE_OFF_RUN_S,
    WELL_S,
    Rows,
    arrival,
    arrival_s,
    departure,
    fan_job,
    parked,
    start_k,
)
from thermal.units import MINUTE_S

Window = tuple[int, int, float]
_WELL_STEP_S = 120.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Witness:
    """One case integrated; instants are rows of the history.

    Attributes
    ----------
    stop_j_per_kg : float
        Heat of the accelerate-stop per mass of the worn stack.
    taxi_in_minutes : float
        From the end of the rollout to in-block.
    onboard_fan_minutes : float
        How long the aircraft's own fan runs from in-block on.
    """

    history: History
    in_block_minute: int
    off_block: int
    line_up: int
    retraction: int
    stop_j_per_kg: float
    taxi_in_minutes: float
    onboard_fan_minutes: float

    def minutes(self, first_minute: int, last_minute: int) -> slice:
        """Rows of the whole minutes at the stand between two of the day's minutes."""
        first = max(first_minute - self.in_block_minute, 0)
        return slice(first, min(last_minute - self.in_block_minute, self.off_block) + 1)


def witness_of(
    day: Day, case: Case, row: int, jobs: tuple[FanJob, ...], off_block_minute: int
) -> Witness:
    """Integrate one row of a case with the fan jobs and the off-block of a plan."""
    network = network_of(case.aircraft.brake)
    rows = case.rows.select(np.array([row]))
    in_block = case.turnaround.in_block_minute
    stay = off_block_minute - in_block
    blown = jobs_at(day, case, int(rows.brake[0]), jobs)
    phases = (
        *arrival(rows),
        *_stand(rows, _windows(day, blown, in_block, stay), stay),
        *departure(rows, np.array([float(stay)])),
    )
    exported = export_network(
        network,
        rows.variation,
        phases,
        _touchdown_k(network, case, row),
        start_s=-float(arrival_s(rows)[0]),
    )
    at_s = _instants_s(rows, stay)
    history = history_of(exported, at_s)
    return Witness(
        history=history,
        in_block_minute=in_block,
        off_block=stay,
        line_up=stay + 1,
        retraction=stay + 2,
        stop_j_per_kg=float(rows.stop_j[0]) / history.stack_kg,
        taxi_in_minutes=float(rows.taxi_in_s[0]) / MINUTE_S,
        onboard_fan_minutes=float(rows.onboard_fan_s[0]) / MINUTE_S,
    )


def jobs_at(
    day: Day, case: Case, brake: int, jobs: tuple[FanJob, ...]
) -> tuple[FanJob, ...]:
    """Jobs whose air reaches one brake; it stays in still air through the others."""
    fans = {fan.name: fan for fan in day.station.fans}
    return tuple(
        job
        for job in jobs
        if job.fan_type not in fans
        or reached_brakes(day, case.turnaround, fans[job.fan_type], job.units)[brake]
    )


def _touchdown_k(network: Network, case: Case, row: int) -> FloatArray:
    """Temperatures at touchdown, shape (node,): after the sectors before, one by one.

    No node is cooler than where nothing is carried.
    """
    carried = None
    which = np.array([row])
    for whole in case.before:
        sector = whole.select(which)
        rows, duration_s = sector.rows, sector.duration_s
        begin_k = _warmer(start_k(network, rows)[0], carried)
        exported = export_network(network, rows.variation, sector.phases, begin_k)
        carried = history_of(exported, duration_s).temperature_k[-1]
    return _warmer(start_k(network, case.rows.select(which))[0], carried)


def _warmer(begin_k: FloatArray, carried_k: FloatArray | None) -> FloatArray:
    return begin_k if carried_k is None else np.maximum(begin_k, carried_k)


def _windows(
    day: Day, jobs: tuple[FanJob, ...], in_block: int, stay: int
) -> tuple[Window, ...]:
    """Start, end and air of the jobs that can be, minutes after in-block.

    What is odd about a job (an unknown fan, an overlap, air before in-block or after
    off-block) is told elsewhere; here it cools no longer than it can.
    """
    air = {fan.name: fan.air_speed_m_per_s for fan in day.station.fans}
    windows: list[Window] = []
    clock = 0
    for job in sorted(jobs, key=lambda one: one.start_minute):
        start = max(job.start_minute - in_block, clock)
        end = min(job.end_minute - in_block, stay)
        if job.fan_type in air and start < end:
            windows.append((start, end, air[job.fan_type]))
            clock = end
    return tuple(windows)


def _stand(rows: Rows, windows: tuple[Window, ...], stay: int) -> Iterator[Phase]:
    """Phases from in-block to off-block."""
    first = windows[0][0] if windows else stay
    yield from parked(rows, 0.0, first * MINUTE_S)
    following = [window[0] for window in windows[1:]]
    for (start, end, air), until in zip(windows, [*following, stay], strict=False):
        yield from fan_job(
            rows,
            np.array([float(start)]),
            np.array([float(end)]),
            np.array([air]),
            float(until - end),
        )


def _instants_s(rows: Rows, stay: int) -> FloatArray:
    """Whole minutes at the stand, line-up, retraction, then the wheel well."""
    line_up = stay * MINUTE_S + float(rows.taxi_out_s[0])
    retraction = line_up + TAKE_OFF_RUN_S + float(rows.gear_down_s[0])
    well = np.arange(_WELL_STEP_S, WELL_S + 1.0, _WELL_STEP_S)
    return np.concatenate(
        [
            np.arange(stay + 1) * MINUTE_S,
            [line_up, retraction],
            retraction + well,
        ]
    )
