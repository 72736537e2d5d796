"""The demonstration day before anybody has logged the check of a hot landing."""

import shutil
from collections.abc import Iterator

import pytest

from scheduler.files import read_scenario
from scheduler.options import PlugRisk
from scheduler.plan import PlannedTurnaround, Relaxation, Status, WaitsFor
from scheduler.report.summary import summary_lines
from scheduler.solve import SolveConfig
from scheduler.verify import check
from tests.scenarios.planned_day import SCENARIOS, Planned, planned

FILES = ("station.toml", "fleet.toml", "weather.metar", "turnarounds.csv")


@pytest.fixture(scope="module")
def unlogged(tmp_path_factory: pytest.TempPathFactory) -> Planned:
    """The first flights of the hot wave, without the log of events."""
    folder = tmp_path_factory.mktemp("days") / "unlogged"
    folder.mkdir()
    for name in FILES:
        shutil.copy(SCENARIOS / "tarn-field" / name, folder / name)
    rows = (folder / "turnarounds.csv").read_text("utf-8").splitlines()
    few = [row for row in rows[1:] if row.startswith(("TF309", "TF31"))]
    (folder / "turnarounds.csv").write_text("\n".join([rows[0], *few]), "utf-8")
    return planned(folder, SolveConfig(sample_count=512))


def held(day: Planned) -> Iterator[PlannedTurnaround]:
    """Rows whose plug risk is not low."""
    for _, row in day.rows:
        if row.heat is not None and row.heat.risk is not PlugRisk.LOW:
            yield row


def test_the_day_has_a_check_to_log() -> None:
    """The shipped day logs it; without its log nothing else is missing."""
    assert read_scenario(SCENARIOS / "tarn-field").checks


def test_the_aircraft_is_held_and_the_plan_says_so(unlogged: Planned) -> None:
    """No off-block, no fan, one broken rule by name; the plan passes the check."""
    rows = list(held(unlogged))
    assert rows
    for row in rows:
        assert row.off_block_minute is None
        assert row.fan_jobs == ()
        assert row.waits_for is WaitsFor.CHECK
        assert Relaxation.HELD in row.relaxed
    assert unlogged.plan.status is Status.RELAXED
    assert check(unlogged.day, unlogged.plan) == ()


def test_all_others_leave(unlogged: Planned) -> None:
    """One open check does not stop the day."""
    waiting = {row.id for row in held(unlogged)}
    for _, row in unlogged.rows:
        assert (row.off_block_minute is None) is (row.id in waiting)


def test_what_to_do_is_said(unlogged: Planned) -> None:
    """Check from the approach minute on, log it, plan again."""
    summary = "\n".join(summary_lines(unlogged.plan))
    short = unlogged.day.clock.short
    for row in held(unlogged):
        assert row.approach_minute is not None
        assert row.heat is not None
        (action,) = (
            one
            for one in unlogged.plan.actions
            if one.turnaround_id == row.id and one.who == "maintenance"
        )
        assert action.minute >= max(row.approach_minute, row.heat.plug_peak_minute)
        assert action.what.endswith("log the finding and plan again")
        start = short(row.approach_minute)
        assert f"operator's approach threshold at {start}; log the check" in summary
        assert "then plan again" in summary
