"""One brake alone: heated as a landing does it, cooled, and what moves its minute.

Enters: a `Cooldown`, SI and kelvin. Leaves: `CooldownResult`; on request the inputs
that move brake-ready most.
"""

from scheduler.cooldown.influence import influence_of_inputs, sensitivity_rows
from scheduler.cooldown.one_brake import (
    Cooldown,
    CooldownResult,
    LimitTime,
    cool_down,
)

__all__ = [
    "Cooldown",
    "CooldownResult",
    "LimitTime",
    "cool_down",
    "influence_of_inputs",
    "sensitivity_rows",
]
