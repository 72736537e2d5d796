"""Wake separation: a table that comes with the program, or the station's own.

``wake`` of station.toml enters, as a name or as a table of keys; a `WakeTable` with the
categories that types may state leaves. Categories must be known and seconds positive.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import product
from pathlib import Path
from typing import Annotated

from pydantic import BeforeValidator, Field

from scheduler.day import Runway, WakeTable
from scheduler.errors import ScenarioError
from scheduler.files.faults import FaultList, one_of
from scheduler.files.toml_file import Keys, TomlFile, as_tuple, exactly, lists_of

KEY = "wake"
_FOLDER = "data/wake"

Name = Annotated[str, Field(min_length=1)]
Seconds = Annotated[int, Field(gt=0, le=3600)]
Kilograms = Annotated[float, Field(ge=0.0)]
_PAIR, _LOWEST = '["H", "M", 120]', '["H", 136000]'
Pair = Annotated[tuple[Name, Name, Seconds], BeforeValidator(exactly(3, _PAIR))]
Lowest = Annotated[tuple[Name, Kilograms], BeforeValidator(exactly(2, _LOWEST))]


class WakeKeys(Keys):
    """A table of wake separation with where it comes from."""

    name: Name = "own"
    source: Name
    edition: str = ""
    categories: Annotated[
        tuple[Name, ...], BeforeValidator(as_tuple), Field(min_length=1)
    ]
    pairs_s: Annotated[tuple[Pair, ...], BeforeValidator(lists_of(_PAIR))]
    weights_kg: Annotated[tuple[Lowest, ...], BeforeValidator(lists_of(_LOWEST))] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Wake:
    """A wake table, and every category that a type may state."""

    table: WakeTable
    categories: tuple[str, ...]

    def breaks_triangle(self, runway: Runway) -> tuple[str, str, str] | None:
        """Three categories of which the outer two lie further apart than both steps.

        In whole minutes on that runway, its own spacing included; None where no such
        three exist.
        """

        def gap(leader: str, follower: str) -> int:
            return max(runway.spacing_minutes, self.table.minutes(leader, follower))

        for first, second, third in product(self.categories, repeat=3):
            if gap(first, third) > gap(first, second) + gap(second, third):
                return first, second, third
        return None


@cache
def known_wake_tables() -> tuple[str, ...]:
    """Names of the tables that come with the program."""
    folder = files("scheduler") / _FOLDER
    names = (Path(item.name) for item in folder.iterdir())
    return tuple(sorted(name.stem for name in names if name.suffix == ".toml"))


def read_wake(file: TomlFile) -> Wake | None:
    """Read the wake table that station.toml names or holds; faults are noted there.

    Returns
    -------
    wake : Wake or None
        None where the file asks for none, or for one with faults.
    """
    given = (file.values or {}).get(KEY)
    if given is None:
        return None
    if isinstance(given, str):
        if given in known_wake_tables():
            return shipped_wake(given)
        file.add((KEY,), one_of(known_wake_tables(), given), f'"{given}"')
    elif isinstance(given, dict):
        return _wake(file, given, (KEY,))
    else:
        got = "a list" if isinstance(given, list) else given
        file.add((KEY,), "the name of a wake table in quotes, or a table", got)
    return None


def shipped_wake(name: str) -> Wake:
    """Read a table that comes with the program.

    Raises
    ------
    ScenarioError
        If the installed file has faults.
    """
    faults = FaultList()
    path = Path(str(files("scheduler") / _FOLDER / f"{name}.toml"))
    file = TomlFile(path, faults)
    wake = _wake(file, {**(file.values or {}), "name": name}, ())
    faults.raise_if_any()
    if wake is None:
        raise ScenarioError.of([f"{path}: expected a wake table, got none"])
    return wake


def _wake(
    file: TomlFile, values: dict[str, object], at: tuple[str, ...]
) -> Wake | None:
    keys = file.check(values, WakeKeys, at)
    if keys is None:
        return None
    before = file.fault_count
    _check_names(file, keys, at)
    if file.fault_count > before:
        return None
    table = WakeTable(
        name=keys.name,
        source=keys.source,
        edition=keys.edition,
        pairs=keys.pairs_s,
        weights=tuple(sorted(keys.weights_kg, key=lambda item: -item[1])),
    )
    return Wake(table=table, categories=keys.categories)


def _check_names(file: TomlFile, keys: WakeKeys, at: tuple[str, ...]) -> None:
    """Every category is known; every category, pair and weight class stands once."""
    pairs = [f"{first} {second}" for first, second, _ in keys.pairs_s]
    classes = [name for name, _ in keys.weights_kg]
    leading = [name for pair in keys.pairs_s for name in pair[:2]]
    for key, used in (("pairs_s", leading), ("weights_kg", classes)):
        for name in dict.fromkeys(used):
            if name not in keys.categories:
                file.add((*at, key), one_of(keys.categories, name), f'"{name}"')
    for key, once in (
        ("categories", list(keys.categories)),
        ("pairs_s", pairs),
        ("weights_kg", classes),
    ):
        for name in dict.fromkeys(item for item in once if once.count(item) > 1):
            file.add((*at, key), f"{name} once", f"{once.count(name)} times")
