"""The demonstration day cut down to the five required columns."""

import csv
import shutil
from pathlib import Path

import pytest

from scheduler.solve import SolveConfig
from scheduler.verify import check
from tests.scenarios.planned_day import SCENARIOS, Planned, planned

COLUMNS = ("id", "tail", "stand", "sibt_utc", "sobt_utc")
MISSING = (
    "landing weight",
    "touchdown speed",
    "deceleration",
    "reverse thrust",
    "exit",
    "take-off weight",
    "V1",
    "parking brake",
)
# What the brakes hold at touchdown is drawn, or computed where the day has the sector.
LEFT = ("brakes at touchdown", "brake heat left from the sector before: computed")


@pytest.fixture(scope="module")
def cut_down(tmp_path_factory: pytest.TempPathFactory) -> Planned:
    """Station, fleet and weather as they are, and nothing known but the schedule."""
    folder = tmp_path_factory.mktemp("days") / "five-columns"
    folder.mkdir()
    source = SCENARIOS / "tarn-field"
    for name in ("station.toml", "fleet.toml", "weather.metar"):
        shutil.copy(source / name, folder / name)
    cut(source / "turnarounds.csv", folder / "turnarounds.csv")
    return planned(folder, SolveConfig(sample_count=512))


def cut(source: Path, target: Path) -> None:
    """Keep the five columns, with full times."""
    with source.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        for column in ("sibt_utc", "sobt_utc"):
            row[column] = f"{row['date']}T{row[column]}Z"
    with target.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS, extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)


def test_plan_passes_the_check(cut_down: Planned) -> None:
    """A plan without violations comes out."""
    assert check(cut_down.day, cut_down.plan) == ()


def test_nearly_all_have_an_off_block(cut_down: Planned) -> None:
    """Departures lie within the horizon, and no more than a few are held."""
    held = 0
    for given, row in cut_down.rows:
        if row.off_block_minute is None:
            held += 1
            continue
        assert row.off_block_minute <= cut_down.day.last_minute(given)
    assert held <= 3


def test_what_was_assumed_is_named(cut_down: Planned) -> None:
    """Each turnaround names every input that it had to do without."""
    for _, row in cut_down.rows:
        assert row.heat is not None
        said = "\n".join(row.heat.assumed)
        assert [name for name in MISSING if name not in said] == []
        assert sum(name in said for name in LEFT) == 1


def test_something_is_named_as_worth_knowing(cut_down: Planned) -> None:
    """Where brakes cost minutes, one missing input is said to be worth most."""
    late = [row for _, row in cut_down.rows if row.delay_minutes]
    assert late
    assert all(row.heat is not None and row.heat.most_valuable_input for row in late)
