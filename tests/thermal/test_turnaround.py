"""Phases of a turnaround: how long each takes, what air and heat each row sees."""

from dataclasses import replace

import numpy as np
import pytest

from tests.brake_days import AIR_K, network_of, rows_like
from thermal.errors import ParameterError
from thermal.rows import Rows
from thermal.timeline import Phase, PhaseKind
from thermal.turnaround import (
    TAKE_OFF_RUN_S,
    arrival,
    arrival_s,
    departure,
    fan_job,
    parked,
    start_k,
)

HOURS_K = AIR_K + np.array([0.0, 2.0, 5.0, 3.0, 1.0, 1.0])


def different_rows() -> Rows:
    """Three rows that differ in every duration and see the same changing weather."""
    rows = rows_like(3, ambient_k=np.tile(HOURS_K, (3, 1)))
    return replace(
        rows,
        roll_s=np.array([15.0, 25.0, 40.0]),
        taxi_in_s=np.array([120.0, 300.0, 600.0]),
        taxi_in_j=np.array([1e6, 2e6, 0.0]),
        taxi_out_s=np.array([300.0, 600.0, 900.0]),
        taxi_out_j=np.array([5e5, 0.0, 2e6]),
        gear_down_s=np.array([0.0, 300.0, 0.0]),
    )


def kinds(phases: tuple[Phase, ...]) -> list[PhaseKind]:
    """Kinds in their order."""
    return [phase.kind for phase in phases]


def test_arrival_ends_at_in_block() -> None:
    """Rollout with the brakes set, then taxi; each row takes its own time."""
    rows = different_rows()
    roll, taxi = arrival(rows)
    assert kinds((roll, taxi)) == [PhaseKind.ROLLOUT, PhaseKind.TAXI_IN]
    assert roll.brakes_set
    assert not taxi.brakes_set
    assert roll.duration_s + taxi.duration_s == pytest.approx(arrival_s(rows))


def test_arrival_heat_is_that_of_the_rows() -> None:
    """Rollout and taxi together put in what the rows say."""
    rows = replace(different_rows(), roll_power_w=np.full((3, 33), 4e5))
    heat_j = sum(
        phase.heat.energy_j(phase.duration_s)
        for phase in arrival(rows)
        if phase.heat is not None
    )
    assert heat_j == pytest.approx(rows.arrival_j)
    assert rows.arrival_j == pytest.approx(4e5 * rows.roll_s + rows.taxi_in_j)


def test_parked_follows_the_weather_hour_by_hour() -> None:
    """From half past to a quarter past: parts of three hours, each with its air."""
    phases = parked(different_rows(), 1800.0, 8100.0)
    assert [phase.duration_s[0] for phase in phases] == [1800.0, 3600.0, 900.0]
    assert [phase.ambient_k[0] for phase in phases] == pytest.approx(HOURS_K[:3])
    assert [phase.continues for phase in phases] == [False, True, True]
    assert set(kinds(phases)) == {PhaseKind.PARKED}


def test_last_hour_of_the_weather_goes_on() -> None:
    """Beyond the forecast the last value stays."""
    assert different_rows().ambient_at_k(np.array([59.9, 60.0, 5000.0])) == (
        pytest.approx(HOURS_K[[0, 1, 5]])
    )


def test_fan_job_takes_each_rows_own_minutes() -> None:
    """Air through the stack from start to end, then still air for all."""
    rows = different_rows()
    start, end = np.array([10.0, 20.0, 50.0]), np.array([40.0, 30.0, 130.0])
    blow, *still = fan_job(rows, start, end, np.full(3, 6.0), 90.0)
    assert blow.kind is PhaseKind.FAN
    assert blow.duration_s == pytest.approx([1800.0, 600.0, 4800.0])
    assert {blow.air[k].through_m_per_s for k in blow.air_index} == {6.0}
    assert sum(phase.duration_s[0] for phase in still) == 90.0 * 60.0
    assert all(air.through_m_per_s == 0.0 for phase in still for air in phase.air)


def test_fan_job_sees_the_warmer_of_the_hours_it_touches() -> None:
    """A row that crosses an hour gets no cooler air than either."""
    start, end = np.array([10.0, 20.0, 50.0]), np.array([40.0, 30.0, 130.0])
    blow, first, *_ = fan_job(different_rows(), start, end, np.full(3, 6.0), 90.0)
    assert blow.ambient_k == pytest.approx(HOURS_K[[0, 0, 2]])
    assert first.ambient_k == pytest.approx(HOURS_K[[1, 1, 2]])


def test_departure_ends_two_hours_after_retraction() -> None:
    """Taxi-out, run, gear down where approved, wheel well."""
    rows = different_rows()
    phases = departure(rows, np.array([30.0, 60.0, 90.0]))
    assert kinds(phases) == [
        PhaseKind.TAXI_OUT,
        PhaseKind.TAKE_OFF_RUN,
        PhaseKind.GEAR_DOWN,
        PhaseKind.WHEEL_WELL,
    ]
    expected = (rows.taxi_out_s, TAKE_OFF_RUN_S, rows.gear_down_s, 7200.0)
    for phase, duration_s in zip(phases, expected, strict=True):
        assert phase.duration_s == pytest.approx(np.broadcast_to(duration_s, 3))
    assert phases[0].ambient_k == pytest.approx(HOURS_K[[0, 1, 1]])


def test_wheel_well_has_no_wind_and_less_contact_with_air() -> None:
    """Retracted, nothing blows, and the air is warmer by what the rows say."""
    rows = replace(different_rows(), well_warmer_k=np.array([0.0, 10.0, 20.0]))
    well = departure(rows, np.zeros(3))[-1]
    assert well.ambient_k == pytest.approx(AIR_K + np.array([0.0, 10.0, 20.0]))
    for air in well.air:
        assert (air.outer_m_per_s, air.through_m_per_s) == (0.0, 0.0)
        assert air.contact_fraction < 1.0


def test_brakes_start_warm_and_the_rest_half_way() -> None:
    """Discs at the residual, everything else between it and the air."""
    network = network_of("steel-narrow")
    rows = replace(rows_like(2), residual_k=np.array([AIR_K, AIR_K + 80.0]))
    start = start_k(network, rows)
    assert start[0] == pytest.approx(AIR_K)
    assert start[1, : network.disc_count] == pytest.approx(AIR_K + 80.0)
    assert start[1, network.disc_count :] == pytest.approx(AIR_K + 40.0)


def test_rows_join_and_select_in_order() -> None:
    """Several turnarounds of one brake type go through in one batch."""
    one, other = different_rows(), rows_like(2)
    both = Rows.joined([one, other])
    assert both.count == 5
    assert both.roll_s == pytest.approx([15.0, 25.0, 40.0, 25.0, 25.0])
    again = both.select(np.array([4, 0, 0]))
    assert again.roll_s == pytest.approx([25.0, 15.0, 15.0])
    with pytest.raises(ParameterError, match="rows: expected at least one part"):
        Rows.joined([])
