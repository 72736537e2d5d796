"""Plug risk across the day: each turnaround where its plugs are hottest.

Enters: a plan and the axis. Leaves: `RiskMark`s on a scale by powers of ten, which the
words low, raised and high divide; what is below a hundredth of a per cent stands on the
floor.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

from scheduler.plan import Plan
from scheduler.report.page.axis import Axis
from scheduler.report.page.times import Time, Times
from scheduler.report.words import percent_text, risk_text

FLOOR = 1e-4
RAISED, HIGH = 0.01, 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskMark:
    """Chance of one turnaround: place and height in per cent, a shape by its word."""

    id: str
    stand: str
    tail: str
    time: Time
    word: str
    text: str
    chance: str
    place: str
    y: str
    is_named: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskView:
    """All marks, the highest first, and the heights of the two borders."""

    marks: tuple[RiskMark, ...]
    raised_y: str
    high_y: str

    @property
    def above_low(self) -> Sequence[RiskMark]:
        """Those that are not low."""
        return [mark for mark in self.marks if mark.word != "low"]


def risk_view(plan: Plan, axis: Axis, times: Times) -> RiskView:
    """Place every turnaround with heat on the scale."""
    rows = [(row, row.heat) for row in plan.turnarounds if row.heat is not None]
    marks = [
        RiskMark(
            id=row.id,
            stand=row.stand,
            tail=row.tail,
            time=times.at(heat.plug_peak_minute),
            word=str(heat.risk),
            text=risk_text(row),
            chance=percent_text(heat.release_probability),
            place=axis.place(heat.plug_peak_minute),
            y=_height(heat.release_probability),
            is_named=heat.release_probability >= RAISED,
        )
        for row, heat in sorted(rows, key=lambda it: -it[1].release_probability)
    ]
    return RiskView(marks=tuple(marks), raised_y=_height(RAISED), high_y=_height(HIGH))


def _height(probability: float) -> str:
    share = log10(max(probability, FLOOR) / FLOOR) / log10(1.0 / FLOOR)
    return f"{90 - 80 * share:.1f}%"
