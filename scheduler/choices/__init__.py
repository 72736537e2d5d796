"""Everything a turnaround may choose, one by one, and what each choice breaks.

Enters: the day and its option tables. Leaves: one `Choices` per turnaround, in the
day's order, in integer minutes. Rules that concern one turnaround alone are kept
here, by leaving out what they forbid; what may be broken at a price stays and carries
its relaxations.
"""

from scheduler.choices.listing import choices_of
from scheduler.choices.record import (
    Choices,
    Cooling,
    DutyWays,
    fan_jobs,
    gives_way,
    pin_keeps,
)
from scheduler.choices.usable import usable_options
from scheduler.choices.weights import (
    CTOT_LATE_MINUTES,
    REQUEST_EFFORT,
    TOW_EFFORT,
    WEIGHT_OF,
    weight_of,
)

__all__ = [
    "CTOT_LATE_MINUTES",
    "REQUEST_EFFORT",
    "TOW_EFFORT",
    "WEIGHT_OF",
    "Choices",
    "Cooling",
    "DutyWays",
    "choices_of",
    "fan_jobs",
    "gives_way",
    "pin_keeps",
    "usable_options",
    "weight_of",
]
