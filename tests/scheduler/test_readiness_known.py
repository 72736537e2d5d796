"""After an event only what changed is computed again."""

from dataclasses import replace

import pytest

from scheduler import readiness
from scheduler.readiness import HeatSettings, build_tables
from tests.benchmarks.heat_days import make_heat_day

SETTINGS = HeatSettings(seed=3, sample_count=512)


def test_only_unknown_turnarounds_are_computed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A heavier landing changes its own table; the others are taken as they were."""
    day = make_heat_day(3, 4)
    before = build_tables(day, SETTINGS)
    first, *others = day.turnarounds
    heavier = replace(first, landing=replace(first.landing, deceleration_m_per_s2=2.9))
    changed = replace(day, turnarounds=(heavier, *others))
    known = {table.turnaround_id: (table, heat) for table, heat in before[1:]}
    computed: list[int] = []
    tables_of = readiness.tables_of

    def counting(day: object, group: list[int], settings: object) -> object:
        computed.extend(group)
        return tables_of(day, group, settings)

    monkeypatch.setattr(readiness, "tables_of", counting)
    after = build_tables(changed, SETTINGS, known)
    assert computed == [0]
    assert after[1:] == before[1:]
    assert after[0][1].stack_peak_c > before[0][1].stack_peak_c
    monkeypatch.undo()
    # Steps are shared by a batch, so that alone it may come out a minute beside.
    whole = build_tables(changed, SETTINGS)[0][0].still_air.ready_minute
    alone = after[0][0].still_air.ready_minute
    assert whole is not None
    assert alone is not None
    assert abs(whole - alone) <= 1


def test_nothing_to_do_is_nothing_done() -> None:
    """With every table known the same ones come back."""
    day = make_heat_day(2, 4)
    before = build_tables(day, SETTINGS)
    known = {table.turnaround_id: (table, heat) for table, heat in before}
    assert build_tables(day, SETTINGS, known) == before
