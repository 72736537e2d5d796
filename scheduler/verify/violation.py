"""One violation: which rule, where, what was expected and what the plan has."""

from dataclasses import dataclass
from enum import StrEnum


class Code(StrEnum):
    """The rule that a plan breaks."""

    NUMBER = "unreadable number"
    WRONG_DAY = "wrong day"
    CONFIDENCE = "limit confidence"
    MISSING = "missing turnaround"
    UNKNOWN = "unknown turnaround"
    DUPLICATE = "duplicate turnaround"
    IDENTITY = "turnaround data"
    DEPARTED = "departed aircraft moved"
    CANCELLED = "cancelled departure"
    PROGRESS = "flight progress"
    PAST = "plan of the past"
    TARGET = "off-block before target"
    BRAKE_READY = "off-block before brake-ready"
    STILL_AIR = "brake-ready without a fan"
    TABLE = "operator's table"
    HORIZON = "off-block after the horizon"
    ARITHMETIC = "arithmetic"
    CTOT_EARLY = "take-off before the slot"
    CTOT_LATE = "take-off after the slot"
    CURFEW = "curfew"
    HELD = "held aircraft"
    FAN_TYPE = "unknown fan"
    FAN_WINDOW = "fan window"
    FAN_SET = "fan set"
    FAN_CAPACITY = "fan capacity"
    FAN_MOVES = "fan moves"
    FAN_HOURS = "fan service hours"
    FAN_APPROACH = "fan before approach"
    FAN_IN_BLOCK = "fan before in-block"
    FAN_REMOVAL = "fan removal after off-block"
    APPROACH = "approach"
    ROLLOUT = "rollout"
    DUTY = "duty"
    DUTY_EARLY = "duty before its earliest minute"
    DUTY_APPROACH = "duty before approach"
    DUTY_LATE = "duty after off-block"
    CREW = "crew"
    CREW_HOURS = "crew hours"
    CREW_CAPACITY = "crew capacity"
    RUNWAY_SPACING = "runway spacing"
    WAKE = "wake separation"
    RUNWAY_CLOSED = "runway closed"
    ARRIVAL_GAP = "gap to a landing"
    NO_SLOT = "take-off without a slot"
    SLOT_FULL = "slot interval full"
    STAND = "stand"
    TOW = "tow-off"
    ROTATION = "rotation"
    CREW_LIMIT = "crew limit"
    PIN = "pin"
    RELAXATION = "relaxation"
    WAITS_FOR = "waits for"
    LIMIT = "binding limit"
    PLUG_RISK = "plug risk"
    STATUS = "status"
    OBJECTIVE = "objective"
    BOUND = "bound"
    HEAT = "heat"
    FIGURE = "figure"
    CAUTIONS = "cautions"
    ACTION = "action"


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """One rule broken at one place; ``turnaround_id`` None where the day is meant."""

    code: Code
    turnaround_id: str | None
    where: str
    expected: str
    got: str

    def __str__(self) -> str:
        """One line for people."""
        whose = self.turnaround_id or "the day"
        return (
            f"{whose}: {self.where}: expected {self.expected}, "
            f"got {self.got} ({self.code})"
        )
