"""The page on scenario files names every column and key that is read."""

import re
from pathlib import Path

import pytest

from scheduler.files import station_schema as schema
from scheduler.files.aircraft_types import type_keys
from scheduler.files.fleet_file import TailKeys
from scheduler.files.scenario import KNOWN_COLUMNS
from scheduler.files.wake_table import WakeKeys, known_wake_tables

PAGE = Path(__file__).parents[2] / "docs" / "scenario-format.md"
MODELS = (
    schema.StationKeys,
    schema.RunwayKeys,
    schema.ExitKeys,
    schema.StandKeys,
    schema.FanKeys,
    schema.OutageKeys,
    schema.ZoneMoveKeys,
    schema.CrewKeys,
    schema.ApproachKeys,
    schema.CurfewKeys,
    schema.DelayCostKeys,
    WakeKeys,
    TailKeys,
    type_keys(),
)


@pytest.fixture(scope="module")
def named():
    """Words in code marks on the page, brackets of tables taken off."""
    marked = re.findall(r"`([^`\n]+)`", PAGE.read_text(encoding="utf-8"))
    return {word.strip("[]").split(".")[-1] for word in marked}


@pytest.mark.parametrize("column", KNOWN_COLUMNS)
def test_column_is_explained(named, column):
    """Every column of every table is on the page."""
    assert column in named


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_keys_are_explained(named, model):
    """Every key of every TOML table is on the page."""
    assert set(model.model_fields) - named - {"columns"} == set()


@pytest.mark.parametrize("name", known_wake_tables())
def test_wake_tables_are_named(named, name):
    """Every wake table that comes with the program is on the page."""
    assert f'"{name}"' in named
