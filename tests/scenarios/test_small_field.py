"""The small day: a handful of flights, one remote fan, no forecast."""

from scheduler.options import PlugRisk
from tests.scenarios.planned_day import Planned


def test_a_handful_of_flights(small_field: Planned) -> None:
    """Four to six turnarounds and a single fan that needs nobody at the wheels."""
    day = small_field.day
    assert 4 <= len(day.turnarounds) <= 6
    (fan,) = day.station.fans
    assert fan.units == 1
    assert fan.remote


def test_a_remote_fan_blows_before_anyone_may_approach(small_field: Planned) -> None:
    """Fan jobs begin before the figures would let a person go to a wheel."""
    early = [
        row
        for _, row in small_field.rows
        if row.fan_jobs
        and row.approach_minute is not None
        and row.fan_jobs[0].start_minute < row.approach_minute
    ]
    assert early


def test_plug_risk_is_low(small_field: Planned) -> None:
    """Nothing of this day is out of the ordinary for the plugs."""
    assert all(heat.risk is PlugRisk.LOW for heat in small_field.heat.values())
