"""The page on scenario files names every column and key that is read."""

import re
from pathlib import Path

import pytest

from scheduler.files import station_schema as schema
from scheduler.files.aircraft_types import type_keys
from scheduler.files.fleet_file import TailKeys
from scheduler.files.scenario import KNOWN_COLUMNS

PAGE = Path(__file__).parents[2] / "docs" / "scenario-format.md"
MODELS = (
    schema.StationKeys,
    schema.RunwayKeys,
    schema.ExitKeys,
    schema.StandKeys,
    schema.FanKeys,
    schema.ApproachKeys,
    schema.CurfewKeys,
    schema.DelayCostKeys,
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
    sections = {"runways", "stands", "fans", "approach", "curfews", "delay_cost"}
    assert set(model.model_fields) - named - sections - {"columns"} == set()
