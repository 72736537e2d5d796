"""How values of a plan are worded, one place for tables, messages, actions and files.

Minutes become UTC clock times, probabilities a word with its number, fan jobs a phrase.
"""

from datetime import date

from scheduler.clock import Clock
from scheduler.day import Task
from scheduler.options import PlugRisk
from scheduler.plan import FanJob, Plan, PlannedTurnaround, WaitsFor

NOTHING = "–"
TOLD_FROM_MINUTES = 3

_REASONS = {
    WaitsFor.BRAKES: "its brakes have to cool",
    WaitsFor.FAN: "its brakes have to cool and the fans are shared",
    WaitsFor.SLOT: "it waits for its take-off slot",
    WaitsFor.CREW: "it waits for a crew",
    WaitsFor.STAND: "it waits for a stand",
    WaitsFor.LOAD: "it waits for its load",
    WaitsFor.CHECK: "maintenance has to check its fuse plugs and tyres first",
    WaitsFor.NOTHING: "its ground handling ends then",
}


def clock_of(plan: Plan) -> Clock:
    """Clock of the plan's day."""
    return Clock(day=date.fromisoformat(plan.day))


def time_text(clock: Clock, minute: int | None) -> str:
    """Clock time of a minute, a dash where there is none."""
    return NOTHING if minute is None else clock.short(minute)


def percent_text(probability: float) -> str:
    """Probability in per cent; below a tenth of a per cent only that it is below."""
    if probability < 0.001:
        return "<0.1 %"
    return f"{100.0 * probability:.1f} %"


def risk_text(row: PlannedTurnaround) -> str:
    """Plug risk as word and number; at raised risk only a logged check lets it go."""
    if row.heat is None:
        return NOTHING
    share = percent_text(row.heat.release_probability)
    if row.off_block_minute is not None and row.heat.risk is not PlugRisk.LOW:
        return f"checked, {share}"
    return f"{row.heat.risk} {share}"


def is_quiet(row: PlannedTurnaround) -> bool:
    """Whether the figures show a low plug risk."""
    return row.heat is not None and row.heat.risk is PlugRisk.LOW


def is_short_slot_wait(row: PlannedTurnaround) -> bool:
    """Whether a flight only waits for a slot, and less than three minutes."""
    late = row.delay_minutes
    return (
        row.waits_for is WaitsFor.SLOT
        and not row.relaxed
        and late is not None
        and 0 < late < TOLD_FROM_MINUTES
    )


def units_text(job: FanJob) -> str:
    """How many fans of which type."""
    return f"{job.units} × {job.fan_type}"


def job_text(clock: Clock, job: FanJob) -> str:
    """Fan units and the time in which they blow, one below the other."""
    span = f"{clock.short(job.start_minute)}–{clock.short(job.end_minute)}"
    return f"{units_text(job)}\n{span}"


def reason_text(row: PlannedTurnaround) -> str:
    """Why a flight does not leave at its target, as the end of a sentence."""
    tasks = {duty.task for duty in row.duties}
    if row.waits_for is WaitsFor.CHECK and tasks and Task.PLUG_CHECK not in tasks:
        return f"maintenance has to finish first: {' and '.join(sorted(tasks))}"
    return _REASONS[row.waits_for]


def departure_order(row: PlannedTurnaround) -> tuple[bool, int, str]:
    """Sort key: by off-block, held aircraft last and by their target."""
    held = row.off_block_minute is None
    minute = row.target_off_block_minute if held else row.off_block_minute
    return held, minute or 0, row.id
