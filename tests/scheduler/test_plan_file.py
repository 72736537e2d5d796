"""Plan files: exact round trip, the written keys, and one line per fault."""

import json
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.errors import PlanFormatError
from scheduler.files import atomic
from scheduler.files.plan_file import plan_text, read_plan, write_plan
from scheduler.files.plan_schema import json_schema
from scheduler.plan import Action, Plan, Status
from tests.sample_day import CLOCK, PLAN

SCHEMA_FILE = Path(__file__).parents[2] / "docs" / "plan.schema.json"
ACTION = Action(
    minute=835,
    do_by_minute=838,
    what="Move 2 × blower to stand 2",
    who="fan crew",
    stand="2",
    turnaround_id="LB102",
    missing_it="=off-block 34 minutes later",
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Path of a plan file that does not exist yet."""
    return tmp_path / "plan.json"


def changed(path: Path, change: Any) -> str:
    """Write the sample plan with one change to its JSON; return the reader's error."""
    values = json.loads(plan_text(PLAN, CLOCK))
    change(values)
    path.write_text(json.dumps(values), encoding="utf-8")
    with pytest.raises(PlanFormatError) as caught:
        read_plan(path)
    return str(caught.value).replace(str(path), "plan.json")


def test_a_written_plan_reads_back_as_the_same_record(path: Path) -> None:
    """Every field of the plan, its rows, heat and actions survives the file."""
    plan = replace(PLAN, actions=(ACTION,), cautions=("Advisory.",))
    write_plan(plan, CLOCK, path)
    assert read_plan(path) == plan


@settings(max_examples=40, deadline=None)
@given(
    minute=st.integers(-3000, 6000),
    energy=st.floats(allow_nan=False, allow_infinity=False),
    word=st.text(st.characters(exclude_categories=("Cs",)), max_size=20),
    status=st.sampled_from(Status),
)
def test_round_trip_is_exact_for_any_values(
    tmp_path_factory: pytest.TempPathFactory,
    minute: int,
    energy: float,
    word: str,
    status: Status,
) -> None:
    """Minutes of neighbouring days, any float and any text come back unchanged."""
    action = replace(ACTION, minute=minute, what=word)
    row = replace(PLAN.turnarounds[1], off_block_minute=minute, stand=word)
    heat = row.heat
    assert heat is not None
    row = replace(row, heat=replace(heat, stack_peak_c=energy))
    plan = replace(PLAN, status=status, turnarounds=(row,), actions=(action,))
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    write_plan(plan, CLOCK, path)
    assert read_plan(path) == plan


def test_an_unknown_gap_is_null_and_comes_back_infinite(path: Path) -> None:
    """A fallback plan without a bound still has a valid file."""
    plan = replace(PLAN, proof=replace(PLAN.proof, gap=math.inf))
    write_plan(plan, CLOCK, path)
    assert json.loads(path.read_text(encoding="utf-8"))["gap"] is None
    assert read_plan(path).proof.gap == math.inf


def test_the_keys_people_rely_on_are_there() -> None:
    """The keys that other programs draw the report from stand where they belong."""
    values = json.loads(plan_text(PLAN, CLOCK))
    assert {
        "schema_version", "status", "objective", "bound", "gap", "limit_confidence",
        "seed", "cautions", "actions", "turnarounds",
    } <= values.keys()  # fmt: skip
    row = values["turnarounds"][1]
    assert {
        "id", "tail", "stand", "in_block_utc", "brake_ready_utc",
        "brake_ready_still_air_utc", "binding_limit", "waits_for", "off_block_utc",
        "take_off_utc", "delay_minutes", "fan_jobs", "plug", "stack_peak_c", "curves",
        "assumed", "inspection",
    } <= row.keys()  # fmt: skip
    assert row["off_block_utc"] == "2026-07-14T14:38:00Z"
    assert row["fan_jobs"] == [
        {
            "fan_type": "blower",
            "units": 2,
            "start_utc": "2026-07-14T13:55:00Z",
            "end_utc": "2026-07-14T14:25:00Z",
        }
    ]
    assert row["plug"] == {
        "release_probability": 0.0004,
        "risk": "low",
        "peak_c": 141.25,
        "peak_utc": "2026-07-14T13:58:00Z",
    }


def test_number_lists_stand_on_one_line() -> None:
    """Curves do not blow the file up to one number a line."""
    assert '"stack_c": [512.0, 430.5, 330.1]' in plan_text(PLAN, CLOCK)


def test_brackets_and_line_breaks_in_a_text_are_left_alone(path: Path) -> None:
    """A text that looks like a list of numbers is not reformatted."""
    plan = replace(PLAN, notes=("[\n 1,\n 2 ]",))
    write_plan(plan, CLOCK, path)
    assert read_plan(path).notes == plan.notes


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (
            lambda v: v.update(seed="7"),
            "plan.json: seed: expected a valid integer, got '7'",
        ),
        (
            lambda v: v["turnarounds"][3].pop("stand"),
            "plan.json: turnarounds[3].stand: expected this key, got nothing",
        ),
        (
            lambda v: v["turnarounds"][0].update(colour="blue"),
            "plan.json: turnarounds[0].colour: expected no such key, got 'blue'",
        ),
        (
            lambda v: v["turnarounds"][1].update(off_block_utc="14:38"),
            "plan.json: turnarounds[1].off_block_utc: expected a time such as "
            "2026-07-14T14:05:00Z, got '14:38'",
        ),
        (
            lambda v: v["turnarounds"][1].update(waits_for="luck"),
            "plan.json: turnarounds[1].waits_for: expected 'brakes', 'fan', 'slot', "
            "'crew', 'stand', 'load', 'check' or 'nothing', got 'luck'",
        ),
        (
            lambda v: v.update(schema_version=99),
            "plan.json: schema_version: expected 1, got 99",
        ),
        (
            lambda v: v.update(day="14.07.2026"),
            "plan.json: day: expected a day such as 2026-07-14, got '14.07.2026'",
        ),
    ],
)
def test_a_fault_is_one_line_with_its_place(
    path: Path, change: Any, expected: str
) -> None:
    """Each fault names the place, what was expected and what is there."""
    assert changed(path, change) == expected


