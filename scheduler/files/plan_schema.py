"""The format of ``plan.json``: every key, its type and what it means.

These models are the one description of the format: the writer fills them, the reader
checks with them, and `json_schema` turns them into ``docs/plan.schema.json``. Times
are ISO 8601 in UTC with ``Z``, to the minute; temperatures are degrees Celsius. Every
key is written; those with a default may be missing in a file of an earlier release.
"""

import re
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, WithJsonSchema

from scheduler.day import Task
from scheduler.options import Limit, PlugRisk
from scheduler.plan import Progress, Relaxation, Status, WaitsFor

_UTC_PATTERN = r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:00Z$"
_DAY_PATTERN = r"^\d{4}-\d{2}-\d{2}$"


def _check_utc(text: str) -> str:
    if not re.match(_UTC_PATTERN, text):
        raise ValueError("a time such as 2026-07-14T14:05:00Z")
    datetime.fromisoformat(text)
    return text


def _check_day(text: str) -> str:
    if not re.match(_DAY_PATTERN, text):
        raise ValueError("a day such as 2026-07-14")
    date.fromisoformat(text)
    return text


Utc = Annotated[
    str,
    AfterValidator(_check_utc),
    WithJsonSchema({"type": "string", "format": "date-time", "pattern": _UTC_PATTERN}),
]
DayText = Annotated[
    str,
    AfterValidator(_check_day),
    WithJsonSchema({"type": "string", "format": "date", "pattern": _DAY_PATTERN}),
]
Minutes = Annotated[int, Field(ge=0)]
Probability = Annotated[float, Field(ge=0.0, le=1.0)]


class _Entry(BaseModel):
    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False
    )


class FanJobEntry(_Entry):
    """Fan units on one turnaround, air from start to end."""

    fan_type: str
    units: Annotated[int, Field(gt=0)]
    start_utc: Utc
    end_utc: Utc


class DutyEntry(_Entry):
    """Work on one turnaround, from start to end; ``crew`` is null if none is named."""

    task: Task
    crew: str | None
    start_utc: Utc
    end_utc: Utc
    reason: str


class PlugEntry(_Entry):
    """Fuse plugs: probability that one releases on the stand, and its peak."""

    release_probability: Probability
    risk: PlugRisk
    peak_c: float
    peak_utc: Utc


class BrakeEntry(_Entry):
    """Heat of one brake position, median of the samples."""

    position: str
    energy_mj: float
    stack_peak_c: float
    wheel_peak_c: float
    plug_peak_c: float
    plug_peak_utc: Utc
    release_probability: Probability


class CurveEntry(_Entry):
    """Thinned temperatures of one brake position, median of the samples."""

    position: str
    start_utc: Utc | None
    minutes_after_start: tuple[int, ...]
    stack_c: tuple[float, ...]
    wheel_c: tuple[float, ...]
    plug_c: tuple[float, ...]
    indicated_c: tuple[float, ...]


class LimitLineEntry(_Entry):
    """A limit that is a plain temperature, and the curve it is held against."""

    curve: str
    name: str
    limit_c: float


class TradePointEntry(_Entry):
    """A take-off weight and from when on the brakes allow it, before slots and crews.

    ``earliest_off_block_utc`` is null where none was found within the time looked at.
    """

    take_off_weight_kg: Annotated[float, Field(gt=0.0)]
    earliest_off_block_utc: Utc | None
    binding_limit: Limit | None
    planned: bool


class HeatEntry(_Entry):
    """What was computed beside the minutes: which brake binds, what was assumed."""

    binding_position: str
    binding_sample: int
    not_assessed: tuple[str, ...]
    most_valuable_input: str | None


class TurnaroundEntry(_Entry):
    """One turnaround of the plan; times are null where the aircraft is held.

    ``rollout`` is to be asked for before landing, by ``rollout_deadline_utc``;
    ``towed``: the aircraft leaves its stand for the next arrival before off-block.
    ``plug``, ``stack_peak_c`` and ``heat`` are null together, where no heat was
    computed for this turnaround. ``landing_utc`` and what follows is for drawing:
    ``expected_ready_utc`` is brake-ready in the middle of all ranges, nothing may be
    planned on it; ``cooled`` is the binding brake with the fan on. ``load_trade`` is
    filled for few flights, by rising weight; brakes are not the only weight limit.
    """

    id: str
    tail: str
    stand: str
    in_block_utc: Utc
    target_off_block_utc: Utc
    brake_ready_utc: Utc | None
    brake_ready_still_air_utc: Utc | None
    binding_limit: Limit | None
    waits_for: WaitsFor
    approach_utc: Utc | None
    off_block_utc: Utc | None
    take_off_utc: Utc | None
    delay_minutes: int | None
    fan_jobs: tuple[FanJobEntry, ...]
    relaxed: tuple[Relaxation, ...]
    plug: PlugEntry | None
    stack_peak_c: float | None
    heat: HeatEntry | None
    assumed: tuple[str, ...]
    inspection: tuple[str, ...]
    brakes: tuple[BrakeEntry, ...]
    curves: tuple[CurveEntry, ...]
    progress: Progress = Progress.EXPECTED
    duties: tuple[DutyEntry, ...] = ()
    rollout: str | None = None
    rollout_deadline_utc: Utc | None = None
    towed: bool = False
    aircraft: str = ""
    landing_utc: Utc | None = None
    ctot_utc: Utc | None = None
    expected_ready_utc: Utc | None = None
    indication_utc: Utc | None = None
    indication_fan_minutes: Minutes = 0
    limits: tuple[LimitLineEntry, ...] = ()
    cooled: tuple[CurveEntry, ...] = ()
    load_trade: tuple[TradePointEntry, ...] = ()


class ActionEntry(_Entry):
    """One line of the action list."""

    time_utc: Utc
    do_by_utc: Utc
    what: str
    who: str
    stand: str
    turnaround_id: str
    missing_it: str


class DelayShareEntry(_Entry):
    """What one resource adds to the day: minutes of delay and their cost."""

    resource: str
    minutes: int
    cost: int


class FanFleetEntry(_Entry):
    """Units of one fan type, and the minutes that setting up and moving take."""

    name: str
    units: Minutes
    setup_minutes: Minutes
    removal_minutes: Minutes
    move_minutes: Minutes
    from_utc: Utc
    to_utc: Utc
    remote: bool


class WhatIfEntry(_Entry):
    """What the day would save with one thing changed.

    ``proved`` where that plan is proved; ``local`` where only a stretch of the day was
    solved again.
    """

    change: str
    minutes_saved: int
    cost_saved: int
    proved: bool
    local: bool


class PlanEntry(_Entry):
    """A day's plan. ``gap`` is null where the solver gave no bound.

    ``now_utc`` is when a day that had begun was planned again, else null; ``data_utc``
    the newest report or logged fact behind it.
    """

    schema_version: Literal[1]
    scenario: str
    day: DayText
    status: Status
    objective: tuple[int, ...]
    bound: tuple[int, ...]
    gap: float | None
    seconds: float
    solver: str
    limit_confidence: Probability
    seed: int
    sample_count: Minutes
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    actions: tuple[ActionEntry, ...]
    turnarounds: tuple[TurnaroundEntry, ...]
    now_utc: Utc | None = None
    shares: tuple[DelayShareEntry, ...] = ()
    what_ifs: tuple[WhatIfEntry, ...] = ()
    time_zone: str = "UTC"
    data_utc: Utc | None = None
    program: str = ""
    fans: tuple[FanFleetEntry, ...] = ()


def json_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of ``plan.json``."""
    schema = PlanEntry.model_json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
