"""Published figures in ``<topic>.toml``, and the functions that compute ours.

A topic is a TOML file, with a ``title`` and ``[[value]]`` tables, and a module
``<topic>_values.py`` beside it. Both are found by name. A value has ``id``,
``quantity``, ``published``, ``unit``, ``source``, and either ``tolerance``, in that
unit, or ``tolerance_fraction``. The function for it is marked ``@published(id)``
and returns a number in that unit.
"""

import importlib
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

FOLDER = Path(__file__).parent

Computation = Callable[[], float]
COMPUTATIONS: dict[str, Computation] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedValue:
    """One figure of the literature, and how close ours has to come."""

    id: str
    quantity: str
    published: float
    unit: str
    source: str
    tolerance: float | None = None
    tolerance_fraction: float | None = None

    def __post_init__(self) -> None:
        if not (self.source and self.quantity):
            raise ValueError(f"{self.id}: expected a quantity and a source")
        if (self.tolerance is None) == (self.tolerance_fraction is None):
            raise ValueError(f"{self.id}: expected one kind of tolerance")

    @property
    def allowed(self) -> float:
        """Largest difference from the published value, in its unit."""
        if self.tolerance is not None:
            return self.tolerance
        return abs(self.published) * (self.tolerance_fraction or 0.0)

    def agrees(self, ours: float) -> bool:
        """Whether our figure is within the tolerance; never for NaN."""
        return abs(ours - self.published) <= self.allowed


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """A title and its values, in the order of the file."""

    title: str
    values: tuple[PublishedValue, ...]


def published(*ids: str) -> Callable[[Computation], Computation]:
    """Register the decorated function as the one that computes these values."""

    def register(function: Computation) -> Computation:
        for value_id in ids:
            if value_id in COMPUTATIONS:
                raise ValueError(f"{value_id}: expected one function, got two")
            COMPUTATIONS[value_id] = function
        return function

    return register


def register_each(ids: str, function: Callable[[float], float], *points: float) -> None:
    """Register one function for several points; ``{}`` in ``ids`` takes the point."""
    for point in points:
        published(ids.format(f"{point:g}"))(partial(function, point))


def load_topics() -> tuple[Topic, ...]:
    """Read every topic and import every module of computations."""
    for path in sorted(FOLDER.glob("*_values.py")):
        importlib.import_module(f".{path.stem}", __package__)
    return tuple(_read(path) for path in sorted(FOLDER.glob("*.toml")))


def _read(path: Path) -> Topic:
    content = tomllib.loads(path.read_text(encoding="utf-8"))
    return Topic(
        title=content["title"],
        values=tuple(PublishedValue(**value) for value in content["value"]),
    )
