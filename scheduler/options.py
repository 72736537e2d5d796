"""What the heat allows, in integer minutes: the hand-over from heat to model.

One `OptionTable` per turnaround: still air first, then every fan job that was
computed, each with the earliest off-block minute from which all limits hold for
good. The model, the greedy plan and the reports read these records and nothing
else of the heat.
"""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.day import Duty
from scheduler.errors import DayError


class Limit(StrEnum):
    """The departure limit that sets brake-ready."""

    STOPPING = "stopping"
    PLUG = "plug"
    WHEEL_WELL = "wheel well"
    INDICATED = "indicated"
    TABLE = "table"
    PLUG_CHECK = "plug check"
    OTHER = "other"


class PlugRisk(StrEnum):
    """Words for the probability that a fuse plug releases."""

    LOW = "low"
    RAISED = "raised"
    HIGH = "high"
    RELEASED = "released"

    @classmethod
    def of(cls, probability: float) -> "PlugRisk":
        """Word for a probability: raised from 1 %, high above 10 %."""
        if probability < 0.01:
            return cls.LOW
        return cls.RAISED if probability <= 0.10 else cls.HIGH


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to cool: still air (no fan type) or one fan job.

    ``start_minute`` is when the air starts, ``end_minute`` when it stops; people are
    at the wheel from ``start_minute - setup`` to ``start_minute`` and again for the
    removal after ``end_minute``, unless the fan is remote. ``ready_minute`` includes
    the removal; it is None where no off-block within the horizon meets the limits.
    ``rollout`` names the rollout that has to be asked for before landing, None for the
    planned one. ``witness`` names the sample and the brake position that set it, for
    whoever wants to follow that one case again; decisions do not look at it. Where the
    option ``needs_check``, the plug check among the table's duties belongs to it.
    """

    fan: str | None = None
    units: int = 0
    start_minute: int | None = None
    end_minute: int | None = None
    ready_minute: int | None
    binding: Limit | None
    witness: tuple[int, str] | None = None
    rollout: str | None = None
    needs_check: bool = False

    def __post_init__(self) -> None:
        """Refuse a fan job without a window, or still air with one."""
        given = (self.start_minute is not None, self.end_minute is not None)
        if self.fan is None and (any(given) or self.units != 0):
            raise DayError.of("option", "no window and no units without a fan", self)
        if self.fan is not None and not (all(given) and self.units > 0):
            raise DayError.of("option", "a start, an end and units with a fan", self)
        if all(given) and not self.fan_minutes > 0:
            raise DayError.of("option", "start before end", self)

    @property
    def fan_minutes(self) -> int:
        """Unit-minutes of air."""
        if self.start_minute is None or self.end_minute is None:
            return 0
        return self.units * (self.end_minute - self.start_minute)


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionTable:
    """All options of one turnaround.

    ``approach_minute`` is the earliest minute at which the operator's approach
    threshold is met by the figures; None where nobody is to be sent (plug risk high,
    or raised without the operator's leave) within the horizon.
    ``limit_minutes`` gives, in still air, the minute from which each limit alone holds.
    A longer rollout must be asked for by ``rollout_deadline_minute``. ``duties`` is
    work that the heat asks for before off-block; a plug check among them belongs only
    to options that need it.
    """

    turnaround_id: str
    approach_minute: int | None
    options: tuple[Option, ...]
    limit_minutes: tuple[tuple[Limit, int | None], ...] = ()
    rollout_deadline_minute: int | None = None
    duties: tuple[Duty, ...] = ()

    def __post_init__(self) -> None:
        """Still air is always there and always first."""
        if not self.options or self.options[0].fan is not None:
            raise DayError.of("options", "still air first", self.options[:1])

    @property
    def still_air(self) -> Option:
        """The option without a fan."""
        return self.options[0]
