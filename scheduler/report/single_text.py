"""The answer about one aircraft in words: the answer first, then what it rests on.

Enters: an `Answer`. Leaves: a headline, notes and paragraphs, all times UTC.
"""

from collections.abc import Iterable

from scheduler.day import Reading
from scheduler.options import Limit
from scheduler.report.words import percent_text
from scheduler.single import Answer, Verdict
from scheduler.single.question import (
    FAN_REMOVAL_MINUTES,
    FAN_SETUP_MINUTES,
    HOLD_MINUTES,
)
from thermal.units import celsius

_PARTS = {Limit.OTHER: "other brake parts"}


def headline(answer: Answer) -> str:
    """Whether it makes it, from when on, and what a fan would change."""
    if answer.evidence.too_hot:
        return (
            "No off-block can be given: the brakes are hotter than the figures can "
            "follow. Find out why first."
        )
    return f"{_still_text(answer)} {_fan_text(answer)}".rstrip()


def notes(answer: Answer) -> tuple[str, ...]:
    """Say what the answer rests on, a sentence or two each."""
    found = [_limits_text(answer), _plugs_text(answer), *_reading_notes(answer)]
    if answer.fan is not None and answer.fan_span is not None:
        found.append(_fan_note(answer, answer.fan_span))
    if answer.not_assessed:
        found.append(
            f"Not assessed, no figure in the brake data: "
            f"{', '.join(answer.not_assessed)}."
        )
    found.append(
        f"Limits hold in {100 * answer.confidence.share:g} % of cases, over "
        f"{answer.sample_count} samples, seed {answer.seed}."
    )
    return tuple(found)


def _short(answer: Answer, minute: int | None) -> str:
    return "–" if minute is None else answer.question.clock.short(minute)


def _minutes(count: int) -> str:
    return f"{count} minute{'' if count == 1 else 's'}"


def limit_text(limit: Limit) -> str:
    """Name of a limit."""
    return _PARTS.get(limit, str(limit))


def _still_text(answer: Answer) -> str:
    still, asked = answer.still, answer.question.off_block_minute
    target = "" if asked is None else _short(answer, asked)
    ready = still.ready_minute
    if ready is None:
        text = (
            f"No off-block within {HOLD_MINUTES // 60} hours of in-block (still air), "
            f"limited by {limit_text(still.binding)}"
        )
        return f"{text}; {target} is not made." if target else f"{text}."
    if still.plug_check:
        text = (
            "No off-block before a check of fuse plugs and tyres; the other limits "
            f"hold from {_short(answer, ready)} UTC (still air)"
        )
        return f"{text}; {target} is not made." if target else f"{text}."
    if ready <= answer.question.in_block_minute:
        text = (
            f"Earliest off-block {_short(answer, ready)} UTC, in-block: no brake limit "
            "holds it"
        )
    else:
        text = (
            f"Earliest off-block {_short(answer, ready)} UTC (still air), limited by "
            f"{limit_text(still.binding)}"
        )
    return f"{text}{_target_text(answer, still)}."


def _target_text(answer: Answer, verdict: Verdict) -> str:
    asked, ready = answer.question.off_block_minute, verdict.ready_minute
    if asked is None or ready is None:
        return ""
    if ready > asked:
        short = _minutes(ready - asked)
        return f"; {_short(answer, asked)} is not made, {short} short"
    spare = f", {_minutes(asked - ready)} to spare" if asked > ready else ""
    return f"; {_short(answer, asked)} is made{spare}"


def _fan_text(answer: Answer) -> str:
    fan, span, still = answer.fan, answer.fan_span, answer.still
    if answer.nobody_to_wheels:
        return (
            f"No fan is counted: at {answer.plugs.risk} plug risk nobody is to be sent "
            "to the wheels."
        )
    if fan is None or span is None:
        return ""
    job = f"from {_short(answer, span[0])} to {_short(answer, span[1])}"
    if fan.plug_check and not still.plug_check:
        return f"A fan {job} is no help."
    if fan.ready_minute is None or fan.plug_check:
        return f"One fan {job} does not change that."
    helps = still.ready_minute is None or fan.ready_minute < still.ready_minute
    if not helps and not still.plug_check:
        return f"One fan {job} does not bring it forward."
    made = ""
    if not _made_in_still_air(answer):
        made = _target_text(answer, fan)
    spared = (
        " and no check, the plugs stay clear of release" if still.plug_check else ""
    )
    return f"With one fan {job}: {_short(answer, fan.ready_minute)}{spared}{made}."


