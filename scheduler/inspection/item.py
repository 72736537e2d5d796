"""One thing to look at, and the whole list of a day."""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.day import Day, Task
from scheduler.errors import DayError
from scheduler.inspection.figures import Figures
from scheduler.ledger import Past


class Reason(StrEnum):
    """Why a brake is looked at, in the order of the list."""

    PLUG_RELEASED = "plug released"
    PLUG_THREATENED = "plug threatened"
    ACCELERATE_STOP = "accelerate-stop"
    DRAGGING = "brake dragging"
    IDLE = "brake idle"
    WARMING = "brake warming"
    STACK_HOT = "stack above its inspection limit"
    WHEEL_HOT = "wheel above its limit"
    READING_HOT = "reading above the figures"
    READING_COLD = "reading below the figures"
    READING_ODD = "odd reading"
    HOT_STOPS = "repeated hot stops"
    OXIDATION = "oxidation"

    @property
    def is_of_the_plug(self) -> bool:
        """Whether a check of plug and tyre answers it."""
        return self in (Reason.PLUG_RELEASED, Reason.PLUG_THREATENED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """From where on something is listed; all are conventions, none is a brake's limit.

    Attributes
    ----------
    least_probability : float
        Below it a wheel or stack is not listed; engineering estimate.
    hot_fraction : float
        A stop is hot where the stack's rise above 20 °C reaches this share of the rise
        to its inspection limit; engineering estimate.
    hot_stops, within_days : int
        So many hot stops within so many days are repeated ones; engineering estimate.
    oxidation_dose : float
        Since the brake was replaced; 1 is an hour at 600 °C.
    deicer_factor : float
        How much faster carbon of this station's fleet oxidises.
    """

    least_probability: float = 0.05
    hot_fraction: float = 0.8
    hot_stops: int = 3
    within_days: int = 30
    oxidation_dose: float = 1.0
    deicer_factor: float = 1.0

    def __post_init__(self) -> None:
        """Refuse shares outside 0 to 1 and counts below 1."""
        for name in ("least_probability", "hot_fraction"):
            if not 0.0 < getattr(self, name) <= 1.0:
                raise DayError.of(name, "above 0 to 1", getattr(self, name))
        for name in ("hot_stops", "within_days", "deicer_factor"):
            if not getattr(self, name) >= 1:
                raise DayError.of(name, "1 or more", getattr(self, name))
        if not self.oxidation_dose > 0.0:
            raise DayError.of("oxidation_dose", "above 0", self.oxidation_dose)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One brake position and why somebody looks at it.

    Attributes
    ----------
    probability : float
        How sure it is that what the reason says has happened; 1 where it was logged or
        counted. Of a reading, how unlikely it is that a brake and inputs as given show
        one so far off.
    is_before_departure : bool
        Whether it has to be done before the aircraft leaves.
    minutes : int
        Of the work, by the station's data.
    approach_minute : int or None
        First minute from which the figures stay below the operator's own threshold;
        None where they do not within the time looked at.
    since_minute : int
        What is found earlier does not answer it.
    is_expected : bool
        The aircraft has not landed yet: what is to be expected.
    has_left : bool
        It is on its way: what it left with, for where it lands next.
    closed_by : str or None
        The finding that answers it.
    """

    turnaround_id: str
    tail: str
    stand: str
    position: str
    reason: Reason
    evidence: str
    probability: float
    is_before_departure: bool
    task: Task
    minutes: int
    approach_minute: int | None
    since_minute: int
    is_expected: bool = False
    has_left: bool = False
    closed_by: str | None = None

    @property
    def is_open(self) -> bool:
        """Whether no finding answers it."""
        return self.closed_by is None


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeHistory:
    """One position: the ledger's counts, and those with today's stop added."""

    turnaround_id: str
    tail: str
    position: str
    past: Past
    hot_stops: int
    oxidation_dose: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """The list of a day, and the figures and counts that it rests on."""

    day: Day
    items: tuple[Item, ...]
    figures: tuple[Figures, ...]
    histories: tuple[BrakeHistory, ...]
    thresholds: Thresholds
    has_ledger: bool
    sample_count: int
    seed: int

    @property
    def open_items(self) -> tuple[Item, ...]:
        """Items that no finding answers yet."""
        return tuple(item for item in self.items if item.is_open)
