"""Work on the ground beside the fans: who can do it, how long it takes."""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.errors import DayError


class Task(StrEnum):
    """Work that needs a crew."""

    PLUG_CHECK = "plug check"
    INSPECTION = "inspection"
    WHEEL_CHANGE = "wheel change"


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Crews of one kind: how many, what they do, when they are there.

    ``move_minutes`` pass between two aircraft.
    """

    name: str
    count: int
    tasks: tuple[Task, ...]
    from_minute: int = 0
    to_minute: int = 2880
    move_minutes: int = 0

    def __post_init__(self) -> None:
        """There is a crew, and something that it does."""
        if not (self.count > 0 and self.tasks):
            raise DayError.of(f"crew {self.name}", "a count and tasks", self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """Work on one turnaround: not before a minute, done before off-block.

    ``earliest_minute`` is when the figures and the approach rule let people begin.
    """

    task: Task
    minutes: int
    earliest_minute: int
    reason: str = ""

    def __post_init__(self) -> None:
        """Work takes time."""
        if not self.minutes > 0:
            raise DayError.of(f"{self.task}: minutes", "more than 0", self.minutes)