def _made_in_still_air(answer: Answer) -> bool:
    asked = answer.question.off_block_minute
    return asked is not None and answer.still.makes(asked)


def _limits_text(answer: Answer) -> str:
    each = ", ".join(
        f"{limit_text(limit)} {_short(answer, minute)}"
        for limit, minute in answer.still.limits
    )
    return f"Each limit holds from (still air): {each}."


def _plugs_text(answer: Answer) -> str:
    plugs = answer.plugs
    text = (
        f"Fuse plugs: risk {plugs.risk}, {percent_text(plugs.release_probability)}; "
        f"the hottest at most {plugs.peak_c:.0f} °C, about "
        f"{_short(answer, plugs.peak_minute)}."
    )
    if answer.still.plug_check:
        text += (
            f" With {percent_text(plugs.near_probability)} one comes within its margin "
            "of release, so a check comes before off-block; a released plug means a "
            "wheel change."
        )
    return text


def _fan_note(answer: Answer, span: tuple[int, int]) -> str:
    if answer.question.fan_remote:
        return "The fan is taken to need nobody at the wheels."
    first = _short(answer, span[0] - FAN_SETUP_MINUTES)
    last = _short(answer, span[1] + FAN_REMOVAL_MINUTES)
    return (
        f"The fan needs people at the wheels from {first} and again until {last}. "
        "Whether they may go there is for the operator's procedure to say."
    )


def _reading_notes(answer: Answer) -> Iterable[str]:
    readings, evidence = answer.question.readings, answer.evidence
    if not readings:
        yield "No reading was given: the answer rests on the landing alone."
        return
    each = ", ".join(_reading_text(answer, reading) for reading in readings)
    one = "Reading" if len(readings) == 1 else "Readings"
    low, high = (float(celsius(value)) for value in evidence.foretold_k)
    yield f"{one}: {each}; foretold for the last: {low:.0f} to {high:.0f} °C."
    yield from _odd_notes(answer)
    if evidence.used:
        yield _worth_text(answer)
    yield from _early_notes(answer)


def _reading_text(answer: Answer, reading: Reading) -> str:
    since = reading.minute - answer.question.landed_minute
    return (
        f"{float(celsius(reading.indicated_k)):.0f} °C at "
        f"{_short(answer, reading.minute)}, {_minutes(since)} after touchdown"
    )


def _odd_notes(answer: Answer) -> Iterable[str]:
    evidence = answer.evidence
    if evidence.contradict:
        yield (
            "No one landing explains these readings together. Only the one that means "
            "most heat counts; read again."
        )
    if evidence.too_hot:
        yield (
            f"That is {evidence.above_k:.0f} K above everything these inputs allow, "
            "and cannot be matched with more heat either. Look for a dragging brake, a "
            "wrong type or a wrong reading."
        )
    elif evidence.more_heat is not None:
        low, high = evidence.more_heat
        yield (
            f"That is {evidence.above_k:.0f} K above everything these inputs allow. "
            f"To match it the landing is taken with {low:.1f} to {high:.1f} times the "
            "heat of braking: look for a dragging brake, harder braking than given, "
            "a wrong type or weight."
        )
    elif not evidence.used:
        yield (
            f"That is {evidence.below_k:.0f} K below everything these inputs allow. It "
            "is not used: check reading, type and times."
        )
    if evidence.used and evidence.at_edge:
        yield (
            "The reading lies at the edge of what the inputs allow: it counts with a "
            f"spread of {evidence.sd_k:.0f} K only, and never makes off-block earlier."
        )


def _worth_text(answer: Answer) -> str:
    low, high = answer.heat_mj
    before_low, before_high = answer.heat_without_reading_mj
    text = (
        f"Heat of the hottest brake: {low:g} to {high:g} MJ, without the reading "
        f"{before_low:g} to {before_high:g} MJ. The reading leaves "
        f"{answer.evidence.effective_count:.0f} samples' worth of cases."
    )
    if answer.sampled_minute is not None:
        without = _short(answer, answer.sampled_minute)
        text += f" Without it the limits hold from {without} UTC."
    return text


def _early_notes(answer: Answer) -> Iterable[str]:
    valid, last = answer.indicator_valid_minute, answer.question.now_minute
    if last < valid:
        steady = _short(answer, valid)
        yield (
            f"The indicator is not steady before {steady}: a reading until then counts "
            "through its lag. It tells a hot landing from a cool one, but does not yet "
            "show the brakes' full temperature, and nothing of wheels and plugs, which "
            f"get hottest about {_short(answer, answer.plugs.peak_minute)}. Read again "
            f"from {steady}."
        )
