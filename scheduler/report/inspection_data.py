"""The inspection list as a dictionary for JSON and as rows for CSV.

Times are ISO 8601 with Z, temperatures °C, heat MJ.
"""

import csv
from io import StringIO
from typing import Any

from scheduler.inspection import BrakeHistory, Inspection, Item
from scheduler.inspection.figures import Figures
from scheduler.inspection.stops import StopFigures
from scheduler.report.cautions import CAUTIONS
from scheduler.report.inspection_text import headline, note_lines

COLUMNS = (
    "turnaround",
    "tail",
    "stand",
    "position",
    "reason",
    "probability",
    "before_departure",
    "task",
    "minutes",
    "approach_threshold_utc",
    "expected",
    "has_left",
    "closed_by",
    "evidence",
)


def inspection_record(inspection: Inspection) -> dict[str, Any]:
    """Everything of the list; what is not known is null."""
    limits = inspection.thresholds
    return {
        "headline": headline(inspection),
        "scenario": inspection.day.name,
        "day": inspection.day.clock.day.isoformat(),
        "sample_count": inspection.sample_count,
        "seed": inspection.seed,
        "thresholds": {
            "least_probability": limits.least_probability,
            "hot_fraction": limits.hot_fraction,
            "hot_stops": limits.hot_stops,
            "within_days": limits.within_days,
            "oxidation_dose": limits.oxidation_dose,
            "deicer_factor": limits.deicer_factor,
        },
        "items": [item_record(inspection, item) for item in inspection.items],
        "brakes": [
            _brake(one, place, history)
            for one in inspection.figures
            for place, history in enumerate(
                h for h in inspection.histories if h.turnaround_id == one.turnaround_id
            )
        ],
        "has_ledger": inspection.has_ledger,
        "notes": list(note_lines(inspection)),
        "cautions": list(CAUTIONS),
    }


def item_record(inspection: Inspection, item: Item) -> dict[str, Any]:
    """One item, in the order of the CSV columns."""
    minute = item.approach_minute
    clock = inspection.day.clock
    values = (
        item.turnaround_id,
        item.tail,
        item.stand,
        item.position,
        str(item.reason),
        round(item.probability, 4),
        item.is_before_departure,
        str(item.task),
        item.minutes,
        None if minute is None else clock.text(minute),
        item.is_expected,
        item.has_left,
        item.closed_by,
        item.evidence,
    )
    return dict(zip(COLUMNS, values, strict=True))


def inspection_csv(inspection: Inspection) -> str:
    """Items as CSV after RFC 4180, with yes and no, and nothing where not known."""
    out = StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for item in inspection.items:
        writer.writerow(map(_cell, item_record(inspection, item).values()))
    return out.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else value


def _brake(figures: Figures, place: int, history: BrakeHistory) -> dict[str, Any]:
    past = history.past
    return {
        "turnaround": figures.turnaround_id,
        "tail": history.tail,
        "position": history.position,
        "plug_release_probability": figures.released[place],
        "plug_near_release_probability": figures.near_release[place],
        "stack_above_limit_probability": _at(figures.stack_hot, place),
        "wheel_above_limit_probability": _at(figures.wheel_hot, place),
        "stops": [_stop(stop, place) for stop in figures.stops],
        "hot_stops": history.hot_stops,
        "oxidation_dose": history.oxidation_dose,
        "ledger": {
            "since": past.since,
            "landings": past.landings,
            "accelerate_stops": past.accelerate_stops,
            "hot_stops": past.hot_stops,
            "oxidation_dose": past.oxidation_dose,
            "findings": past.checks,
            "wear_pin_mm": past.wear_pin_mm,
        },
    }


def _at(shares: tuple[float, ...] | None, place: int) -> float | None:
    return None if shares is None else shares[place]


def _stop(stop: StopFigures, place: int) -> dict[str, float | None]:
    return {
        "energy_mj": stop.energy_mj[place],
        "stack_peak_c": stop.stack_peak_c[place],
        "wheel_peak_c": stop.wheel_peak_c[place],
        "plug_peak_c": stop.plug_peak_c[place],
        "oxidation_dose": stop.oxidation_dose[place],
    }
