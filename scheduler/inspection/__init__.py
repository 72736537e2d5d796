"""What maintenance looks at today: brakes by the operator's own position names.

Enters: the day, and what the ledger knows of its brakes. Leaves: `Inspection`, items
with reason, evidence and probability, closed where a logged finding answers them; work
before departure for the plan; entries for the ledger.
"""

from scheduler.inspection.duties import inspection_duties, with_inspections
from scheduler.inspection.inspecting import inspect_day
from scheduler.inspection.item import (
    BrakeHistory,
    Inspection,
    Item,
    Reason,
    Thresholds,
)
from scheduler.inspection.recording import entries_of

__all__ = [
    "BrakeHistory",
    "Inspection",
    "Item",
    "Reason",
    "Thresholds",
    "entries_of",
    "inspect_day",
    "inspection_duties",
    "with_inspections",
]
