"""What the indicator would show: a brake's network under recorded landings.

Enters: a brake and `CoolDown` records with factors on their heat. Leaves: temperatures
at the instants of the readings. Records that share fan times and parking brake are
cooled together.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.calibrate.cool_down import CoolDown
from thermal.cooling import cool
from thermal.network import Network, build_network
from thermal.timeline import Phase
from thermal.turnaround import Rows, arrival, fan_job, parked, start_k
from thermal.units import MINUTE_S

TOLERANCE_K = 0.5

_Setting = tuple[float | None, float | None, float, bool]


def indicated_k(
    brake: Brake, records: Sequence[CoolDown], heat_factor: FloatArray
) -> FloatArray:
    """Foretell every reading of every record, one behind the other.

    Parameters
    ----------
    heat_factor : array, shape (record,)
        On the heat of each record.

    Returns
    -------
    indicated_k : array, shape (reading,)
        Before the display's step.
    """
    network = build_network(brake)
    groups: dict[_Setting, list[int]] = {}
    for place, one in enumerate(records):
        groups.setdefault(_setting(one), []).append(place)
    found: list[FloatArray] = [np.zeros(0)] * len(records)
    for setting, places in groups.items():
        mine = [records[place] for place in places]
        shown = _group(network, setting, mine, heat_factor[places])
        for place, values in zip(places, shown, strict=True):
            found[place] = values
    return np.concatenate(found)


def _setting(one: CoolDown) -> _Setting:
    return one.fan_from_s, one.fan_to_s, one.fan_m_per_s, one.brakes_set


def _group(
    network: Network,
    setting: _Setting,
    records: list[CoolDown],
    heat_factor: FloatArray,
) -> list[FloatArray]:
    """Cool records of one setting, and pick each one's own instants."""
    instants = np.unique(np.concatenate([one.time_s for one in records]))
    rows = _rows(network.brake, records, heat_factor)
    curve = cool(
        network,
        rows.variation,
        _phases(rows, setting, float(instants[-1])),
        start_k(network, rows),
        instants,
        start_s=-rows.roll_s,
        nodes=("indicator",),
        tolerance_k=TOLERANCE_K,
    )
    return [
        curve.indicated_k[row, np.searchsorted(instants, one.time_s)]
        for row, one in enumerate(records)
    ]


def _phases(rows: Rows, setting: _Setting, end_s: float) -> tuple[Phase, ...]:
    """Stop, then still air or wind, with the fan where one blew."""
    fan_from_s, fan_to_s, air_m_per_s, brakes_set = setting
    if fan_from_s is None or fan_to_s is None or fan_from_s >= end_s:
        after = parked(rows, 0.0, max(end_s, 1.0))
    else:
        after = (
            *(parked(rows, 0.0, fan_from_s) if fan_from_s > 0.0 else ()),
            *fan_job(
                rows,
                np.full(rows.count, fan_from_s / MINUTE_S),
                np.full(rows.count, fan_to_s / MINUTE_S),
                np.full(rows.count, air_m_per_s),
                max(end_s - fan_to_s, 1.0) / MINUTE_S,
            ),
        )
    stood = (replace(phase, brakes_set=brakes_set) for phase in after)
    return arrival(rows)[0], *stood


def _rows(brake: Brake, records: list[CoolDown], heat_factor: FloatArray) -> Rows:
    """One row per record with every other factor at one, and no taxi."""
    count = len(records)
    none, one = np.zeros(count), np.ones(count)

    def each(name: str) -> FloatArray:
        return np.array([getattr(record, name) for record in records], dtype=np.float64)

    roll_s, energy_j = each("roll_s"), each("energy_j") * heat_factor
    ambient_k = each("ambient_k")
    residual = [record.residual_k for record in records]
    return Rows(
        case=np.zeros(count, dtype=np.intp),
        sample=np.arange(count),
        brake=np.zeros(count, dtype=np.intp),
        stack_fraction=brake.stack_fraction(each("wear")),
        radiation_factor=one,
        joint_factor=one,
        convection_factor=one,
        fan_factor=one,
        roll_s=roll_s,
        roll_power_w=np.stack([2.0 * energy_j / roll_s, none], axis=1),
        taxi_in_s=none,
        taxi_in_j=none,
        taxi_out_s=none,
        taxi_out_j=none,
        stop_j=none,
        gear_down_s=none,
        ambient_k=ambient_k[:, None],
        residual_k=np.array(
            [
                air if value is None else value
                for air, value in zip(ambient_k, residual, strict=True)
            ]
        ),
        pressure_pa=each("pressure_pa"),
        wind_m_per_s=each("wind_m_per_s"),
        well_warmer_k=none,
    )
