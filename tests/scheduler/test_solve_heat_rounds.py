"""A plan that the second integration finds too hot is planned again, later."""

from dataclasses import replace

import pytest

from scheduler import verify
from scheduler.solve import HEAT_ROUNDS, LATER_MINUTES, SolveConfig, later, plan_day
from scheduler.verify import Code, Violation
from tests.benchmarks.plain_days import make_day

CONFIG = SolveConfig(seconds=5, sample_count=512)


def _hot(turnaround_id: str) -> Violation:
    return Violation(
        code=Code.HEAT, turnaround_id=turnaround_id, where="x", expected="y", got="z"
    )


def test_a_hot_departure_is_planned_later_and_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One heat fault moves that turnaround's brake-ready and is named in the notes."""
    day, tables = make_day(turnarounds=5, fans=1, seed=3)
    seen: list[int] = []

    def check(*_: object, **__: object) -> tuple[Violation, ...]:
        seen.append(1)
        return (_hot(tables[0].turnaround_id),) if len(seen) == 1 else ()

    monkeypatch.setattr(verify, "check_decisions", check)
    plan = plan_day(day, CONFIG, tables=[(one, None) for one in tables]).plan
    row = plan.of(tables[0].turnaround_id)
    before = {option.ready_minute for option in tables[0].options}
    assert row.brake_ready_minute - LATER_MINUTES in before
    assert any(tables[0].turnaround_id in note for note in plan.notes)
    assert len(seen) == 2


def test_rounds_end_and_nothing_unverified_leaves(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A departure that stays too hot ends in an error, not in a plan."""
    from scheduler.errors import UnverifiedPlanError

    day, tables = make_day(turnarounds=3, fans=1, seed=3)
    seen: list[int] = []

    def check(*_: object, **__: object) -> tuple[Violation, ...]:
        seen.append(1)
        return (_hot(tables[0].turnaround_id),)

    monkeypatch.setattr(verify, "check_decisions", check)
    with pytest.raises(UnverifiedPlanError):
        plan_day(day, CONFIG, tables=[(one, None) for one in tables])
    assert len(seen) == 2 * HEAT_ROUNDS


def test_later_moves_every_option_that_has_a_minute() -> None:
    """Options without a minute stay without one."""
    _, tables = make_day(turnarounds=2, fans=1, seed=3)
    still = replace(tables[0].options[0], ready_minute=None)
    table = replace(tables[0], options=(still, *tables[0].options[1:]))
    moved = later(table, 4)
    assert moved.options[0].ready_minute is None
    for old, new in zip(table.options[1:], moved.options[1:], strict=True):
        if old.ready_minute is not None:
            assert new.ready_minute == old.ready_minute + 4
