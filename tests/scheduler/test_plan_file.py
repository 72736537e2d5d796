"""Plan files: exact round trip, the written keys, and one line per fault."""

import json
import math
from dataclasses import MISSING, fields, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from scheduler.day import Task
from scheduler.errors import PlanFormatError
from scheduler.files import atomic
from scheduler.files.plan_file import plan_text, read_plan, write_plan
from scheduler.options import Limit
from scheduler.plan import (
    Action,
    Curve,
    DelayShare,
    FanFleet,
    LimitLine,
    Plan,
    PlannedDuty,
    Progress,
    Status,
    TradePoint,
    WhatIf,
)
from tests.docs import plan_schema
from tests.sample_day import CLOCK, PLAN

ACTION = Action(
    minute=835,
    do_by_minute=838,
    what="Move 2 × blower to stand 2",
    who="fan crew",
    stand="2",
    turnaround_id="LB102",
    missing_it="=off-block 34 minutes later",
)
CURVE = Curve(
    position="L1",
    minutes=(835, 845),
    stack_c=(300.0, 250.5),
    wheel_c=(90.0, 91.0),
    plug_c=(80.0, 82.0),
    indicated_c=(240.0, 200.0),
)
FLEET = FanFleet(
    name="blower",
    units=2,
    setup_minutes=3,
    removal_minutes=2,
    move_minutes=5,
    from_minute=240,
    to_minute=1380,
    remote=False,
)
DUTY = PlannedDuty(
    task=Task.PLUG_CHECK,
    crew=None,
    start_minute=840,
    end_minute=860,
    reason="plug peak above the margin",
)


TRADE = (
    TradePoint(
        take_off_weight_kg=58_200.0,
        earliest_off_block_minute=831,
        binding_limit=Limit.STOPPING,
        planned=True,
    ),
    TradePoint(
        take_off_weight_kg=60_000.5,
        earliest_off_block_minute=None,
        binding_limit=None,
    ),
)


def full_plan() -> Plan:
    """The sample plan with every field that may stay empty filled."""
    row = replace(
        PLAN.turnarounds[1],
        duties=(DUTY, replace(DUTY, task=Task.INSPECTION, crew="line")),
        rollout="full length",
        rollout_deadline_minute=795,
        towed=True,
        progress=Progress.IN_BLOCK,
        aircraft="Heron",
        landing_minute=790,
        ctot_minute=850,
        expected_ready_minute=830,
        indication_minute=802,
        indication_fan_minutes=5,
        limits=(LimitLine(curve="plug", name="plug", limit_c=160.0),),
        cooled=(CURVE,),
        load_trade=TRADE,
    )
    return replace(
        PLAN,
        turnarounds=(PLAN.turnarounds[0], row, *PLAN.turnarounds[2:]),
        actions=(ACTION,),
        cautions=("Advisory.",),
        now_minute=-5,
        time_zone="Europe/Madrid",
        data_minute=-20,
        program="heatslot 0",
        fans=(FLEET,),
        shares=(DelayShare(resource="fans", minutes=31, cost=45),),
        what_ifs=(
            WhatIf(
                change="one more blower",
                minutes_saved=22,
                cost_saved=30,
                proved=True,
                local=True,
            ),
        ),
    )


FULL = full_plan()


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
    """Every field of the plan, its rows, duties, heat and actions survives the file."""
    write_plan(FULL, CLOCK, path)
    assert read_plan(path) == FULL


def test_the_full_plan_leaves_no_field_of_a_row_at_its_default() -> None:
    """The round trip would notice a field that the file does not carry."""
    for record in (FULL, FULL.turnarounds[1], FULL.what_ifs[0]):
        left = [
            field.name
            for field in fields(record)
            if field.default is not MISSING
            and getattr(record, field.name) == field.default
        ]
        assert set(left) <= {"notes", "schema_version"}


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


def test_the_stored_schema_is_the_one_of_the_code() -> None:
    """docs/plan.schema.json is current; `tests.docs.plan_schema` writes it anew."""
    assert plan_schema.PAGE.read_text(encoding="utf-8") == plan_schema.text()


def test_the_output_fits_the_stored_schema() -> None:
    """A reader of JSON Schema that is not ours accepts what the writer wrote."""
    assert misfits(json.loads(plan_text(FULL, CLOCK))) == []


def test_the_reading_of_the_schema_notices_faults() -> None:
    """A wrong type, a stray key and a broken time are each noticed."""
    values = json.loads(plan_text(FULL, CLOCK))
    values["seed"] = "7"
    values["turnarounds"][0]["colour"] = "blue"
    values["turnarounds"][1]["in_block_utc"] = "14:00"
    values["turnarounds"][1]["duties"][0]["task"] = "dance"
    assert misfits(values) == [
        "$.seed",
        "$.turnarounds[0]",
        "$.turnarounds[1].duties[0].task",
        "$.turnarounds[1].in_block_utc",
    ]


def test_a_plan_of_an_earlier_release_still_reads(path: Path) -> None:
    """Without the keys that came later, what they hold is empty or not known."""
    values = json.loads(plan_text(PLAN, CLOCK))
    for key in ("now_utc", "shares", "what_ifs"):
        del values[key]
    for row in values["turnarounds"]:
        for key in ("progress", "duties", "rollout", "rollout_deadline_utc", "towed"):
            del row[key]
    path.write_text(json.dumps(values), encoding="utf-8")
    assert read_plan(path) == PLAN


def misfits(values: Any) -> list[str]:
    """Places where values do not fit the stored schema."""
    schema = json.loads(plan_schema.PAGE.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    found = Draft202012Validator(schema).iter_errors(values)
    return sorted(fault.json_path for fault in found)


def test_a_load_trade_is_written_in_kg_and_times(path: Path) -> None:
    """Each point has its time, null where none was found; older files have no point."""
    values = json.loads(plan_text(FULL, CLOCK))
    light, heavy = values["turnarounds"][1]["load_trade"]
    assert light == {
        "take_off_weight_kg": 58_200.0,
        "earliest_off_block_utc": "2026-07-14T13:51:00Z",
        "binding_limit": "stopping",
        "planned": True,
    }
    assert heavy["earliest_off_block_utc"] is None
    del values["turnarounds"][1]["load_trade"]
    path.write_text(json.dumps(values), encoding="utf-8")
    assert read_plan(path).turnarounds[1].load_trade == ()


@pytest.mark.parametrize(
    ("key", "value"),
    [("take_off_weight_kg", -1.0), ("planned", "yes"), ("binding_limit", "paint")],
)
def test_a_load_trade_that_cannot_be_is_named(
    path: Path, key: str, value: object
) -> None:
    """The path to the value stands in the error."""
    values = json.loads(plan_text(FULL, CLOCK))
    values["turnarounds"][1]["load_trade"][0][key] = value
    path.write_text(json.dumps(values), encoding="utf-8")
    with pytest.raises(PlanFormatError, match=rf"load_trade\[0\]\.{key}: expected"):
        read_plan(path)
