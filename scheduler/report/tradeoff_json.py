"""Take-off weight against time as dictionaries for JSON, times ISO 8601 with Z."""

from typing import Any

from scheduler.report.cautions import CAUTIONS
from scheduler.report.tradeoff_text import OTHER_LIMITS, WITHOUT_SLOTS
from scheduler.tradeoff import Point, Relief, WeightCurve


def curve_record(
    curve: WeightCurve,
    relief: Relief | None,
    still: Relief | None,
    point: Point | None,
) -> dict[str, Any]:
    """Everything of one curve, and the answers that were asked for."""
    departure = curve.turnaround.departure
    record: dict[str, Any] = {
        "turnaround_id": curve.turnaround.id,
        "planned": _planned(curve),
        "fan_job": _fan(curve),
        "rollout": curve.rollout,
        "points": [_point(curve, one) for one in curve.points],
        "removable_load_kg": departure.removable_load_kg,
        "load_step_kg": curve.step_kg,
        "load_close_utc": _utc(curve, departure.load_close_minute),
    }
    if relief is not None:
        record |= relief_record(curve, relief, still)
    if point is not None:
        record["at_weight"] = _point(curve, point)
    return record | _ending(curve)


def held_record(
    rows: list[tuple[WeightCurve, Relief, Relief | None]],
) -> dict[str, Any]:
    """All flights that their brakes hold."""
    return {
        "flights": [
            {
                "turnaround_id": curve.turnaround.id,
                "planned": _planned(curve),
                "fan_job": _fan(curve),
                "rollout": curve.rollout,
                **relief_record(curve, relief, still),
            }
            for curve, relief, still in rows
        ],
        "cautions": [OTHER_LIMITS, WITHOUT_SLOTS, *CAUTIONS],
    }


def relief_record(
    curve: WeightCurve, relief: Relief, still: Relief | None
) -> dict[str, Any]:
    """Tell what leaving at a minute takes, and without the fan that is planned."""
    limit = relief.binding_limit
    return {
        "off_block_utc": _utc(curve, relief.off_block_minute),
        "greatest_weight_kg": relief.weight_kg,
        "to_come_off_kg": relief.off_kg,
        "within_removable_load": relief.within_removable,
        "greatest_weight_without_fan_kg": None if still is None else still.weight_kg,
        "binding_limit": None if limit is None else str(limit),
    }


def _planned(curve: WeightCurve) -> dict[str, Any]:
    weight = None if curve.planned is None else curve.planned.take_off_weight_kg
    return {
        "take_off_weight_kg": weight,
        "earliest_off_block_utc": _utc(curve, curve.planned_minute),
    }


def _point(curve: WeightCurve, point: Point) -> dict[str, Any]:
    limit = point.binding_limit
    return {
        "take_off_weight_kg": point.take_off_weight_kg,
        "earliest_off_block_utc": _utc(curve, point.earliest_off_block_minute),
        "binding_limit": None if limit is None else str(limit),
    }


def _fan(curve: WeightCurve) -> dict[str, Any] | None:
    job = curve.fan_job
    if job is None:
        return None
    return {
        "fan": job.fan_type,
        "start_utc": _utc(curve, job.start_minute),
        "end_utc": _utc(curve, job.end_minute),
    }


def _ending(curve: WeightCurve) -> dict[str, Any]:
    return {
        "assumed": list(curve.assumed),
        "sample_count": curve.sample_count,
        "seed": curve.seed,
        "cautions": [OTHER_LIMITS, WITHOUT_SLOTS, *CAUTIONS],
    }


def _utc(curve: WeightCurve, minute: int | None) -> str | None:
    return None if minute is None else curve.day.clock.text(minute)