def test_a_time_that_does_not_exist_is_refused(path: Path) -> None:
    """The 31st of June has the right shape and is still no day."""
    message = changed(
        path, lambda v: v["turnarounds"][0].update(in_block_utc="2026-06-31T10:00:00Z")
    )
    assert message.startswith("plan.json: turnarounds[0].in_block_utc: expected ")


def test_all_faults_are_reported_at_once(path: Path) -> None:
    """Two faults give two lines."""

    def spoil(values: dict[str, Any]) -> None:
        values.update(seed=None)
        values["turnarounds"][0].update(tail=5)

    assert len(changed(path, spoil).splitlines()) == 2


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('{"seed": 1,}', "plan.json:1: column 12: expected JSON, got: "),
        ("[1, 2]", "plan.json: expected a JSON object, got '[1, 2]'"),
        ("{}", "plan.json: schema_version: expected 1, got None"),
    ],
)
def test_what_is_no_plan_file_is_refused(path: Path, text: str, expected: str) -> None:
    """Broken JSON gives line and column; other JSON says what is missing."""
    path.write_text(text, encoding="utf-8")
    with pytest.raises(PlanFormatError) as caught:
        read_plan(path)
    assert str(caught.value).replace(str(path), "plan.json").startswith(expected)


def test_a_missing_file_is_a_plan_format_error(path: Path) -> None:
    """No traceback of the operating system for a wrong path."""
    with pytest.raises(PlanFormatError, match="expected a plan file, got No such"):
        read_plan(path)


def test_text_that_is_not_utf8_is_refused(path: Path) -> None:
    """Another encoding is named as such."""
    path.write_bytes(b"\xff\xfe{")
    with pytest.raises(PlanFormatError, match="expected UTF-8 text"):
        read_plan(path)


