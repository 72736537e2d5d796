"""What the readings of a turnaround say, in lines for people.

Enters: the day, a turnaround, an estimate and its readings. Leaves: short sentences:
what they narrow, which were left out and why, which brake differs.
"""

from collections.abc import Iterator

from scheduler.day import Day, Reading, Turnaround
from thermal.estimate import Estimate, OddBrake, Oddity, OddReading
from thermal.units import celsius


def told(
    day: Day,
    turnaround: Turnaround,
    estimate: Estimate,
    readings: tuple[Reading, ...],
) -> tuple[str, ...]:
    """Lines of one turnaround."""
    return tuple(_lines(day, turnaround, estimate, readings))


def _lines(
    day: Day,
    turnaround: Turnaround,
    estimate: Estimate,
    readings: tuple[Reading, ...],
) -> Iterator[str]:
    positions = day.tail_of(turnaround).positions
    used = estimate.used.size
    yield f"readings: {used} of {len(readings)} count. {estimate.text}"
    for odd in estimate.odd_readings:
        yield _odd_reading(day, readings[odd.reading], odd, positions)
    for brake in estimate.odd_brakes:
        yield _odd_brake(brake, positions[brake.brake])
    for number in estimate.rising:
        yield (
            f"brake {positions[number]}: its indication rises without a landing; "
            "have it looked at"
        )


def _odd_reading(
    day: Day, reading: Reading, odd: OddReading, positions: tuple[str, ...]
) -> str:
    at = day.clock.short(reading.minute)
    shown = f"{float(celsius(reading.indicated_k)):.0f} °C"
    where = "hottest" if reading.position is None else f"brake {reading.position}"
    said = f"reading {shown} at {at}, {where}"
    if odd.oddity is Oddity.SWAPPED and odd.other_brake is not None:
        return f"{said}: {odd.oddity}, taken for {positions[odd.other_brake]}"
    expected = float(celsius(odd.expected_k))
    return f"{said}: left out, {odd.oddity} (about {expected:.0f} °C was expected)"


def _odd_brake(odd: OddBrake, position: str) -> str:
    low, high = (round(100 * part) for part in odd.share_range)
    what = "too little" if odd.is_idle else "too much"
    return (
        f"brake {position} takes {what} heat: {low} to {high} % of an even share, "
        f"probability {odd.probability:.0%}"
    )
