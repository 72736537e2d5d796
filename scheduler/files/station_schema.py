"""Keys of station.toml with their units, limits and defaults."""

import datetime
from typing import Annotated, Any, Literal, Self, TypeVar

from pydantic import BeforeValidator, Field, model_validator

from scheduler.files.times import EXPECTED_CLOCK, TimeTextError, clock_minutes
from scheduler.files.toml_file import Keys, as_tuple, exactly, lists_of

Name = Annotated[str, Field(min_length=1)]
Positive = Annotated[float, Field(gt=0.0)]
NotNegative = Annotated[float, Field(ge=0.0)]
Fraction = Annotated[float, Field(ge=0.0, le=1.0)]
Minutes = Annotated[int, Field(ge=0, le=1440)]
Heading = Annotated[float, Field(ge=0.0, le=360.0)]
Confidence = Annotated[float, Field(ge=0.5, lt=1.0)]


def _clock(value: object) -> object:
    """Minutes of ``HH:MM`` text; a bare number would leave its unit open."""
    if not isinstance(value, str):
        raise ValueError(f"{EXPECTED_CLOCK} in quotes")
    try:
        return clock_minutes(value)
    except TimeTextError as error:
        raise ValueError(str(error)) from None


ClockMinutes = Annotated[int, BeforeValidator(_clock)]
_HOURS, _STEP = '["10:00", "10:45"]', "[15, 2]"
Hours = Annotated[
    tuple[ClockMinutes, ClockMinutes], BeforeValidator(exactly(2, _HOURS))
]
Step = Annotated[tuple[int, int], BeforeValidator(exactly(2, _STEP))]
Steps = Annotated[tuple[Step, ...], BeforeValidator(lists_of(_STEP))]
Duration = Annotated[int, Field(ge=1, le=1440)]
Count = Annotated[int, Field(ge=1, le=100)]
TaskName = Literal["plug check", "inspection", "wheel change"]
Item = TypeVar("Item")
Records = Annotated[tuple[Item, ...], BeforeValidator(as_tuple)]


class _Manned(Keys):
    """Hours of service; without them, all day and night."""

    from_utc: ClockMinutes | None = None
    to_utc: ClockMinutes | None = None

    @model_validator(mode="after")
    def _check_hours(self) -> Self:
        if (self.from_utc is None) != (self.to_utc is None):
            raise ValueError("from_utc and to_utc together, or neither")
        return self


class ExitKeys(Keys):
    """One runway exit."""

    name: Name
    distance_m: Positive
    speed_kt: Annotated[float, Field(gt=0.0, le=80.0)]


class RunwayKeys(Keys):
    """One runway in one direction."""

    name: Name
    heading_deg: Heading
    landing_distance_m: Annotated[float, Field(ge=500.0, le=6000.0)]
    slope_percent: Annotated[float, Field(ge=-4.0, le=4.0)] = 0.0
    spacing_minutes: Annotated[int, Field(ge=1, le=60)] = 2
    condition: Literal["dry", "wet", 0, 1, 2, 3, 4, 5, 6] = "dry"
    exits: Records[ExitKeys] = ()
    closures_utc: Annotated[tuple[Hours, ...], BeforeValidator(lists_of(_HOURS))] = ()
    arrival_gap_minutes: Annotated[int, Field(ge=0, le=60)] = 0


class StandKeys(Keys):
    """One stand."""

    name: Name
    taxi_in_minutes: Annotated[int, Field(ge=1, le=120)]
    taxi_out_minutes: Annotated[int, Field(ge=1, le=120)]
    shelter_fraction: Fraction = 1.0
    heading_deg: Heading | None = None
    zone: Name | None = None
    tow_off_minutes: Annotated[int, Field(ge=1, le=240)] | None = None


class OutageKeys(Keys):
    """Units of a fan type that are not there."""

    units: Count
    from_utc: ClockMinutes
    to_utc: ClockMinutes


class FanKeys(_Manned):
    """One type of cooling fan."""

    name: Name
    units: Count
    air_speed_m_per_s: Annotated[float, Field(gt=0.0, le=60.0)]
    setup_minutes: Minutes
    removal_minutes: Minutes
    move_minutes: Minutes
    remote: bool = False
    brakes_per_unit: Annotated[int, Field(ge=1, le=100)] | None = None
    sets: Records[Count] = ()
    outages: Records[OutageKeys] = ()
    home: dict[str, Annotated[int, Field(ge=0, le=100)]] = Field(default_factory=dict)


class ZoneMoveKeys(Keys):
    """Minutes to bring a fan from one zone to another, or within one."""

    from_zone: Name
    to_zone: Name
    minutes: Minutes


class CrewKeys(_Manned):
    """Crews of one kind."""

    name: Name
    count: Count
    tasks: Annotated[Records[TaskName], Field(min_length=1)]
    move_minutes: Minutes = 0


class ApproachKeys(Keys):
    """The operator's threshold for sending a person to a wheel."""

    max_plug_c: Annotated[float, Field(ge=0.0, le=300.0)]
    max_stack_c: Annotated[float, Field(ge=0.0, le=1000.0)]
    minutes_after_in_block: Minutes = 0
    at_raised: bool = False


class CurfewKeys(Keys):
    """Local hours in which departures are not allowed."""

    from_local: ClockMinutes
    to_local: ClockMinutes
    event: Literal["take_off", "off_block"] = "take_off"
    soft: bool = False


class DelayCostKeys(Keys):
    """Cost of delay: [delay minute from which, cost per minute], and jumps."""

    rates: Steps = ((0, 1),)
    jumps: Steps = ()


class StationKeys(Keys):
    """The whole of station.toml; `wake_table` reads ``wake``."""

    name: Name
    elevation_m: Annotated[float, Field(ge=-430.0, le=5000.0)]
    time_zone: Name
    day: datetime.date | None = None
    runways: Annotated[Records[RunwayKeys], Field(min_length=1)]
    stands: Annotated[Records[StandKeys], Field(min_length=1)]
    fans: Records[FanKeys] = ()
    approach: ApproachKeys | None = None
    curfews: Records[CurfewKeys] = ()
    delay_cost: DelayCostKeys = DelayCostKeys()
    stand_buffer_minutes: Minutes = 5
    plug_check_minutes: Duration = 20
    inspection_minutes: Duration = 20
    wheel_change_minutes: Duration = 60
    wind_credit: bool = False
    parking_brake: Literal["released", "set"] | None = None
    onboard_fan_minutes: Minutes = 30
    limit_confidence: Confidence = 0.99
    bound_confidence: Confidence = 0.95
    hold_minutes: Annotated[int, Field(ge=30, le=1440)] = 360
    stop_factor: Annotated[float, Field(ge=1.0, le=2.0)] = 1.15
    freeze_minutes: Minutes = 15
    stability_minutes: Minutes = 5
    tolerance_minutes: Minutes = 0
    rollout_request_minutes: Minutes = 20
    crews: Records[CrewKeys] = ()
    slots_only: bool = False
    exact_moves: bool = False
    zone_moves: Records[ZoneMoveKeys] = ()
    wake: Any = None
    columns: dict[str, Any] = Field(default_factory=dict)
