"""One phase for every row: the air that each of them meets, rounded to few kinds.

Enters: `Rows`, durations, air temperatures and speeds per row. Leaves: a `Phase`. Film
properties move little with the air, so that temperatures are rounded to 5 K and
speeds down to half a metre per second.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.rows import Rows
from thermal.timeline import Air, Heat, Phase, PhaseKind

CLIMB_PRESSURE_FRACTION = 0.75
_WELL_CONTACT_FRACTION = 0.5
_NOMINAL_STEP_K = 5.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stream:
    """Air speeds outside and through the stack, of one row or of all.

    ``enclosed`` stands for the wheel well: thin air that hardly moves.
    """

    outer_m_per_s: FloatArray | float = 0.0
    through_m_per_s: FloatArray | float = 0.0
    enclosed: bool = False


def row_phase(
    kind: PhaseKind,
    rows: Rows,
    duration_s: FloatArray,
    ambient_k: FloatArray,
    stream: Stream,
    *,
    brakes_set: bool = False,
    heat: Heat | None = None,
    continues: bool = False,
) -> Phase:
    """Build a phase in which every row has its own air.

    Parameters
    ----------
    duration_s, ambient_k : array, shape (row,)
    continues : bool
        As in `Phase`.
    """
    air, index = _distinct_air(rows, ambient_k, stream)
    return Phase(
        kind=kind,
        duration_s=duration_s,
        ambient_k=ambient_k,
        air=air,
        air_index=index,
        convection_factor=rows.convection_factor,
        brakes_set=brakes_set,
        heat=heat,
        continues=continues,
    )


def _distinct_air(
    rows: Rows, ambient_k: FloatArray, stream: Stream
) -> tuple[tuple[Air, ...], np.ndarray]:
    """Kinds of air that occur, and which of them each row meets."""
    pressure = np.round(rows.pressure_pa, -3)
    speeds = (stream.outer_m_per_s, stream.through_m_per_s)
    columns = np.stack(
        [
            np.round(ambient_k / _NOMINAL_STEP_K) * _NOMINAL_STEP_K,
            pressure * (CLIMB_PRESSURE_FRACTION if stream.enclosed else 1.0),
            *(np.floor(np.broadcast_to(v, (rows.count,)) * 2.0) / 2.0 for v in speeds),
        ]
    )
    distinct, index = np.unique(columns, axis=1, return_inverse=True)
    contact = _WELL_CONTACT_FRACTION if stream.enclosed else 1.0
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
