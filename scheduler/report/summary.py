"""What stands below the day table: how good the plan is, in words and numbers."""

from scheduler.clock import Clock
from scheduler.plan import Plan, PlannedTurnaround, Relaxation
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
        *_broken_lines(plan),
        f"Objective, first counts most: {_objective_text(proof.objective)}.",
        f"Gap {_gap_text(proof.gap)} after {proof.seconds:.1f} s with {proof.solver}.",
        f"Brake limits hold with {100 * plan.limit_confidence:g} % confidence over "
        f"{plan.sample_count} samples, seed {plan.seed}.",
        *(f"Note: {note.removesuffix('.')}." for note in plan.notes),
    )


def _objective_text(objective: tuple[int, ...]) -> str:
    return "; ".join(
        stage.format(value) for stage, value in zip(_STAGES, objective, strict=False)
    )


def _gap_text(gap: float) -> str:
    return f"{100 * gap:.1f} %" if gap < float("inf") else "unknown"


def _broken_lines(plan: Plan) -> list[str]:
    clock = clock_of(plan)
    rows = sorted(plan.turnarounds, key=departure_order)
    return [
        f"* {row.id}: {_broken_text(rule, row, clock)}."
        for row in rows
        for rule in row.relaxed
    ]


def _broken_text(rule: Relaxation, row: PlannedTurnaround, clock: Clock) -> str:
    take_off = time_text(clock, row.take_off_minute)
    return {
        Relaxation.CTOT: f"needs a new slot, take-off {take_off} is after its CTOT",
        Relaxation.CURFEW: "is held, nothing is left before the curfew",
        Relaxation.STAND: f"is still on stand {row.stand} when the next one arrives",
        Relaxation.HELD: "is held, no off-block that keeps every rule was found",
    }[rule]
