"""The arrival brief as a dictionary for JSON, times ISO 8601 with Z."""

import math
from typing import Any

from scheduler.brief import Brief, RolloutOption
from scheduler.report.brief_text import STOPPING_FIRST, brief_headline
from scheduler.report.cautions import CAUTIONS


def brief_record(brief: Brief) -> dict[str, Any]:
    """Everything of a brief; what is not computed is null."""
    runway, clock = brief.day.runway_of(brief.turnaround), brief.day.clock
    return {
        "headline": brief_headline(brief),
        "turnaround_id": brief.turnaround.id,
        "runway": runway.name,
        "runway_condition": str(runway.condition),
        "landing_distance_m": runway.landing_distance_m,
        "stop_factor": brief.day.station.stop_factor,
        "touchdown_utc": clock.text(brief.touchdown_minute),
        "valid_until_utc": clock.text(brief.valid_until_minute),
        "landed": brief.landed,
        "chosen": brief.chosen,
        "changes_of": brief.base,
        "options": [_option(brief, one) for one in brief.options],
        "changes": [
            {
                "label": one.label,
                "extra_heat_mj_per_brake": one.extra_heat_mj_per_brake,
                "extra_ground_minutes": one.extra_ground_minutes,
            }
            for one in brief.changes
        ],
        "assumed_as_planned": list(brief.assumed),
        "sample_count": brief.sample_count,
        "seed": brief.seed,
        "cautions": [STOPPING_FIRST, *CAUTIONS],
    }


def _option(brief: Brief, one: RolloutOption) -> dict[str, Any]:
    job = one.fan_job
    return {
        "number": one.number,
        "label": one.label,
        "exit_id": one.exit_id,
        "target_speed_additive_kt": one.target_speed_additive_kt,
        "touchdown_m": one.touchdown_m,
        "reverse": None if one.reverse is None else str(one.reverse),
        "deceleration_m_per_s2": one.deceleration_m_per_s2,
        "automatic_braking_off_kt": one.automatic_braking_off_kt,
        "heat_mj_per_brake": one.heat_mj_per_brake,
        "stack_peak_c": one.stack_peak_c,
        "plug_peak_c": one.plug_peak_c,
        "plug_release_probability": one.plug_release_probability,
        "brake_ready_utc": _utc(brief, one.brake_ready_minute),
        "binding_limit": None if one.binding is None else str(one.binding),
        "brake_ready_fan_utc": _utc(brief, one.brake_ready_fan_minute),
        "fan_job": None
        if job is None
        else {
            "fan": job.fan_type,
            "start_utc": _utc(brief, job.start_minute),
            "end_utc": _utc(brief, job.end_minute),
        },
        "ground_minutes_against_planned": one.ground_minutes_against_planned,
        "runway_seconds": one.runway_seconds,
        "stop_margin_m": one.stop_margin_m
        if math.isfinite(one.stop_margin_m)
        else None,
        "available": one.available,
        "reason": one.reason,
        "agree_with": list(one.agree_with),
    }


def _utc(brief: Brief, minute: int | None) -> str | None:
    return None if minute is None else brief.day.clock.text(minute)
