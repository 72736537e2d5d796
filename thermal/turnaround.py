"""One brake's turnaround per row: arrival, stand, fans, departure, flight as phases.

Enters: `Rows`, what differs between rows (samples, brakes, aircraft of one brake
type). Leaves: phases for `cool`. Time zero is in-block; all rows share the hours at
the stand, each has its own weather, heat and durations. Nothing of a climb's colder
air is credited.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from thermal.arrays import FloatArray, check_range
from thermal.network import Network
from thermal.row_phases import Stream, row_phase
from thermal.rows import SEGMENT_S, Rows
from thermal.timeline import Heat, Phase, PhaseKind
from thermal.units import MINUTE_S

__all__ = [
    "TAKE_OFF_RUN_S",
    "WELL_S",
    "Rows",
    "arrival",
    "arrival_s",
    "departure",
    "fan_job",
    "flight",
    "parked",
    "start_k",
    "take_off",
]

TAKE_OFF_RUN_S = 35.0
WELL_S = 7200.0
_ROLL = Stream(outer_m_per_s=20.0, through_m_per_s=4.0)
_TAXI = Stream(outer_m_per_s=4.0, through_m_per_s=0.5)
_RUN = Stream(outer_m_per_s=30.0, through_m_per_s=8.0)
_GEAR_DOWN = Stream(outer_m_per_s=60.0, through_m_per_s=20.0)
_APPROACH = Stream(outer_m_per_s=75.0, through_m_per_s=20.0)
_WELL = Stream(enclosed=True)
_FAN_OUTSIDE_FRACTION = 0.3


def start_k(network: Network, rows: Rows) -> FloatArray:
    """Temperatures at touchdown, shape (row, node)."""
    ambient = rows.ambient_k[:, 0]
    start = np.repeat(
        (0.5 * (ambient + rows.residual_k))[:, None], len(network.nodes), axis=1
    )
    start[:, : network.disc_count] = rows.residual_k[:, None]
    return start


def arrival(rows: Rows) -> tuple[Phase, ...]:
    """Rollout with the brakes applied, then taxi-in; ends at in-block."""
    ambient = rows.ambient_k[:, 0]
    roll = row_phase(
        PhaseKind.ROLLOUT,
        rows,
        rows.roll_s,
        ambient,
        _ROLL,
        brakes_set=True,
        heat=Heat(power_w=rows.roll_power_w),
    )
    return roll, _taxi(PhaseKind.TAXI_IN, rows, rows.taxi_in_s, rows.taxi_in_j, ambient)


def arrival_s(rows: Rows) -> FloatArray:
    """Time from touchdown to in-block."""
    return rows.roll_s + rows.taxi_in_s


def parked(rows: Rows, from_s: float, to_s: float) -> tuple[Phase, ...]:
    """Still air, or the wind credited, between two instants after in-block.

    The aircraft's own fan blows through the stack as long as it runs. The parking
    brake is set or released, as the rows say.
    """
    fan_ends = np.unique(rows.onboard_fan_s).tolist()
    return tuple(
        _standing(rows, begin, end, continues=begin > from_s and begin not in fan_ends)
        for begin, end in _spans(from_s, to_s, fan_ends)
    )


def _standing(rows: Rows, begin: float, end: float, *, continues: bool) -> Phase:
    """Stand for a while in which no fan starts or stops."""
    runs = rows.onboard_fan_s > begin
    # A draw by which much air reaches the stack is not counted in favour.
    air = rows.onboard_fan_m_per_s * np.minimum(rows.fan_factor, 1.0)
    return row_phase(
        PhaseKind.ONBOARD_FAN if (air[runs] > 0.0).any() else PhaseKind.PARKED,
        rows,
        np.full(rows.count, end - begin),
        rows.ambient_at_k(np.full(rows.count, begin / MINUTE_S)),
        Stream(
            outer_m_per_s=rows.wind_m_per_s, through_m_per_s=np.where(runs, air, 0.0)
        ),
        brakes_set=rows.are_brakes_set,
        continues=continues,
    )


def fan_job(
    rows: Rows,
    start_minute: FloatArray,
    end_minute: FloatArray,
    air_m_per_s: FloatArray,
    after_minutes: float,
) -> tuple[Phase, ...]:
    """Air driven through the stack from a row's start to its end, then still air.

    Starts and ends differ between rows; time zero of the still air is the end. In each
    hour after it a row sees the warmer of the hours it touches. What an onboard fan
    still gives is left out: a job is to begin after it has stopped.
    """
    outside = np.maximum(_FAN_OUTSIDE_FRACTION * air_m_per_s, rows.wind_m_per_s)
    hour = SEGMENT_S / MINUTE_S
    blow = row_phase(
        PhaseKind.FAN,
        rows,
        (end_minute - start_minute) * MINUTE_S,
        np.maximum(rows.ambient_at_k(start_minute), rows.ambient_at_k(end_minute)),
        Stream(outer_m_per_s=outside, through_m_per_s=air_m_per_s),
        brakes_set=rows.are_brakes_set,
    )
    blow = replace(blow, convection_factor=rows.convection_factor * rows.fan_factor)
    still = []
    for begin in np.arange(0.0, after_minutes, hour):
        minutes = min(hour, after_minutes - begin)
        ambient = np.maximum(
            rows.ambient_at_k(end_minute + begin),
            rows.ambient_at_k(end_minute + begin + minutes),
        )
        still.append(
            row_phase(
                PhaseKind.PARKED,
                rows,
                np.full(rows.count, minutes * MINUTE_S),
                ambient,
                Stream(outer_m_per_s=rows.wind_m_per_s),
                brakes_set=rows.are_brakes_set,
                continues=bool(begin > 0.0),
            )
        )
    return blow, *still


def take_off(
    rows: Rows, off_block_minute: FloatArray, gear_down_s: FloatArray
) -> tuple[Phase, ...]:
    """Taxi-out, take-off run, then the gear left down."""
    ambient = rows.ambient_at_k(off_block_minute)
    run_s = np.full(rows.count, TAKE_OFF_RUN_S)
    return (
        _taxi(PhaseKind.TAXI_OUT, rows, rows.taxi_out_s, rows.taxi_out_j, ambient),
        row_phase(PhaseKind.TAKE_OFF_RUN, rows, run_s, ambient, _RUN),
        row_phase(PhaseKind.GEAR_DOWN, rows, gear_down_s, ambient, _GEAR_DOWN),
    )


def departure(rows: Rows, off_block_minute: FloatArray) -> tuple[Phase, ...]:
    """Taxi-out, take-off run, gear down as approved, two hours in the wheel well."""
    well_k = rows.ambient_at_k(off_block_minute) + rows.well_warmer_k
    return (
        *take_off(rows, off_block_minute, rows.gear_down_s),
        row_phase(
            PhaseKind.WHEEL_WELL, rows, np.full(rows.count, WELL_S), well_k, _WELL
        ),
    )


def flight(
    rows: Rows,
    off_block_minute: FloatArray,
    minutes: FloatArray,
    approach_minutes: FloatArray,
) -> tuple[Phase, ...]:
    """From off-block to the next touchdown: the gear goes up and comes down again.

    The wheel well takes all of the flight that take-off run, gear left down and
    approach leave; where the flight is too short for them, the gear left down goes
    first. For two hours hot brakes keep the well warmer than the air on the ground, as
    after any departure; later it is as warm as that, and so is the approach.

    Parameters
    ----------
    off_block_minute : array, shape (row,)
        After in-block.
    minutes : array, shape (row,)
        From line-up to touchdown.
    approach_minutes : array, shape (row,)
        With the gear extended before touchdown.

    Raises
    ------
    ParameterError
        If a flight is shorter than the take-off run.
    """
    air_s = np.asarray(minutes) * MINUTE_S - TAKE_OFF_RUN_S
    check_range("flight after the take-off run", air_s, 0.0, 1e6, "s")
    approach_s = np.minimum(approach_minutes * MINUTE_S, air_s)
    gear_down_s = np.minimum(rows.gear_down_s, air_s - approach_s)
    touchdown = off_block_minute + rows.taxi_out_s / MINUTE_S + minutes
    leaving_k, landing_k = map(rows.ambient_at_k, (off_block_minute, touchdown))
    well_k, well_s = np.maximum(leaving_k, landing_k), air_s - approach_s - gear_down_s
    warm_s, warm_k = np.minimum(well_s, WELL_S), well_k + rows.well_warmer_k
    return (
        *take_off(rows, off_block_minute, gear_down_s),
        row_phase(PhaseKind.WHEEL_WELL, rows, warm_s, warm_k, _WELL),
        row_phase(PhaseKind.WHEEL_WELL, rows, well_s - warm_s, well_k, _WELL),
        row_phase(PhaseKind.APPROACH, rows, approach_s, landing_k, _APPROACH),
    )


def _spans(
    from_s: float, to_s: float, stops_s: list[float]
) -> list[tuple[float, float]]:
    """Split a span at full hours, when the weather moves on, and where a fan stops."""
    first = np.floor(from_s / SEGMENT_S) + 1.0
    hours = np.arange(first * SEGMENT_S, to_s, SEGMENT_S).tolist()
    inner = {stop for stop in (*hours, *stops_s) if from_s < stop < to_s}
    edges = [from_s, *sorted(inner), to_s]
    return [(a, b) for a, b in pairwise(edges) if b > a]


def _taxi(
    kind: PhaseKind,
    rows: Rows,
    duration_s: FloatArray,
    energy_j: FloatArray,
    ambient_k: FloatArray,
) -> Phase:
    """Taxi heat spread evenly over the leg."""
    mean_w = energy_j / np.where(duration_s > 0, duration_s, 1.0)
    heat = Heat(power_w=np.stack([mean_w, mean_w], axis=1))
    return row_phase(kind, rows, duration_s, ambient_k, _TAXI, heat=heat)
