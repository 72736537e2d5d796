"""What was decided: the plan of a day, as the writers, readers and verifier see it.

A *result* record: plain integers, strings and tuples, no heat and no solver in it.
"""

from dataclasses import dataclass
from enum import StrEnum

from scheduler.day import Task
from scheduler.errors import UnknownTurnaroundError
from scheduler.options import Limit, PlugRisk

SCHEMA_VERSION = 1


class Status(StrEnum):
    """How good the plan is; every value has a sentence for people."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    RELAXED = "relaxed"
    FALLBACK = "fallback"

    @property
    def sentence(self) -> str:
        """What the status means, in words."""
        return _SENTENCES[self]

    @property
    def is_ok(self) -> bool:
        """Whether every rule holds."""
        return self is not Status.RELAXED


_SENTENCES = {
    Status.OPTIMAL: "proved: no plan of this day loses less",
    Status.FEASIBLE: "every rule holds; a better plan may exist, see the gap",
    Status.RELAXED: "no plan keeps every rule; the rules broken are named",
    Status.FALLBACK: "first-come plan: the solver failed or its plan was rejected",
}


class WaitsFor(StrEnum):
    """What a flight waits for beyond its own ground handling."""

    BRAKES = "brakes"
    FAN = "fan"
    SLOT = "slot"
    CREW = "crew"
    STAND = "stand"
    LOAD = "load"
    CHECK = "check"
    NOTHING = "nothing"


class Progress(StrEnum):
    """Flight progress, as in A-CDM and OOOI."""

    EXPECTED = "expected"
    IN_BLOCK = "in-block"
    OFF_BLOCK = "off-block"
    AIRBORNE = "airborne"


class BrakeState(StrEnum):
    """State of an aircraft's brakes as the figures have it."""

    COOLING = "cooling"
    WITHIN_LIMITS = "within limits"
    UNKNOWN = "unknown"
    WHEEL_CHANGE = "wheel change"


class Relaxation(StrEnum):
    """A rule that a plan of an impossible day breaks, said in the output."""

    CTOT = "ctot"
    CURFEW = "curfew"
    CURFEW_BROKEN = "curfew broken"
    STAND = "stand"
    HELD = "held"
    CREW = "crew"
    ROTATION = "rotation"
    PIN = "pin"


