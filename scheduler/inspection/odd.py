"""What the readings of several brakes say of one: dragging, idle, warming, misread.

Enters: a `Case` whose draws were moved to its readings. Leaves: `Odd` records by
position. Whoever reads fewer than three brakes learns nothing of this kind.
"""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.cases import Case
from thermal.estimate import OddReading
from thermal.units import celsius


class OddKind(StrEnum):
    """What is odd."""

    DRAGGING = "dragging"
    IDLE = "idle"
    WARMING = "warming"
    READING = "reading"


@dataclass(frozen=True, slots=True, kw_only=True)
class Odd:
    """One brake or reading that differs, with its probability and what shows it."""

    position: str | None
    kind: OddKind
    probability: float
    evidence: str


def odd_of(case: Case) -> tuple[Odd, ...]:
    """Everything odd that the readings of a turnaround show."""
    informed = case.informed
    if informed is None:
        return ()
    found = [
        Odd(
            position=case.positions[one.brake],
            kind=OddKind.IDLE if one.is_idle else OddKind.DRAGGING,
            probability=one.probability,
            evidence=(
                f"by its readings {one.share:.2f} of an even share of the heat "
                f"({one.share_range[0]:.2f} to {one.share_range[1]:.2f})"
            ),
        )
        for one in informed.estimate.odd_brakes
    ]
    found += [
        Odd(
            position=case.positions[brake],
            kind=OddKind.WARMING,
            probability=1.0,
            evidence="its indication rises an hour after the stop or later",
        )
        for brake in informed.estimate.rising
    ]
    for one in informed.estimate.odd_readings:
        reading = informed.readings[one.reading]
        shown = float(celsius(reading.indicated_k))
        found.append(
            Odd(
                position=reading.position,
                kind=OddKind.READING,
                probability=1.0,
                evidence=f"{shown:.0f} °C indicated {_why(case, one)}",
            )
        )
    return tuple(found)


def _why(case: Case, one: OddReading) -> str:
    """Say what is wrong with a reading that was left out."""
    expected = f"{float(celsius(one.expected_k)):.0f} °C to be expected"
    other = ""
    if one.other_brake is not None:
        other = f" ({case.positions[one.other_brake]})"
    return f"{one.oddity}{other}; {expected}"
