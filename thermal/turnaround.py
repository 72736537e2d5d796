"""One brake's turnaround per row: arrival, stand, fan and departure as phases.

Enters: `Rows`, what differs between rows (samples, brakes, aircraft of one brake
type). Leaves: phases for `cool`. Time zero is in-block; all rows share the hours at
the stand, each has its own weather, heat and durations.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from thermal.arrays import FloatArray
from thermal.network import Network
from thermal.rows import SEGMENT_S, Rows
from thermal.timeline import Air, Heat, Phase, PhaseKind
from thermal.units import MINUTE_S

__all__ = [
    "TAKE_OFF_RUN_S",
    "WELL_S",
    "Rows",
    "arrival",
    "arrival_s",
    "departure",
    "fan_job",
    "parked",
    "start_k",
]

TAKE_OFF_RUN_S = 35.0
WELL_S = 7200.0
CLIMB_PRESSURE_FRACTION = 0.75
_WELL_CONTACT_FRACTION = 0.5
_NOMINAL_STEP_K = 5.0
_ROLL_AIR = (20.0, 4.0)
_TAXI_AIR = (4.0, 0.5)
_RUN_AIR = (30.0, 8.0)
_GEAR_DOWN_AIR = (60.0, 20.0)
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
    roll = _phase(
        PhaseKind.ROLLOUT,
        rows,
        rows.roll_s,
        ambient,
        speeds=_ROLL_AIR,
        heat=Heat(power_w=rows.roll_power_w),
    )
    return roll, _taxi(PhaseKind.TAXI_IN, rows, rows.taxi_in_s, rows.taxi_in_j, ambient)


def arrival_s(rows: Rows) -> FloatArray:
    """Time from touchdown to in-block."""
    return rows.roll_s + rows.taxi_in_s


def parked(rows: Rows, from_s: float, to_s: float) -> tuple[Phase, ...]:
    """Still air, or the wind credited, between two instants after in-block."""
    return tuple(
        _phase(
            PhaseKind.PARKED,
            rows,
            np.full(rows.count, end - begin),
            rows.ambient_at_k(np.full(rows.count, begin / MINUTE_S)),
            speeds=(rows.wind_m_per_s, 0.0),
            continues=begin > from_s,
        )
        for begin, end in _hours(from_s, to_s)
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
    hour after it a row sees the warmer of the hours it touches.
    """
    outside = np.maximum(_FAN_OUTSIDE_FRACTION * air_m_per_s, rows.wind_m_per_s)
    hour = SEGMENT_S / MINUTE_S
    blow = _phase(
        PhaseKind.FAN,
        rows,
        (end_minute - start_minute) * MINUTE_S,
        np.maximum(rows.ambient_at_k(start_minute), rows.ambient_at_k(end_minute)),
        speeds=(outside, air_m_per_s),
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
            _phase(
                PhaseKind.PARKED,
                rows,
                np.full(rows.count, minutes * MINUTE_S),
                ambient,
                speeds=(rows.wind_m_per_s, 0.0),
                continues=bool(begin > 0.0),
            )
        )
    return blow, *still


def departure(rows: Rows, off_block_minute: FloatArray) -> tuple[Phase, ...]:
    """Taxi-out, take-off run, gear down as approved, two hours in the wheel well."""
    ambient = rows.ambient_at_k(off_block_minute)
    count = rows.count
    return (
        _taxi(PhaseKind.TAXI_OUT, rows, rows.taxi_out_s, rows.taxi_out_j, ambient),
        _phase(
            PhaseKind.TAKE_OFF_RUN,
            rows,
            np.full(count, TAKE_OFF_RUN_S),
            ambient,
            speeds=_RUN_AIR,
        ),
        _phase(
            PhaseKind.GEAR_DOWN,
            rows,
            rows.gear_down_s,
            ambient,
            speeds=_GEAR_DOWN_AIR,
        ),
        _phase(
            PhaseKind.WHEEL_WELL,
            rows,
            np.full(count, WELL_S),
            ambient + rows.well_warmer_k,
            speeds=(0.0, 0.0),
            enclosed=True,
        ),
    )


def _hours(from_s: float, to_s: float) -> list[tuple[float, float]]:
    """Split a span at the full hours at which the weather moves on."""
    first = np.floor(from_s / SEGMENT_S) + 1.0
    inner = np.arange(first * SEGMENT_S, to_s, SEGMENT_S)
    edges = [from_s, *inner.tolist(), to_s]
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
    return _phase(kind, rows, duration_s, ambient_k, speeds=_TAXI_AIR, heat=heat)


def _phase(
    kind: PhaseKind,
    rows: Rows,
    duration_s: FloatArray,
    ambient_k: FloatArray,
    *,
    speeds: tuple[FloatArray | float, FloatArray | float],
    heat: Heat | None = None,
    continues: bool = False,
    enclosed: bool = False,
) -> Phase:
    air, index = _distinct_air(rows, ambient_k, speeds, enclosed=enclosed)
    return Phase(
        kind=kind,
        duration_s=duration_s,
        ambient_k=ambient_k,
        air=air,
        air_index=index,
        convection_factor=rows.convection_factor,
        brakes_set=kind is PhaseKind.ROLLOUT,
        heat=heat,
        continues=continues,
    )


def _distinct_air(
    rows: Rows,
    ambient_k: FloatArray,
    speeds: tuple[FloatArray | float, FloatArray | float],
    *,
    enclosed: bool,
) -> tuple[tuple[Air, ...], np.ndarray]:
    """Few distinct conditions: film properties move little with the air."""
    pressure = np.round(rows.pressure_pa, -3)
    columns = np.stack(
        [
            np.round(ambient_k / _NOMINAL_STEP_K) * _NOMINAL_STEP_K,
            pressure * (CLIMB_PRESSURE_FRACTION if enclosed else 1.0),
            *(np.floor(np.broadcast_to(v, (rows.count,)) * 2.0) / 2.0 for v in speeds),
        ]
    )
    distinct, index = np.unique(columns, axis=1, return_inverse=True)
    contact = _WELL_CONTACT_FRACTION if enclosed else 1.0
    return (
        tuple(
            Air(
                ambient_k=float(ambient),
                pressure_pa=float(pressure_pa),
                outer_m_per_s=float(outer),
                through_m_per_s=float(through),
                contact_fraction=contact,
            )
            for ambient, pressure_pa, outer, through in distinct.T
        ),
        index.reshape(-1),
    )
