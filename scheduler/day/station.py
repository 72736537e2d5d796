"""The station: a place with its rules."""

from dataclasses import dataclass, field

from scheduler.day.crews import Crew
from scheduler.day.lookup import check_unique
from scheduler.day.place import FanType, Runway, Stand, ZoneMove
from scheduler.day.rules import (
    ApproachRule,
    Curfew,
    DelayCost,
    SlotInterval,
    WakeTable,
)
from scheduler.errors import DayError


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """The place and its rules.

    ``parking_brake_set`` at the stand is None if not given. Onboard fans run for
    ``onboard_fan_minutes`` from in-block on; ``stop_factor`` is for `stop_margin`.
    With ``slots_only`` a take-off needs one of the ``slots``. With ``exact_moves`` fans
    take ``zone_moves`` between stands instead of their pooled mean. A published time
    that moves by ``tolerance_minutes`` or less is no change. A longer rollout is asked
    for ``rollout_request_minutes`` before landing.
    """

    name: str
    elevation_m: float
    time_zone: str
    runways: tuple[Runway, ...]
    stands: tuple[Stand, ...]
    fans: tuple[FanType, ...]
    approach: ApproachRule
    curfews: tuple[Curfew, ...] = ()
    delay_cost: DelayCost = field(default_factory=DelayCost)
    stand_buffer_minutes: int = 5
    plug_check_minutes: int = 20
    wind_credit: bool = False
    parking_brake_set: bool | None = None
    onboard_fan_minutes: int = 30
    limit_confidence: float = 0.99
    bound_confidence: float = 0.95
    hold_minutes: int = 360
    stop_factor: float = 1.15
    crews: tuple[Crew, ...] = ()
    wake: WakeTable | None = None
    slots: tuple[SlotInterval, ...] = ()
    slots_only: bool = False
    zone_moves: tuple[ZoneMove, ...] = ()
    exact_moves: bool = False
    freeze_minutes: int = 15
    stability_minutes: int = 5
    tolerance_minutes: int = 0
    rollout_request_minutes: int = 20
    inspection_minutes: int = 20
    wheel_change_minutes: int = 60

    def __post_init__(self) -> None:
        """Names are unique; there is a runway and a stand."""
        for label, records in (
            ("runways", self.runways),
            ("stands", self.stands),
            ("fans", self.fans),
            ("crews", self.crews),
        ):
            check_unique(label, (record.name for record in records))
        if not (self.runways and self.stands):
            raise DayError.of("station", "at least one runway and one stand", "none")
