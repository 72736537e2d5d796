"""One brake's turnaround per row: arrival, stand, fan and departure as phases.

Enters: `Rows`, what differs between rows (samples, brakes, aircraft of one brake
type). Leaves: phases for `cool`. Time zero is in-block; all rows share the hours at
the stand, each has its own weather, heat and durations.
"""

from dataclasses import dataclass, fields

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import ParameterError
from thermal.integrate import Variation
from thermal.network import Network
from thermal.timeline import Air, Heat, Phase, PhaseKind
from thermal.units import MINUTE_S

TAKE_OFF_RUN_S = 35.0
WELL_S = 7200.0
SEGMENT_S = 3600.0
CLIMB_PRESSURE_FRACTION = 0.75
_WELL_CONTACT_FRACTION = 0.5
_NOMINAL_STEP_K = 5.0
_ROLL_AIR = (20.0, 4.0)
_TAXI_AIR = (4.0, 0.5)
_RUN_AIR = (30.0, 8.0)
_GEAR_DOWN_AIR = (60.0, 20.0)
_FAN_OUTSIDE_FRACTION = 0.3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """What differs between rows; arrays of shape (row,) unless said otherwise.

    Attributes
    ----------
    case, sample, brake : int array
        Which turnaround, draw and brake position a row is.
    roll_power_w : array, shape (row, knot)
        Friction power of this brake at equal fractions of ``roll_s``.
    taxi_in_j, taxi_out_j, stop_j : array
        Heat of this brake taxiing in and out, and of its accelerate-stop.
    ambient_k : array, shape (row, hour)
        Air at the stand in each hour from in-block on; the last one goes on.
    residual_k : array
        Discs at touchdown; the other parts start half way to the air.
    pressure_pa, wind_m_per_s : array
        Station pressure; wind at the wheel, zero without credit.
    well_warmer_k : array
        Wheel well above the air on the ground.
    """

    case: np.ndarray
    sample: np.ndarray
    brake: np.ndarray
    stack_fraction: FloatArray
    radiation_factor: FloatArray
    joint_factor: FloatArray
    convection_factor: FloatArray
    fan_factor: FloatArray
    roll_s: FloatArray
    roll_power_w: FloatArray
    taxi_in_s: FloatArray
    taxi_in_j: FloatArray
    taxi_out_s: FloatArray
    taxi_out_j: FloatArray
    stop_j: FloatArray
    gear_down_s: FloatArray
    ambient_k: FloatArray
    residual_k: FloatArray
    pressure_pa: FloatArray
    wind_m_per_s: FloatArray
    well_warmer_k: FloatArray

    @property
    def count(self) -> int:
        """Number of rows."""
        return int(self.case.size)

    @property
    def arrival_j(self) -> FloatArray:
        """Heat of rollout and taxi-in."""
        roll = Heat(power_w=self.roll_power_w).energy_j(self.roll_s)
        return roll + self.taxi_in_j

    def select(self, rows: np.ndarray) -> "Rows":
        """Some of the rows, in the given order; rows may repeat."""
        return Rows(
            **{item.name: getattr(self, item.name)[rows] for item in fields(self)}
        )

    @classmethod
    def joined(cls, parts: "list[Rows]") -> "Rows":
        """Rows of several turnarounds of one brake type behind each other."""
        if not parts:
            raise ParameterError.of("rows", "at least one part", "none")
        return cls(
            **{
                item.name: np.concatenate([getattr(part, item.name) for part in parts])
                for item in fields(cls)
            }
        )

    @property
    def variation(self) -> Variation:
        """Wear and cooling factors for the integrator."""
        return Variation(
            stack_fraction=self.stack_fraction,
            radiation_factor=self.radiation_factor,
            joint_factor=self.joint_factor,
        )

    def ambient_at_k(self, minute: FloatArray) -> FloatArray:
        """Air at the stand at a minute after in-block, shape (row,)."""
        hour = np.floor(np.asarray(minute) * MINUTE_S / SEGMENT_S).astype(np.intp)
        hour = np.clip(hour, 0, self.ambient_k.shape[1] - 1)
        return self.ambient_k[np.arange(self.count), hour]


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
        brakes_set=True,
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
        factor=rows.convection_factor * rows.fan_factor,
    )
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
                continues=begin > 0.0,
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
    return [(a, b) for a, b in zip(edges, edges[1:], strict=False) if b > a]


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
    factor: FloatArray | None = None,
    brakes_set: bool = False,
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
        convection_factor=rows.convection_factor if factor is None else factor,
        brakes_set=brakes_set,
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
