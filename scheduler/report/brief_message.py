"""One option as a plain message for radio or datalink: ASCII, 400 characters at most.

Enters: a `Brief` and one of its options. Leaves: a line of text.
"""

from scheduler.brief import Brief, RolloutOption

LONGEST = 400


def brief_message(brief: Brief, option: RolloutOption) -> str:
    """Say an option in words that can be read out.

    Stop margin, who must agree, the caution and how long it is valid are never left
    out; what only explains is, where the text gets too long.
    """
    one, runway = brief.turnaround, brief.day.runway_of(brief.turnaround)
    length_m = runway.landing_distance_m
    needed = [
        f"{one.id[:24]} ROLLOUT OPTION RWY {runway.name[:12]} {runway.condition}",
        _what(option),
        f"STOP MARGIN {option.stop_margin_m:.0f} M OF {length_m:.0f} M",
        "STOPPING FIRST, BRAKE AS NEEDED",
        "ADVISORY",
        f"VALID UNTIL {_time(brief, brief.valid_until_minute)}",
    ]
    if option.agree_with:
        needed.insert(3, f"AGREE WITH {' AND '.join(option.agree_with)} FIRST")
    text = _joined(needed)
    for place, part in ((2, _how(option)), (3, _ready(brief, option))):
        longer = _joined([*needed[:place], part, *needed[place:]])
        if part and len(longer) <= LONGEST:
            needed.insert(place, part)
            text = longer
    return text[:LONGEST]


def _joined(parts: list[str]) -> str:
    text = ". ".join(part for part in parts if part).upper() + "."
    return text.replace("²", "2").encode("ascii", "replace").decode("ascii")


def _what(option: RolloutOption) -> str:
    leave = (
        "SLOW TO TAXI SPEED"
        if option.exit_id is None
        else f"EXIT {option.exit_id[:12]}"
    )
    reverse = "" if option.reverse is None else f", {option.reverse} REVERSE"
    level = option.deceleration_m_per_s2
    brakes = "PEDAL BRAKING" if level is None else f"AUTOMATIC BRAKING {level:g} M/S2"
    return f"{leave}{reverse}, {brakes}"


def _how(option: RolloutOption) -> str:
    off, additive = option.automatic_braking_off_kt, option.target_speed_additive_kt
    parts = []
    if additive is not None:
        parts.append(f"SPEED ADDITIVE {additive:g} KT")
    if option.touchdown_m is not None:
        parts.append(f"TOUCHDOWN AT {option.touchdown_m:.0f} M")
    if option.deceleration_m_per_s2 is not None:
        held = "HELD TO THE EXIT" if off is None else f"UNTIL {off:g} KT"
        parts.append(f"BRAKING {held}")
    return ", ".join(parts)


def _ready(brief: Brief, option: RolloutOption) -> str:
    planned = brief.options[0].brake_ready_minute
    if option.brake_ready_minute is None:
        return ""
    text = f"BRAKES READY {_time(brief, option.brake_ready_minute)}"
    if option.number and planned is not None:
        text += f" PLANNED {_time(brief, planned)}"
    return text


def _time(brief: Brief, minute: int) -> str:
    return brief.day.clock.utc(minute).strftime("%H%MZ")
