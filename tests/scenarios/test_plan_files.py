"""The plan files of the shipped scenarios fit the published schema and read back."""

import json
from pathlib import Path

from jsonschema import Draft202012Validator

from scheduler.files.plan_file import read_plan, write_plan
from tests.docs import plan_schema
from tests.scenarios.planned_day import Planned


def test_the_plan_file_fits_the_schema(shipped: Planned, tmp_path: Path) -> None:
    """What another program reads is what docs/plan.schema.json promises."""
    path = tmp_path / "plan.json"
    write_plan(shipped.plan, shipped.day.clock, path)
    schema = json.loads(plan_schema.PAGE.read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(json.loads(path.read_text(encoding="utf-8")))
    assert read_plan(path) == shipped.plan
