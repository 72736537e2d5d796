"""The whole page as one record: everything that its templates write.

Enters: a plan. Leaves: `PageView`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256

from scheduler.plan import Plan
from scheduler.report.page.attention import Notice, notices
from scheduler.report.page.axis import Axis, day_axis
from scheduler.report.page.cooling import cooling_of
from scheduler.report.page.lanes import LaneView, lane_views
from scheduler.report.page.load import LoadView, load_views
from scheduler.report.page.panel import PanelView, panel_view
from scheduler.report.page.risk import RiskView, risk_view
from scheduler.report.page.rows import RowView, row_view
from scheduler.report.page.tables import (
    AssumptionView,
    DepartureView,
    InspectionView,
    assumption_views,
    departure_views,
    inspection_views,
    waiting_counts,
)
from scheduler.report.page.tasks import TaskGroup, task_groups
from scheduler.report.page.times import Times, age_text
from scheduler.report.summary import summary_lines
from scheduler.report.tradeoff_text import OTHER_LIMITS
from scheduler.report.words import departure_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """One turnaround: its row and what opens under it."""

    row: RowView
    panel: PanelView | None
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageView:
    """Everything on the page, in its order."""

    scenario: str
    day: str
    plan_id: str
    planned: str
    data: str
    zone: str
    first_minute: int
    now_minute: int | None
    quality: str
    counts: tuple[tuple[str, int], ...]
    notices: tuple[Notice, ...]
    cautions: tuple[str, ...]
    groups: tuple[TaskGroup, ...]
    axis: Axis
    flights: tuple[Flight, ...]
    stands: tuple[str, ...]
    lanes: tuple[LaneView, ...]
    risk: RiskView
    departures: tuple[DepartureView, ...]
    loads: tuple[LoadView, ...]
    other_limits: str
    inspections: tuple[InspectionView, ...]
    assumptions: tuple[AssumptionView, ...]
    lines: tuple[str, ...]
    program: str
    solver: str


def page_view(plan: Plan, violations: Sequence[str] = ()) -> PageView:
    """Lay the page of a plan out."""
    times = Times.of(plan)
    axis = day_axis(plan, times)
    departures = departure_views(plan, times)
    sentences = {one.id: one.sentence for one in departures}
    assumptions = assumption_views(plan)
    numbers = {one.text: number for number, one in enumerate(assumptions)}
    return PageView(
        scenario=plan.scenario,
        day=plan.day,
        plan_id=plan_id(plan),
        planned=_planned(plan, times),
        data=_data(plan, times),
        zone=plan.time_zone,
        first_minute=axis.first,
        now_minute=plan.now_minute,
        quality=_quality(plan),
        counts=waiting_counts(plan),
        notices=notices(plan, times, violations),
        cautions=plan.cautions,
        groups=task_groups(plan, times),
        axis=axis,
        flights=tuple(_flights(plan, axis, times, sentences, numbers)),
        stands=tuple(sorted({row.stand for row in plan.turnarounds}, key=_natural)),
        lanes=lane_views(plan, axis, times),
        risk=risk_view(plan, axis, times),
        departures=departures,
        loads=load_views(plan, times),
        other_limits=OTHER_LIMITS,
        inspections=inspection_views(plan, times),
        assumptions=assumptions,
        lines=tuple(line for line in summary_lines(plan) if not line.startswith("* ")),
        program=plan.program or "heatslot",
        solver=plan.proof.solver,
    )


def plan_id(plan: Plan) -> str:
    """Eight letters that name a plan by its content, the time it took left out."""
    timeless = replace(plan, proof=replace(plan.proof, seconds=0.0))
    return sha256(repr(timeless).encode()).hexdigest()[:8]


def _flights(
    plan: Plan,
    axis: Axis,
    times: Times,
    sentences: Mapping[str, str],
    numbers: Mapping[str, int],
) -> Iterator[Flight]:
    """Rows by off-block; ``numbers`` are the lines of what was assumed."""
    for row in sorted(plan.turnarounds, key=departure_order):
        cooling = cooling_of(row)
        yield Flight(
            row=row_view(row, cooling, axis, times, plan.now_minute),
            panel=panel_view(row, cooling, axis, numbers),
            sentence=sentences[row.id],
        )


def _planned(plan: Plan, times: Times) -> str:
    if plan.now_minute is None:
        return "before the day began"
    now = times.at(plan.now_minute)
    return f"{now.utc} UTC, {now.local} local"


def _data(plan: Plan, times: Times) -> str:
    if plan.data_minute is None:
        return "no report yet"
    newest = f"newest {times.clock.short(plan.data_minute)} UTC"
    if plan.now_minute is None:
        return newest
    return f"{age_text(plan.now_minute - plan.data_minute)} old, {newest}"


def _quality(plan: Plan) -> str:
    gap = plan.proof.gap
    if gap == 0.0:
        return f"{plan.status}, proved"
    if gap < float("inf"):
        return f"{plan.status}, gap {100 * gap:.1f} %"
    return f"{plan.status}, gap not known"


def _natural(name: str) -> tuple[int, int, str]:
    """Order by number where the name is one."""
    is_number = name.isascii() and name.isdigit()
    return (0, int(name), name) if is_number else (1, 0, name)