def test_a_value_the_format_has_no_place_for_is_not_written(path: Path) -> None:
    """A probability above one stops the writer, and no file appears."""
    plan = replace(PLAN, limit_confidence=1.5)
    with pytest.raises(PlanFormatError, match=r"plan: limit_confidence: expected less"):
        write_plan(plan, CLOCK, path)
    assert not path.exists()


def test_plan_and_clock_must_be_of_the_same_day(path: Path) -> None:
    """A plan cannot be written on another day's clock."""
    with pytest.raises(PlanFormatError, match="day: expected 2026-07-14"):
        write_plan(replace(PLAN, day="2026-07-15"), CLOCK, path)


def test_a_failed_write_leaves_the_old_file(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the disk fails, the plan of before is still there, and nothing else."""
    write_plan(PLAN, CLOCK, path)
    before = path.read_bytes()

    def fail(_: int) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(atomic.os, "fsync", fail)
    with pytest.raises(OSError, match="disk full"):
        write_plan(replace(PLAN, seed=8), CLOCK, path)
    assert path.read_bytes() == before
    assert list(path.parent.iterdir()) == [path]


def test_the_stored_schema_is_the_one_of_the_code(update_golden: bool) -> None:
    """docs/plan.schema.json is current; ``--update-golden`` writes it anew."""
    if update_golden:
        text = json.dumps(json_schema(), indent=2, ensure_ascii=False)
        SCHEMA_FILE.write_text(text + "\n", encoding="utf-8")
    assert json.loads(SCHEMA_FILE.read_text(encoding="utf-8")) == json_schema()


def test_the_output_fits_the_stored_schema() -> None:
    """An independent reading of the schema accepts what the writer wrote."""
    schema = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
    plan: Plan = replace(PLAN, actions=(ACTION,))
    assert list(_misfits(json.loads(plan_text(plan, CLOCK)), schema, schema)) == []


def test_the_reading_of_the_schema_notices_faults() -> None:
    """A wrong type, a stray key and a broken time are each noticed."""
    schema = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
    values = json.loads(plan_text(PLAN, CLOCK))
    values["seed"] = "7"
    values["turnarounds"][0]["colour"] = "blue"
    values["turnarounds"][1]["in_block_utc"] = "14:00"
    assert len(list(_misfits(values, schema, schema))) == 3


_TYPES = {
    "object": dict,
    "array": list,
    "string": str,
    "integer": int,
    "number": (int, float),
    "null": type(None),
    "any": object,
}


def _misfits(value: Any, schema: Any, root: Any) -> Any:
    """Read the part of JSON Schema that the file uses, apart from the writer."""
    if "$ref" in schema:
        name = schema["$ref"].removeprefix("#/$defs/")
        yield from _misfits(value, root["$defs"][name], root)
    elif "anyOf" in schema:
        ways = [list(_misfits(value, way, root)) for way in schema["anyOf"]]
        yield from min(ways, key=len)
    elif not isinstance(value, _TYPES[schema.get("type", "any")]):
        yield (value, schema["type"])
    else:
        yield from _misfits_of_value(value, schema)
        yield from _misfits_inside(value, schema, root)


def _misfits_of_value(value: Any, schema: Any) -> Any:
    if "const" in schema and value != schema["const"]:
        yield (value, schema["const"])
    if "enum" in schema and value not in schema["enum"]:
        yield (value, schema["enum"])
    if "pattern" in schema and not re.search(schema["pattern"], value):
        yield (value, schema["pattern"])


def _misfits_inside(value: Any, schema: Any, root: Any) -> Any:
    if isinstance(value, list):
        for item in value:
            yield from _misfits(item, schema["items"], root)
    if isinstance(value, dict):
        yield from ((key, "no key") for key in schema["required"] if key not in value)
        yield from ((key, "stray") for key in value if key not in schema["properties"])
        for key in value.keys() & schema["properties"].keys():
            yield from _misfits(value[key], schema["properties"][key], root)