@dataclass(frozen=True, slots=True, kw_only=True)
class FanJob:
    """Fan units on one turnaround: air from ``start_minute`` to ``end_minute``."""

    fan_type: str
    units: int
    start_minute: int
    end_minute: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDuty:
    """Work on one turnaround, from … to; ``crew`` is None where none is named."""

    task: Task
    crew: str | None
    start_minute: int
    end_minute: int
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A thinned temperature history of one brake position, median of the samples."""

    position: str
    minutes: tuple[int, ...]
    stack_c: tuple[float, ...]
    wheel_c: tuple[float, ...]
    plug_c: tuple[float, ...]
    indicated_c: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """A limit that is a plain temperature, and the curve it is held against.

    ``curve`` is ``stack``, ``wheel``, ``plug`` or ``indicated``.
    """

    curve: str
    name: str
    limit_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TradePoint:
    """A take-off weight, and from when on the brakes allow it as the plan cools them.

    ``earliest_off_block_minute`` is None where none was found within the time looked
    at; ``planned`` marks the planned weight.
    """

    take_off_weight_kg: float
    earliest_off_block_minute: int | None
    binding_limit: Limit | None
    planned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeHeat:
    """Heat of one brake position: energy and peaks, median of the samples."""

    position: str
    energy_mj: float
    stack_peak_c: float
    wheel_peak_c: float
    plug_peak_c: float
    plug_peak_minute: int
    release_probability: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatSummary:
    """What the heat says of one turnaround, beside its minutes.

    ``binding_position`` and ``binding_sample`` name the brake and the draw that set
    brake-ready, so that anyone can integrate that one case again. ``rollouts`` gives
    the same by the name of another rollout, until one is chosen.
    """

    release_probability: float
    plug_peak_c: float
    plug_peak_minute: int
    stack_peak_c: float
    binding_position: str
    binding_sample: int
    brakes: tuple[BrakeHeat, ...]
    curves: tuple[Curve, ...]
    assumed: tuple[str, ...]
    most_valuable_input: str | None = None
    inspection: tuple[str, ...] = ()
    not_assessed: tuple[str, ...] = ()
    rollouts: tuple[tuple[str, "HeatSummary"], ...] = ()

    @property
    def risk(self) -> PlugRisk:
        """Word for the release probability."""
        return PlugRisk.of(self.release_probability)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTurnaround:
    """One turnaround of the plan. Minutes are None where the aircraft is held.

    ``rollout`` is the rollout to ask for before landing by its deadline. ``towed`` says
    that the aircraft leaves its stand for the next arrival before its own off-block.

    What follows ``progress`` is for whoever draws the row. ``expected_ready_minute`` is
    brake-ready in the middle of all ranges, to be set beside the bound; nothing may be
    planned on it. The indication does not count before ``indication_minute``, nor
    within ``indication_fan_minutes`` of a fan. ``cooled`` is the binding brake's curve
    from the first fan job on; the curves of the heat are those of still air.
    ``load_trade`` is by rising weight, its minutes never fall; few flights have one.
    """

    id: str
    tail: str
    stand: str
    in_block_minute: int
    target_off_block_minute: int
    brake_ready_minute: int | None
    brake_ready_still_air_minute: int | None
    binding_limit: Limit | None
    waits_for: WaitsFor
    approach_minute: int | None
    off_block_minute: int | None
    take_off_minute: int | None
    delay_minutes: int | None
    fan_jobs: tuple[FanJob, ...]
    relaxed: tuple[Relaxation, ...]
    heat: HeatSummary | None
    duties: tuple[PlannedDuty, ...] = ()
    rollout: str | None = None
    rollout_deadline_minute: int | None = None
    towed: bool = False
    progress: Progress = Progress.EXPECTED
    aircraft: str = ""
    landing_minute: int | None = None
    ctot_minute: int | None = None
    expected_ready_minute: int | None = None
    indication_minute: int | None = None
    indication_fan_minutes: int = 0
    limits: tuple[LimitLine, ...] = ()
    cooled: tuple[Curve, ...] = ()
    load_trade: tuple[TradePoint, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FanFleet:
    """Units of one fan type as the plan counted them, and the time each job takes."""

    name: str
    units: int
    setup_minutes: int
    removal_minutes: int
    move_minutes: int
    from_minute: int
    to_minute: int
    remote: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One line of the action list."""

    minute: int
    do_by_minute: int
    what: str
    who: str
    stand: str
    turnaround_id: str
    missing_it: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What the solver says of its answer: per stage value and bound, then the gap."""

    objective: tuple[int, ...]
    bound: tuple[int, ...]
    gap: float
    seconds: float
    solver: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DelayShare:
    """What one resource adds to the day: delay minutes and delay cost."""

    resource: str
    minutes: int
    cost: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """The day with one thing changed, solved again: what it would save.

    ``local`` where only a stretch of the day was solved again.
    """

    change: str
    minutes_saved: int
    cost_saved: int
    proved: bool
    local: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The day's plan.

    ``data_minute`` is that of the newest report or logged fact it was made from;
    ``program`` names the release that made it.
    """

    scenario: str
    day: str
    status: Status
    proof: Proof
    limit_confidence: float
    seed: int
    sample_count: int
    turnarounds: tuple[PlannedTurnaround, ...]
    actions: tuple[Action, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...] = ()
    now_minute: int | None = None
    shares: tuple[DelayShare, ...] = ()
    what_ifs: tuple[WhatIf, ...] = ()
    time_zone: str = "UTC"
    data_minute: int | None = None
    program: str = ""
    fans: tuple[FanFleet, ...] = ()
    schema_version: int = SCHEMA_VERSION

    def of(self, turnaround_id: str) -> PlannedTurnaround:
        """Row of one turnaround; `UnknownTurnaroundError` if the plan has none."""
        for row in self.turnarounds:
            if row.id == turnaround_id:
                return row
        known = ", ".join(row.id for row in self.turnarounds)
        raise UnknownTurnaroundError.of(turnaround_id, known)
