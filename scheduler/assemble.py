"""From decisions to the plan that people and programs read.

Enters: the day, option tables, heat summaries, decisions and their proof. Leaves: a
`Plan` with status, delays and what each flight waits for; its actions and cautions
are added by the report.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from scheduler.choices import usable_options
from scheduler.day import Basis, Day, Turnaround
from scheduler.decisions import Decision
from scheduler.options import Limit, Option, OptionTable
from scheduler.plan import (
    HeatSummary,
    Plan,
    PlannedTurnaround,
    Progress,
    Proof,
    Relaxation,
    Status,
    WaitsFor,
)
from scheduler.windows import is_gone

LEFT_OUT = ": left out, "


def assemble(
    day: Day,
    tables: Iterable[OptionTable],
    heat_summaries: Mapping[str, HeatSummary],
    decisions: Sequence[Decision],
    proof: Proof,
    *,
    seed: int,
    sample_count: int,
    fallback: bool = False,
) -> Plan:
    """Tell decisions as a plan.

    Parameters
    ----------
    day : Day
        The day.
    tables : iterable of OptionTable
        The option tables that were decided on.
    heat_summaries : mapping of str to HeatSummary
        By turnaround; one may be missing.
    decisions : sequence of Decision
        One per turnaround.
    proof : Proof
        Objective, bound and gap of the decisions.
    seed, sample_count : int
        Written into the plan so that it can be made again.
    fallback : bool
        Whether these are the first-come decisions for want of better ones.

    Returns
    -------
    plan : Plan
        Rows in the order of the day, no actions, no cautions.
    """
    table_of = {table.turnaround_id: table for table in tables}
    decision_of = {decision.turnaround_id: decision for decision in decisions}
    rows = tuple(
        _row(
            day,
            one,
            table_of.get(one.id),
            decision_of[one.id],
            heat_summaries.get(one.id),
        )
        for one in day.turnarounds
    )
    return Plan(
        scenario=day.name,
        day=day.clock.day.isoformat(),
        status=_status(decisions, proof, fallback=fallback),
        proof=proof,
        limit_confidence=day.station.limit_confidence,
        seed=seed,
        sample_count=sample_count,
        turnarounds=rows,
        actions=(),
        cautions=(),
        notes=(*day.notes, *_left_out(rows)),
        now_minute=day.now_minute,
    )


def _left_out(rows: Sequence[PlannedTurnaround]) -> tuple[str, ...]:
    """List readings that the heat did without: people must see them."""
    return tuple(
        f"{row.id}: {text}"
        for row in rows
        if row.heat is not None
        for text in row.heat.assumed
        if LEFT_OUT in text
    )


def _status(decisions: Sequence[Decision], proof: Proof, *, fallback: bool) -> Status:
    if any(decision.relaxed for decision in decisions):
        return Status.RELAXED
    if fallback:
        return Status.FALLBACK
    return Status.OPTIMAL if proof.bound == proof.objective else Status.FEASIBLE


def _row(
    day: Day,
    one: Turnaround,
    table: OptionTable | None,
    decision: Decision,
    heat: HeatSummary | None,
) -> PlannedTurnaround:
    minute = decision.off_block_minute
    target = one.target_off_block_minute
    option = decision.option
    return PlannedTurnaround(
        id=one.id,
        tail=one.tail,
        stand=one.stand,
        in_block_minute=one.in_block_minute,
        target_off_block_minute=target,
        brake_ready_minute=option.ready_minute,
        brake_ready_still_air_minute=table.still_air.ready_minute if table else None,
        binding_limit=option.binding,
        waits_for=_waits_for(day, one, table, decision),
        approach_minute=table.approach_minute if table else None,
        off_block_minute=minute,
        take_off_minute=None if minute is None else minute + day.taxi_out_minutes(one),
        delay_minutes=None if minute is None else minute - target,
        fan_jobs=decision.fan_jobs,
        relaxed=decision.relaxed,
        heat=_witnessed(heat, option),
        duties=decision.duties,
        rollout=option.rollout,
        rollout_deadline_minute=(
            table.rollout_deadline_minute if table and option.rollout else None
        ),
        towed=decision.towed,
        progress=_progress(day, one),
    )


def _progress(day: Day, one: Turnaround) -> Progress:
    if one.id in dict(day.airborne):
        return Progress.AIRBORNE
    if is_gone(one):
        return Progress.OFF_BLOCK
    is_in = one.in_block_basis is Basis.ACTUAL
    return Progress.IN_BLOCK if is_in else Progress.EXPECTED


def _witnessed(heat: HeatSummary | None, option: Option) -> HeatSummary | None:
    """Summary of the chosen rollout that names the draw and the brake behind it."""
    if heat is None:
        return None
    heat = replace(dict(heat.rollouts).get(option.rollout or "", heat), rollouts=())
    if option.witness is None:
        return heat
    sample, position = option.witness
    return replace(heat, binding_sample=sample, binding_position=position)


def _waits_for(
    day: Day, one: Turnaround, table: OptionTable | None, decision: Decision
) -> WaitsFor:
    """Reason for the larger share of the delay; as much by both counts as brakes."""
    minute, option = decision.off_block_minute, decision.option
    target = one.target_off_block_minute
    if minute is None:
        return WaitsFor.NOTHING if one.cancelled else _held_for(decision)
    if minute == target or is_gone(one) or option.ready_minute is None:
        return WaitsFor.NOTHING
    ready = max(target, option.ready_minute)
    if minute > ready and minute in [duty.end_minute for duty in decision.duties]:
        return _work_for(one, table, decision)
    if minute - ready > ready - target:
        return WaitsFor.SLOT
    return _cooling_for(day, one, table, option)


def _cooling_for(
    day: Day, one: Turnaround, table: OptionTable | None, option: Option
) -> WaitsFor:
    """Reason why the brakes let the aircraft go no earlier."""
    if option.binding is Limit.PLUG_CHECK:
        return WaitsFor.CHECK
    if option.binding is Limit.TABLE:
        return WaitsFor.BRAKES
    return WaitsFor.FAN if _is_beaten(day, one, table, option) else WaitsFor.BRAKES


def _work_for(
    one: Turnaround, table: OptionTable | None, decision: Decision
) -> WaitsFor:
    """Crew where the last work began later than it could have, else check."""
    last = max(decision.duties, key=lambda duty: duty.end_minute)
    asked = [*one.duties, *(table.duties if table else ())]
    earliest = min(duty.earliest_minute for duty in asked if duty.task is last.task)
    if table is not None and table.approach_minute is not None:
        earliest = max(earliest, table.approach_minute)
    return WaitsFor.CREW if last.start_minute > earliest else WaitsFor.CHECK


def _held_for(decision: Decision) -> WaitsFor:
    if Relaxation.CURFEW in decision.relaxed:
        return WaitsFor.SLOT
    is_check = decision.option.binding is Limit.PLUG_CHECK
    return WaitsFor.CHECK if is_check else WaitsFor.BRAKES


def _is_beaten(
    day: Day, one: Turnaround, table: OptionTable | None, chosen: Option
) -> bool:
    """Whether another way to cool that the rules allow is ready earlier."""
    if table is None or chosen.ready_minute is None:
        return False
    return any(
        option.fan is not None
        and option.ready_minute is not None
        and option.ready_minute < chosen.ready_minute
        for option in usable_options(day, one, table)
    )
