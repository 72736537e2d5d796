"""Asking for nobody's minute gives nobody's answer."""

import numpy as np

from thermal.catalogue import load_brake
from thermal.departure import StandCurve, first_minute
from thermal.network import build_network
from thermal.rows import Rows

_FLAT = np.zeros(0)


def test_no_rows_give_no_minutes() -> None:
    """An empty batch is answered without a look at any curve."""
    network = build_network(load_brake("steel-narrow"))
    whole = np.zeros(0, dtype=np.intp)
    rows = Rows(
        case=whole,
        sample=whole,
        brake=whole,
        stack_fraction=_FLAT,
        radiation_factor=_FLAT,
        joint_factor=_FLAT,
        convection_factor=_FLAT,
        fan_factor=_FLAT,
        roll_s=_FLAT,
        roll_power_w=np.zeros((0, 3)),
        taxi_in_s=_FLAT,
        taxi_in_j=_FLAT,
        taxi_out_s=_FLAT,
        taxi_out_j=_FLAT,
        stop_j=_FLAT,
        gear_down_s=_FLAT,
        ambient_k=np.zeros((0, 2)),
        residual_k=_FLAT,
        pressure_pa=_FLAT,
        wind_m_per_s=_FLAT,
        well_warmer_k=_FLAT,
    )
    curve = StandCurve(minute=np.arange(3.0), state_k=np.zeros((0, 3, 1)))
    assert first_minute(network, rows, curve, whole, _FLAT, 5.0).size == 0
