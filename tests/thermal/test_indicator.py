"""The indication: late after a stop, low beside a fan, valid by rule, and its lags."""

from dataclasses import replace

import numpy as np
import pytest

from tests.brake_days import AIR_K, cool_rows, landing_phases, network_of, rows_like
from thermal.catalogue import known_brakes, load_brake
from thermal.cooling import CoolingCurve
from thermal.departure import indicated_minute, indication_valid_minute
from thermal.rows import Rows
from thermal.turnaround import arrival, fan_job, parked

FAN_FROM, FAN_MINUTES, AFTER_MINUTES = 20, 30, 30
AT_S = np.arange(-270.0, 60.0 * (FAN_FROM + FAN_MINUTES + AFTER_MINUTES), 30.0)


def landed(brake: str) -> Rows:
    """Four landings, from a light to a hard one."""
    data = load_brake(brake)
    heat_j = np.linspace(0.15, 0.6, 4) * data.limits.stack_j_per_kg * data.stack_mass_kg
    return rows_like(4, roll_power_w=heat_j[:, None] / 25.0 * np.ones((4, 33)))


def cooled(brake: str, *, fan: bool) -> CoolingCurve:
    """Eighty minutes in still air, or half an hour of them beside a fan."""
    rows = landed(brake)
    begin = np.full(4, float(FAN_FROM))
    job = fan_job(rows, begin, begin + FAN_MINUTES, np.full(4, 8.0), AFTER_MINUTES)
    blown = (*arrival(rows), *parked(rows, 0.0, FAN_FROM * 60.0), *job)
    phases = blown if fan else landing_phases(rows, float(AT_S[-1]) + 30.0)
    return cool_rows(network_of(brake), rows, phases, AT_S)


@pytest.mark.parametrize("brake", known_brakes())
def test_an_early_reading_tells_less_than_half_of_the_heat(brake: str) -> None:
    """At the end of the stop and two minutes later, against the stack's own rise."""
    curve = cooled(brake, fan=False)
    early = curve.time_s <= -300.0 + 120.0
    share = (curve.indicated_k - AIR_K) / (curve.stack_k - AIR_K)
    assert early.any()
    assert share[:, early].max() < 0.5
    assert (np.diff(share, axis=1) > 0.0).all()


@pytest.mark.parametrize("brake", known_brakes())
def test_it_reads_low_beside_a_running_fan_and_while_it_does_not_count(
    brake: str,
) -> None:
    """Below a stack above 100 °C, from the fan's start until it counts again.

    A long fan brings both near the air; there the lag may leave it a kelvin high.
    """
    curve, still = cooled(brake, fan=True), cooled(brake, fan=False)
    wait_s = load_brake(brake).limits.fan_invalid_s
    end_s = 60.0 * (FAN_FROM + FAN_MINUTES)
    invalid = (curve.time_s >= 60.0 * FAN_FROM) & (curve.time_s <= end_s + wait_s)
    hot = invalid & (curve.stack_k > AIR_K + 80.0)
    assert hot.sum() > 60
    assert (curve.stack_k - curve.indicated_k)[hot].min() > 0.0
    beside = np.searchsorted(curve.time_s, 60.0 * (FAN_FROM + 10))
    assert (curve.stack_k - curve.indicated_k)[:, beside].min() > 5.0
    at_end = np.searchsorted(curve.time_s, end_s)
    assert (still.indicated_k - curve.indicated_k)[:, at_end].min() > 5.0


@pytest.mark.parametrize(
    ("taxi_in_s", "own_fan_s", "expected"),
    [(300.0, 0.0, 5.0), (900.0, 0.0, 0.0), (300.0, 1800.0, 40.0), (0.0, 60.0, 11.0)],
)
def test_it_counts_past_its_lag_and_past_an_own_fan(
    taxi_in_s: float, own_fan_s: float, expected: float
) -> None:
    """Ten minutes from the stop, and ten from the fan's end, whichever is later."""
    brake = load_brake("carbon-narrow")
    limits = brake.limits
    assert (limits.indicated_valid_after_s, limits.fan_invalid_s) == (600.0, 600.0)
    rows = rows_like(2, taxi_in_s=taxi_in_s, onboard_fan_s=own_fan_s)
    assert indication_valid_minute(brake, rows) == pytest.approx([expected] * 2)


def test_a_low_indication_does_not_count_before_it_is_valid() -> None:
    """Within its limit all along, it holds from the minute it may be read."""
    brake = load_brake("carbon-narrow")
    minute, shown_k = np.arange(30.0), np.full((1, 30), brake.limits.indicated_k - 50.0)
    for valid in (0.0, 12.0):
        found = indicated_minute(brake, minute, shown_k, np.array([valid]))
        assert found == pytest.approx([valid])


@pytest.mark.parametrize("lag", ["lag_s", "display_lag_s"])
def test_a_longer_lag_shows_less_at_first(lag: str) -> None:
    """Probe and display each hold the reading back."""
    from thermal.network import build_network

    brake = load_brake("carbon-narrow")
    slow = replace(brake.probe, **{lag: 1.6 * getattr(brake.probe, lag)})
    rows = landed(brake.name)
    shown = [
        cool_rows(
            build_network(one), rows, landing_phases(rows, 600.0), np.array([0.0])
        ).indicated_k
        for one in (brake, replace(brake, probe=slow))
    ]
    assert (shown[0] - shown[1]).min() > 1.0
