"""The list of a day: figures of every brake, items, what findings close.

Enters: the day, and what the ledger knows. Leaves: `Inspection`. Cancelled departures
are looked at as well, and aircraft that have left, for where they land next.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from scheduler.day import Day, Finding, Found, Turnaround
from scheduler.errors import UnknownTurnaroundError
from scheduler.inspection.closing import closed
from scheduler.inspection.figures import BRAKE_SAMPLES, Figures, figures_of
from scheduler.inspection.item import (
    BrakeHistory,
    Inspection,
    Item,
    Reason,
    Thresholds,
)
from scheduler.inspection.look import Look
from scheduler.inspection.reasons import items_of
from scheduler.ledger import Past
from scheduler.readiness.spread import processor_count, spread
from thermal.catalogue import load_brake
from thermal.units import ZERO_CELSIUS_K

GROUP_SIZE = 8
STANDARD = Thresholds()
_NO_PAST = Past()
_ORDER = {reason: place for place, reason in enumerate(Reason)}
_BEGIN_C = 20.0

PastOf = Mapping[tuple[str, str], Past]


def inspect_day(
    day: Day,
    *,
    past: PastOf | None = None,
    thresholds: Thresholds = STANDARD,
    seed: int = 1,
    only: str | None = None,
    detected: Sequence[Item] = (),
) -> Inspection:
    """List what maintenance looks at.

    Parameters
    ----------
    past : mapping of (tail, position) to Past, optional
        From the ledger; None where there is none.
    seed : int
        Of the draws, as in the plan: approach minutes are then those of the plan.
    only : str, optional
        Id of the one turnaround to look at.
    detected : sequence of Item
        Brakes that were found to drag or to be idle by their readings.

    Raises
    ------
    UnknownTurnaroundError
        If the day has no turnaround ``only``.
    """
    chosen = [one for one in day.turnarounds if only in (None, one.id)]
    if not chosen:
        known = ", ".join(one.id for one in day.turnarounds)
        raise UnknownTurnaroundError.of(str(only), known)
    figures = _figures(day, chosen, seed, thresholds.deicer_factor)
    histories = _histories(day, chosen, figures, past or {}, thresholds)
    items = [item for item in detected if item.turnaround_id in figures]
    for one in chosen:
        look = Look(
            day=day,
            turnaround=one,
            figures=figures[one.id],
            histories=tuple(h for h in histories if h.turnaround_id == one.id),
            thresholds=thresholds,
        )
        items += items_of(look)
    by_id = {one.id: one for one in chosen}
    items = [closed(day, item, figures[item.turnaround_id].positions) for item in items]
    return Inspection(
        day=day,
        items=tuple(sorted(items, key=lambda item: _place(by_id, item))),
        figures=tuple(figures[one.id] for one in chosen),
        histories=tuple(histories),
        thresholds=thresholds,
        has_ledger=past is not None,
        sample_count=BRAKE_SAMPLES,
        seed=seed,
    )


def _figures(
    day: Day, chosen: list[Turnaround], seed: int, deicer_factor: float
) -> dict[str, Figures]:
    """Figures of each turnaround, computed on all processors."""
    by_brake: dict[str, list[str]] = {}
    for one in chosen:
        by_brake.setdefault(day.aircraft_of(one).brake, []).append(one.id)
    groups = [
        tuple(ids[low : low + GROUP_SIZE])
        for ids in by_brake.values()
        for low in range(0, len(ids), GROUP_SIZE)
    ]
    processes = min(processor_count(), len(groups)) if len(chosen) >= GROUP_SIZE else 1
    parts = spread(
        figures_of,
        [(day, group, seed, deicer_factor) for group in groups],
        [float(len(group)) for group in groups],
        processes,
    )
    return {one.turnaround_id: one for part in parts for one in part}


def _histories(
    day: Day,
    chosen: list[Turnaround],
    figures: Mapping[str, Figures],
    past: PastOf,
    thresholds: Thresholds,
) -> list[BrakeHistory]:
    """Count per position, with today's stops up to each turnaround."""
    found: list[BrakeHistory] = []
    last: dict[tuple[str, str], BrakeHistory] = {}
    for one in sorted(chosen, key=lambda one: one.in_block_minute):
        mine = figures[one.id]
        for place, position in enumerate(mine.positions):
            key = one.tail, position
            before = last.get(key)
            if _is_replaced_before(day, one, position):
                before = _begin(one, position, _NO_PAST)
            elif before is None:
                before = _begin(one, position, past.get(key, _NO_PAST))
            hot = hot_flags(day, one, mine, place, thresholds)
            doses = [stop.oxidation_dose[place] for stop in mine.stops]
            today = sum(dose or 0.0 for dose in doses)
            last[key] = replace(
                before,
                turnaround_id=one.id,
                hot_stops=before.hot_stops + sum(hot),
                oxidation_dose=(
                    None if None in doses else (before.oxidation_dose or 0.0) + today
                ),
            )
            found.append(last[key])
    return found


def _begin(turnaround: Turnaround, position: str, past: Past) -> BrakeHistory:
    """History of a position before today's first stop."""
    return BrakeHistory(
        turnaround_id=turnaround.id,
        tail=turnaround.tail,
        position=position,
        past=past,
        hot_stops=past.hot_stops,
        oxidation_dose=past.oxidation_dose,
    )


def hot_flags(
    day: Day,
    turnaround: Turnaround,
    figures: Figures,
    place: int,
    thresholds: Thresholds,
) -> list[bool]:
    """Whether each stop of a turnaround is a hot one for one brake."""
    limit_k = load_brake(day.aircraft_of(turnaround).brake).limits.inspect_above_k
    if limit_k is None:
        return [False] * len(figures.stops)
    rise = thresholds.hot_fraction * (limit_k - ZERO_CELSIUS_K - _BEGIN_C)
    return [stop.stack_peak_c[place] >= _BEGIN_C + rise for stop in figures.stops]


def _is_replaced_before(day: Day, turnaround: Turnaround, position: str) -> bool:
    """Whether the brake was replaced today, before this turnaround's landing."""
    return any(
        day_finding_tail(day, one) == turnaround.tail
        and one.position == position
        and one.found is Found.BRAKE_REPLACED
        and one.minute < day.landing_minute(turnaround)
        for one in day.findings
    )


def day_finding_tail(day: Day, finding: Finding) -> str:
    """Tail that a finding belongs to."""
    return next(one.tail for one in day.turnarounds if one.id == finding.turnaround_id)


def _place(by_id: Mapping[str, Turnaround], item: Item) -> tuple[object, ...]:
    """Sort key: open before closed, landed before expected, before departure first."""
    one = by_id[item.turnaround_id]
    return (
        not item.is_open,
        item.has_left,
        item.is_expected,
        not item.is_before_departure,
        one.target_off_block_minute,
        item.turnaround_id,
        _ORDER[item.reason],
        -item.probability,
        item.position,
    )
