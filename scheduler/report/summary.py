"""What stands below the day table: how good the plan is, in words and numbers."""

from scheduler.clock import Clock
from scheduler.options import Limit
from scheduler.plan import Plan, PlannedTurnaround, Relaxation, WaitsFor
from scheduler.report.words import clock_of, departure_order, time_text

_STAGES = (
    "weight of rules broken {}",
    "delay cost {}",
    "changes against the published plan {}",
    "fan minutes and jobs {}",
)


def summary_lines(plan: Plan) -> tuple[str, ...]:
    """Status, rules broken, objective, gap, confidence, samples and seed."""
    proof = plan.proof
    return (
        f"Plan {plan.status}: {plan.status.sentence}.",
        day_text(plan),
        *_broken_lines(plan),
        f"Objective, first counts most: {_objective_text(proof.objective)}.",
        f"Gap {_gap_text(proof.gap)} after {proof.seconds:.1f} s with {proof.solver}.",
        f"Brake limits hold with {100 * plan.limit_confidence:g} % confidence over "
        f"{plan.sample_count} samples, seed {plan.seed}.",
        *_explained_lines(plan),
        *(f"Note: {note.removesuffix('.')}." for note in plan.notes),
    )


def _explained_lines(plan: Plan) -> list[str]:
    """Where the delay comes from, and what one thing more would save."""
    lines = []
    if plan.shares:
        shares = ", ".join(f"{it.resource} {it.minutes} min" for it in plan.shares)
        lines.append(f"Where the delay comes from: {shares}.")
    lines += [
        f"With {it.change}: {it.minutes_saved} min less delay"
        f"{'' if it.proved else ', not proved'}"
        f"{', this stretch of the day only' if it.local else ''}."
        for it in plan.what_ifs
    ]
    return lines


def day_text(plan: Plan) -> str:
    """How many leave, how many of them late and by how much, how many are held."""
    delays = [row.delay_minutes for row in plan.turnarounds]
    known = [delay for delay in delays if delay is not None]
    late = [delay for delay in known if delay > 0]
    held = len(delays) - len(known)
    return (
        f"{len(known)} aircraft leave, {len(late)} of them late, by {sum(late)} min in "
        f"all; {held or 'none'} held."
    )


def _objective_text(objective: tuple[int, ...]) -> str:
    return "; ".join(
        stage.format(value) for stage, value in zip(_STAGES, objective, strict=False)
    )


def _gap_text(gap: float) -> str:
    return f"{100 * gap:.1f} %" if gap < float("inf") else "unknown"


def broken_rules(plan: Plan) -> tuple[tuple[PlannedTurnaround, str], ...]:
    """Rows that break a rule, in order of departure, each with what it breaks."""
    clock = clock_of(plan)
    rows = sorted(plan.turnarounds, key=departure_order)
    return tuple(
        (row, _broken_text(rule, row, clock)) for row in rows for rule in row.relaxed
    )


def _broken_lines(plan: Plan) -> list[str]:
    return [f"* {row.id}: {text}." for row, text in broken_rules(plan)]


def _broken_text(rule: Relaxation, row: PlannedTurnaround, clock: Clock) -> str:
    take_off = time_text(clock, row.take_off_minute)
    off_block = time_text(clock, row.off_block_minute)
    return {
        Relaxation.CTOT: f"needs a new slot, take-off {take_off} is after its CTOT",
        Relaxation.CURFEW: "is held, nothing is left before the curfew",
        Relaxation.CURFEW_BROKEN: f"breaks the curfew, off-block {off_block}",
        Relaxation.STAND: f"is still on stand {row.stand} when the next one arrives",
        Relaxation.HELD: _held_text(row, clock),
        Relaxation.CREW: f"take-off {take_off} is after its crew's duty limit",
        Relaxation.ROTATION: "comes back too late for its tail's next turnaround",
        Relaxation.PIN: "does not keep what is pinned for it",
    }[rule]


def _held_text(row: PlannedTurnaround, clock: Clock) -> str:
    """Why an aircraft is held and, for a check, what lets it go."""
    if row.waits_for is not WaitsFor.CHECK:
        return _no_off_block_text(row)
    first = "the figures give no time to send people to its wheels"
    if row.approach_minute is not None:
        start = clock.short(row.approach_minute)
        first = f"the figures pass the operator's approach threshold at {start}"
    return (
        f"is held until its fuse plugs and tyres are checked: {first}; log the check "
        "(plug-check in events.csv), then plan again"
    )


def _no_off_block_text(row: PlannedTurnaround) -> str:
    """Which limit is not met, and which input would tell most about it."""
    limit, heat = row.binding_limit, row.heat
    if row.brake_ready_minute is not None or limit is None:
        return "is held, no off-block that keeps every rule was found"
    text = "is held, no off-block was found from which on its brakes keep the "
    text += f"{limit} limit"
    unknown = heat.most_valuable_input if heat else None
    assumed = heat.assumed if heat else ()
    if limit is Limit.STOPPING and any("take-off weight" in it for it in assumed):
        return f"{text}; give the take-off weight (take_off_weight_kg)"
    return f"{text}; what counts most is not known: {unknown}" if unknown else text
