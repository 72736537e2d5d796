"""Whether the plan's numbers are numbers.

A plan may come from a file that anybody edited: whole numbers must be integers,
everything else finite and within the range that its meaning allows.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from math import isfinite, nextafter
from typing import Any, get_type_hints

from scheduler.plan import Plan
from scheduler.verify.violation import Code, Violation

_RANGES: dict[str, tuple[float, float]] = {
    "release_probability": (0.0, 1.0),
    "limit_confidence": (nextafter(0.0, 1.0), nextafter(1.0, 0.0)),
    "sample_count": (1, float("inf")),
    "gap": (0.0, float("inf")),
    "seconds": (0.0, float("inf")),
}


def number_violations(plan: Plan) -> tuple[Violation, ...]:
    """Fields that hold no integer, or no finite number, where one must stand."""
    return tuple(
        _fault(path, _CHECKS[hint].expected, value)
        for path, _, hint, value in _walk("plan", plan)
        if hint in _CHECKS and not _CHECKS[hint].test(value)
    )


def range_violations(plan: Plan) -> tuple[Violation, ...]:
    """Numbers outside what they can mean, a probability of 2 for example."""
    found: list[Violation] = []
    for path, name, _, value in _walk("plan", plan):
        low, high = _RANGES.get(name, (None, None))
        if low is not None and high is not None and not low <= value <= high:
            found.append(_fault(path, f"{low:.4g} to {high:.4g}", value))
    return tuple(found)


def _fault(path: str, expected: str, value: object) -> Violation:
    return Violation(
        code=Code.NUMBER,
        turnaround_id=None,
        where=path,
        expected=expected,
        got=repr(value),
    )


def _walk(path: str, record: Any) -> Iterator[tuple[str, str, object, Any]]:
    """Path, name, declared type and value of every field, records inside included."""
    kind: type = type(record)
    hints = _hints(kind)
    for field in fields(record):
        value = getattr(record, field.name)
        inner = f"{path}.{field.name}"
        yield inner, field.name, hints[field.name], value
        if is_dataclass(value):
            yield from _walk(inner, value)
        if isinstance(value, tuple):
            for index, item in enumerate(value):
                if is_dataclass(item):
                    yield from _walk(f"{inner}[{_name(item, index)}]", item)


@cache
def _hints(kind: type) -> dict[str, object]:
    return get_type_hints(kind)


def _name(record: Any, index: int) -> str:
    return str(getattr(record, "id", getattr(record, "position", index)))


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return isfinite(value)


def _all(test: Callable[[object], bool]) -> Callable[[object], bool]:
    return lambda value: isinstance(value, tuple) and all(map(test, value))


def _or_none(test: Callable[[object], bool]) -> Callable[[object], bool]:
    return lambda value: value is None or test(value)


@dataclass(frozen=True, slots=True)
class _Check:
    test: Callable[[object], bool]
    expected: str


_CHECKS: dict[object, _Check] = {
    int: _Check(_is_whole, "a whole number"),
    int | None: _Check(_or_none(_is_whole), "a whole number or none"),
    tuple[int, ...]: _Check(_all(_is_whole), "whole numbers"),
    float: _Check(_is_number, "a finite number"),
    tuple[float, ...]: _Check(_all(_is_number), "finite numbers"),
}
