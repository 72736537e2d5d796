"""Plan ↔ ``plan.json``: what is written reads back as the same record.

Enters and leaves: a `Plan` in integer minutes and the day's `Clock`. All faults of a
file are reported at once, each with the path to its value; `plan_schema` holds every
key of the format.
"""

import json
import re
from datetime import date
from pathlib import Path

from pydantic import ValidationError

from scheduler.clock import Clock
from scheduler.errors import PlanFormatError
from scheduler.files.atomic import write_text
from scheduler.files.plan_codec import plan_of, values_of
from scheduler.files.plan_schema import PlanEntry
from scheduler.plan import SCHEMA_VERSION, Plan

_NUMBER_LIST = re.compile(r"\[\n\s*([-+.\deE,\s]+?)\s*\]")
_EXPECTED = "Input should be "


def write_plan(plan: Plan, day_clock: Clock, path: Path) -> None:
    """Write a plan as ``plan.json``, whole or not at all.

    Raises
    ------
    PlanFormatError
        When the plan holds a value that the format has no place for.
    OSError
        When the folder cannot be written to.
    """
    write_text(path, plan_text(plan, day_clock))


def plan_text(plan: Plan, day_clock: Clock) -> str:
    """Text of ``plan.json`` for a plan.

    Raises
    ------
    PlanFormatError
        When the plan holds a value that the format has no place for.
    """
    if plan.day != day_clock.day.isoformat():
        raise PlanFormatError(
            f"plan: day: expected {day_clock.day.isoformat()}, got {plan.day}"
        )
    try:
        entry = PlanEntry.model_validate(values_of(plan, day_clock))
    except ValidationError as error:
        raise PlanFormatError("\n".join(_faults("plan", error))) from error
    text = json.dumps(entry.model_dump(mode="json"), indent=2, ensure_ascii=False)
    return _NUMBER_LIST.sub(_on_one_line, text) + "\n"


def read_plan(path: Path) -> Plan:
    """Read a plan that `write_plan` wrote.

    Raises
    ------
    PlanFormatError
        When the file is missing, is no JSON, is of another version, or holds values
        that the format does not allow; every fault is one line.
    """
    text = _text_of(path)
    _check_version(path, text)
    try:
        entry = PlanEntry.model_validate_json(text)
    except ValidationError as error:
        raise PlanFormatError("\n".join(_faults(str(path), error))) from error
    return plan_of(entry, Clock(day=date.fromisoformat(entry.day)))


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        message = f"{path}: expected UTF-8 text, got another encoding"
        raise PlanFormatError(message) from error
    except OSError as error:
        made = "heatslot plan SCENARIO writes one"
        message = f"{path}: expected a plan file, got {error.strerror}; {made}"
        raise PlanFormatError(message) from error


def _check_version(path: Path, text: str) -> None:
    try:
        given = json.loads(text)
    except json.JSONDecodeError as error:
        message = f"{path}:{error.lineno}: column {error.colno}: expected JSON"
        raise PlanFormatError(f"{message}, got: {error.msg}") from error
    if not isinstance(given, dict):
        raise PlanFormatError(f"{path}: expected a JSON object, got {text[:20]!r}")
    version = given.get("schema_version")
    if version != SCHEMA_VERSION:
        raise PlanFormatError(
            f"{path}: schema_version: expected {SCHEMA_VERSION}, got {version!r}"
        )


def _faults(source: str, error: ValidationError) -> list[str]:
    return [
        f"{source}: {_place(fault['loc'])}: {_what(fault['msg'], fault['input'])}"
        for fault in error.errors(include_url=False)
    ]


def _place(steps: tuple[int | str, ...]) -> str:
    text = "".join(f"[{s}]" if isinstance(s, int) else f".{s}" for s in steps)
    return text.removeprefix(".")


def _what(message: str, given: object) -> str:
    if message == "Field required":
        return "expected this key, got nothing"
    if message.startswith("Extra inputs"):
        return f"expected no such key, got {given!r:.60}"
    wanted = message.removeprefix(_EXPECTED).removeprefix("Value error, ")
    return f"expected {wanted}, got {given!r:.60}"


def _on_one_line(match: re.Match[str]) -> str:
    return "[" + ", ".join(part.strip() for part in match[1].split(",")) + "]"
