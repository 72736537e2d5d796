"""One TOML file through a pydantic model, with every fault at its line.

What enters is a file and the models of its tables; what leaves are checked models
(None where they have faults) and a way to add further faults at the line of a key.
"""

import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from scheduler.files import toml_lines
from scheduler.files.faults import FaultList, nearest, one_of
from scheduler.files.text_file import read_text

_EXPECTED = {
    "missing": "this key",
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "finite_number": "a finite number",
    "string_type": "text in quotes",
    "string_too_short": "text that is not empty",
    "bool_type": "true or false",
    "list_type": "a list in [ ]",
    "tuple_type": "a list in [ ]",
    "model_type": "a table of keys",
    "model_attributes_type": "a table of keys",
    "dict_type": "a table of keys",
    "date_type": "a date such as 2026-07-14 without quotes",
    "date_from_datetime_inexact": "a date without a time",
}
_WITH_CONTEXT = {
    "greater_than": "more than {gt:g}",
    "greater_than_equal": "at least {ge:g}",
    "less_than": "less than {lt:g}",
    "less_than_equal": "at most {le:g}",
    "literal_error": "{expected}",
    "enum": "{expected}",
    "too_short": "at least {min_length} entries",
    "too_long": "at most {max_length} entries",
    "value_error": "{error}",
}

Model = TypeVar("Model", bound="Keys")


class Keys(BaseModel):
    """Base of all key tables: strict types, no unknown keys, nothing changes later."""

    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False
    )


def as_tuple(value: object) -> object:
    """Turn a TOML list into the tuple that strict models ask for."""
    return tuple(value) if isinstance(value, list) else value


def exactly(count: int, example: str) -> Callable[[object], object]:
    """Make a validator of lists with so many entries, as in the example."""

    def check(value: object) -> object:
        if isinstance(value, list) and len(value) != count:
            raise ValueError(f"{count} entries as {example}")
        return as_tuple(value)

    return check


def lists_of(example: str) -> Callable[[object], object]:
    """Make a validator of lists whose entries are lists as the example."""

    def check(value: object) -> object:
        if isinstance(value, list) and not all(isinstance(i, list) for i in value):
            raise ValueError(f"a list of lists as [{example}]")
        return as_tuple(value)

    return check


class TomlFile:
    """One read TOML file: its values and the lines they stand on.

    ``values`` is None where the file is missing or is no TOML. Other files that it
    names are looked for in its ``folder``.
    """

    def __init__(self, path: Path, faults: FaultList) -> None:
        self.folder = path.parent
        self._name = path.name
        self._faults = faults
        self._lines = toml_lines.TomlLines("")
        self.values: dict[str, Any] | None = self._read(path)

    @property
    def fault_count(self) -> int:
        """How many faults the whole scenario has so far."""
        return self._faults.count

    def add(self, path: toml_lines.Path, expected: str, got: object) -> None:
        """Note a fault of the key at ``path``."""
        column = ".".join(part for part in path if isinstance(part, str))
        self._faults.add(self._name, self._lines.of(path), column, expected, got)

    def check(
        self, values: object, model: type[Model], at: toml_lines.Path = ()
    ) -> Model | None:
        """Check the table at ``at``; None where it has faults, which are noted."""
        try:
            return model.model_validate(values)
        except ValidationError as error:
            for detail in error.errors():
                self._translate(detail, model, at)
        return None

    def _read(self, path: Path) -> dict[str, Any] | None:
        text = read_text(path, self._faults)
        if text is None:
            return None
        text = text.replace("\r\n", "\n")
        try:
            values = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            found = re.fullmatch(r"(.*) \(at (?:line (\d+).*|end.*)\)", str(error))
            line = int(found[2]) if found and found[2] else text.count("\n") + 1
            reason = found[1] if found else str(error)
            self._faults.add(self._name, line, "", "valid TOML", _lower(reason))
            return None
        self._lines = toml_lines.TomlLines(text)
        return values

    def _translate(
        self, detail: ErrorDetails, model: type[Model], at: toml_lines.Path
    ) -> None:
        kind, path = detail["type"], detail["loc"]
        if kind == "extra_forbidden":
            name = str(path[-1])
            expected = _known_key(name, sorted(_known_keys(model, path[:-1])))
            self.add((*at, *path), expected, name)
        elif kind == "missing":
            self.add((*at, *path), _EXPECTED[kind], "nothing")
        elif kind in _WITH_CONTEXT:
            expected = _WITH_CONTEXT[kind].format(**detail.get("ctx", {}))
            self.add((*at, *path), expected, _quoted(detail["input"]))
        else:
            expected = _EXPECTED.get(kind, _lower(detail["msg"]))
            self.add((*at, *path), expected, _quoted(detail["input"]))


def _known_key(name: str, known: list[str]) -> str:
    close = nearest(name, known)
    return f"a known key (nearest: {close})" if close else one_of(known)


def _known_keys(model: type[BaseModel], path: toml_lines.Path) -> set[str]:
    """Keys of the table at ``path``, by following the annotations."""
    for part in path:
        if isinstance(part, str) and part in model.model_fields:
            inner = _inner_model(model.model_fields[part].annotation)
            model = inner or model
    return set(model.model_fields)


def _inner_model(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        inner = _inner_model(part)
        if inner is not None:
            return inner
    return None


def _quoted(value: object) -> object:
    if isinstance(value, str):
        return f'"{value}"'
    return "a table" if isinstance(value, dict) else value


def _lower(message: str) -> str:
    return message[:1].lower() + message[1:]
