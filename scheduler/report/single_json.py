"""The answer about one aircraft as a dictionary for JSON, times ISO 8601 with Z."""

from typing import Any

from scheduler.report.cautions import CAUTIONS
from scheduler.report.single_text import headline, notes
from scheduler.single import Answer, Verdict
from thermal.units import celsius


def answer_record(answer: Answer) -> dict[str, Any]:
    """Everything of an answer; temperatures in °C, differences in K."""
    question = answer.question
    return {
        "headline": headline(answer),
        "aircraft": question.aircraft,
        "landed_utc": question.clock.text(question.landed_minute),
        "in_block_utc": question.clock.text(question.in_block_minute),
        "off_block_utc": _utc(answer, question.off_block_minute),
        "makes_off_block": answer.makes_off_block,
        "short_minutes": _short_minutes(answer),
        "still_air": _verdict(answer, answer.still),
        "fan": _fan(answer),
        "nobody_to_wheels": answer.nobody_to_wheels,
        "plug": {
            "risk": str(answer.plugs.risk),
            "release_probability": round(answer.plugs.release_probability, 5),
            "near_release_probability": round(answer.plugs.near_probability, 5),
            "peak_c": answer.plugs.peak_c,
            "peak_utc": _utc(answer, answer.plugs.peak_minute),
        },
        "reading": _reading(answer),
        "hottest_brake_mj": list(answer.heat_mj),
        "assumed": list(answer.assumed),
        "not_assessed": list(answer.not_assessed),
        "limit_confidence": answer.confidence.share,
        "sample_count": answer.sample_count,
        "seed": answer.seed,
        "notes": list(notes(answer)),
        "cautions": list(CAUTIONS),
    }


def _utc(answer: Answer, minute: int | None) -> str | None:
    return None if minute is None else answer.question.clock.text(minute)


def _verdict(answer: Answer, verdict: Verdict) -> dict[str, Any]:
    given = not (verdict.plug_check or answer.evidence.too_hot)
    return {
        "earliest_off_block_utc": _utc(answer, verdict.ready_minute if given else None),
        "limits_hold_from_utc": _utc(answer, verdict.ready_minute),
        "binding_limit": str(verdict.binding),
        "plug_check_first": verdict.plug_check,
        "limits": {str(limit): _utc(answer, at) for limit, at in verdict.limits},
    }


def _fan(answer: Answer) -> dict[str, Any] | None:
    if answer.fan is None or answer.fan_span is None:
        return None
    start, end = answer.fan_span
    return {
        "start_utc": _utc(answer, start),
        "end_utc": _utc(answer, end),
        **_verdict(answer, answer.fan),
    }


def _short_minutes(answer: Answer) -> int | None:
    """Minutes that still air is late for the off-block asked for."""
    asked, ready = answer.question.off_block_minute, answer.still.ready_minute
    if asked is None or ready is None:
        return None
    return max(ready - asked, 0)


def _reading(answer: Answer) -> dict[str, Any] | None:
    readings, evidence = answer.question.readings, answer.evidence
    if not readings:
        return None
    more = evidence.more_heat
    return {
        "given": [
            {
                "at_utc": _utc(answer, item.minute),
                "indicated_c": round(float(celsius(item.indicated_k)), 1),
            }
            for item in readings
        ],
        "used": evidence.used,
        "foretold_c": [round(float(celsius(k)), 1) for k in evidence.foretold_k],
        "above_all_k": round(max(evidence.above_k, 0.0), 1),
        "below_all_k": round(max(evidence.below_k, 0.0), 1),
        "at_edge": evidence.at_edge,
        "contradict": evidence.contradict,
        "sd_k": round(evidence.sd_k, 1),
        "effective_samples": round(evidence.effective_count, 1),
        "times_the_heat": None if more is None else [round(f, 2) for f in more],
        "steady_from_utc": _utc(answer, answer.indicator_valid_minute),
        "limits_hold_without_it_utc": _utc(answer, answer.sampled_minute),
    }
