"""How to solve, and what comes out."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from scheduler.decisions import Decisions
from scheduler.errors import DayError
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan, Proof

if TYPE_CHECKING:
    from scheduler.verify import Violation

Tables: TypeAlias = Sequence[tuple[OptionTable, HeatSummary | None]]
Finish: TypeAlias = Callable[[Plan], Plan]
Tell: TypeAlias = Callable[[str], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class SolveConfig:
    """How to solve. One worker and a proof give the same plan again.

    ``apart`` searches in a process of its own, so that neither a crash of the solver
    nor an interrupt loses the best plan so far. ``rescue`` is a folder for model, hint
    parameters of a search that failed. Where ``touched`` is given, the second
    integration follows only those turnarounds and what is not as published;
    ``is_local`` also decides only those and what they compete with again.
    """

    seconds: float = 20.0
    seed: int = 1
    workers: int = 1
    sample_count: int = 512
    apart: bool = False
    rescue: Path | None = None
    touched: frozenset[str] | None = None
    is_local: bool = False

    def __post_init__(self) -> None:
        """Refuse times and counts that cannot be."""
        if not (self.seconds >= 0 and math.isfinite(self.seconds)):
            raise DayError.of("seconds", "0 or more", self.seconds)
        if not self.workers > 0:
            raise DayError.of("workers", "1 or more", self.workers)
        if not self.sample_count > 0:
            raise DayError.of("sample count", "1 or more", self.sample_count)


@dataclass(frozen=True, slots=True, kw_only=True)
class SolveResult:
    """A verified plan; ``rejected`` tells what was wrong with the solver's own.

    ``tables`` are what the plan was decided on, for whoever plans again.
    """

    plan: Plan
    rejected: tuple["Violation", ...] = ()
    tables: Tables = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Decisions with a bound per stage; ``is_fallback`` if the solver gave none."""

    decisions: Decisions
    proof: Proof
    is_fallback: bool
    is_interrupted: bool = False
