"""Rows of the tables below the timeline: departures, inspection list, assumptions.

Enters: a plan. Leaves: view records in words, one per line of a table.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.plan import Plan, PlannedTurnaround, WaitsFor
from scheduler.report.departures import gate_sentence
from scheduler.report.page.rows import state_text
from scheduler.report.page.times import Time, Times
from scheduler.report.words import (
    departure_order,
    is_short_slot_wait,
    reason_text,
    risk_text,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DepartureView:
    """One flight of the departure table, with its sentence for the gate."""

    id: str
    tail: str
    stand: str
    target: Time
    ready: Time | None
    limit: str
    off_block: Time | None
    take_off: Time | None
    ctot: Time | None
    delay: int | None
    state: str
    waits_for: str
    reason: str
    risk: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionView:
    """One line of the inspection list."""

    flight: str
    tail: str
    stand: str
    what: str
    when: str
    evidence: str
    order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumptionView:
    """Something assumed, and for which flights."""

    text: str
    flights: str


def departure_views(plan: Plan, times: Times) -> tuple[DepartureView, ...]:
    """All flights in order of departure, held ones last."""
    rows = sorted(plan.turnarounds, key=departure_order)
    return tuple(
        DepartureView(
            id=row.id,
            tail=row.tail,
            stand=row.stand,
            target=times.at(row.target_off_block_minute),
            ready=times.maybe(row.brake_ready_minute),
            limit=str(row.binding_limit or "–"),
            off_block=times.maybe(row.off_block_minute),
            take_off=times.maybe(row.take_off_minute),
            ctot=times.maybe(row.ctot_minute),
            delay=row.delay_minutes,
            state=state_text(row, times),
            waits_for=str(row.waits_for),
            reason=_reason(row),
            risk=risk_text(row),
            sentence=gate_sentence(row, times.clock),
        )
        for row in rows
    )


def _reason(row: PlannedTurnaround) -> str:
    if row.waits_for is WaitsFor.NOTHING:
        return "–"
    if is_short_slot_wait(row):
        return "it waits a minute or two for its take-off slot"
    return reason_text(row)


def inspection_views(plan: Plan, times: Times) -> tuple[InspectionView, ...]:
    """Planned work at the wheels, and what the figures give reason to look at."""
    rows = sorted(plan.turnarounds, key=departure_order)
    found = [view for row in rows for view in _inspections(row, times)]
    return tuple(sorted(found, key=lambda view: view.order))


def _inspections(row: PlannedTurnaround, times: Times) -> Iterator[InspectionView]:
    def view(what: str, when: str, evidence: str, order: int) -> InspectionView:
        return InspectionView(
            flight=row.id,
            tail=row.tail,
            stand=row.stand,
            what=what,
            when=when,
            evidence=evidence,
            order=order,
        )

    for duty in row.duties:
        span = times.span(duty.start_minute, duty.end_minute)
        by = f" by {duty.crew}" if duty.crew else ""
        yield view(f"{duty.task}{by}", span, duty.reason or "–", duty.start_minute)
    threshold = "the figures give no time for an approach"
    if row.approach_minute is not None:
        start = times.clock.short(row.approach_minute)
        threshold = f"figures pass the operator's approach threshold at {start}"
    for reason in row.heat.inspection if row.heat else ():
        place, _, evidence = reason.partition(": ")
        what = f"look at brake {place}" if evidence else "look at the brakes"
        yield view(what, threshold, evidence or reason, row.in_block_minute)


def assumption_views(plan: Plan) -> tuple[AssumptionView, ...]:
    """List what was assumed, the most frequent first, and for which flights."""
    texts = [
        (text, row.id)
        for row in plan.turnarounds
        if row.heat is not None
        for text in row.heat.assumed
    ]
    counts = Counter(text for text, _ in texts)
    total = len(plan.turnarounds)
    views = []
    for text, count in counts.most_common():
        names = ", ".join(name for other, name in texts if other == text)
        flights = f"all {total} flights" if count == total else names
        views.append(AssumptionView(text=text, flights=flights))
    return tuple(views)


def waiting_counts(plan: Plan) -> tuple[tuple[str, int], ...]:
    """How many flights wait for what, *nothing* last."""
    counts = Counter(row.waits_for for row in plan.turnarounds)
    order = [word for word in WaitsFor if word is not WaitsFor.NOTHING]
    return tuple(
        (str(word), counts[word])
        for word in (*order, WaitsFor.NOTHING)
        if counts[word] > 0
    )
