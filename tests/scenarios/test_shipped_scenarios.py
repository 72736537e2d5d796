"""What every shipped scenario has to give: a proved plan that passes the check."""

from scheduler.plan import Status
from scheduler.verify import check
from tests.scenarios.planned_day import Planned


def test_plan_has_no_violation(shipped: Planned) -> None:
    """The check finds nothing wrong with the finished plan."""
    assert check(shipped.day, shipped.plan) == ()
    assert shipped.result.rejected == ()


def test_plan_is_proved(shipped: Planned) -> None:
    """The bound of every stage meets its value, and never lies above it."""
    proof = shipped.plan.proof
    assert shipped.plan.status is Status.OPTIMAL
    assert len(proof.objective) == len(proof.bound)
    assert all(v >= b for v, b in zip(proof.objective, proof.bound, strict=True))
    assert proof.objective == proof.bound


def test_nobody_is_held(shipped: Planned) -> None:
    """Every aircraft has an off-block and no rule is broken."""
    for _, row in shipped.rows:
        assert row.off_block_minute is not None
        assert row.relaxed == ()


def test_some_wait_and_some_do_not(shipped: Planned) -> None:
    """Brakes cost some flights minutes, and others none."""
    delays = [row.delay_minutes for _, row in shipped.rows]
    assert 0 in delays
    assert any(delays)


def test_a_fan_brings_a_departure_forward(shipped: Planned) -> None:
    """At least one fan job leads to an earlier off-block than still air allows."""
    gains = [
        row
        for _, row in shipped.rows
        if row.fan_jobs
        and row.off_block_minute is not None
        and row.brake_ready_still_air_minute is not None
        and row.off_block_minute < row.brake_ready_still_air_minute
    ]
    assert gains


def test_no_check_comes_before_the_hottest_plug(shipped: Planned) -> None:
    """A plug check is finished its own length after the plug's peak, or later."""
    length = shipped.day.station.plug_check_minutes
    for name, table in shipped.tables.items():
        for limit, minute in table.limit_minutes:
            if limit == "plug check" and minute is not None:
                assert minute >= shipped.heat[name].plug_peak_minute + length
