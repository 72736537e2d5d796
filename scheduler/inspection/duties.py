"""Inspections before departure as work for the plan.

Enters: the day, the option table and the heat summary of a turnaround, as they go to
the model. Leaves: duties. No heat is computed here: the middle of all ranges is above a
limit where the limit was passed more likely than not.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from scheduler.day import Basis, Day, Duty, Task, Turnaround
from scheduler.options import OptionTable
from scheduler.plan import BrakeHeat, HeatSummary
from thermal.brake import Brake
from thermal.catalogue import load_brake
from thermal.units import celsius

OF_THE_HEAT = "brakes to look at"
Summary = TypeVar("Summary", bound=HeatSummary | None)


def inspection_duties(
    day: Day, table: OptionTable, heat: HeatSummary | None
) -> tuple[Duty, ...]:
    """Inspection of the brakes that must be looked at before departure; one or none.

    Plugs are not among them: their check is the table's own duty. It is none either
    where the table or the day asks for an inspection already, where a look was logged
    since, or where the aircraft has gone. Where the figures let nobody approach, it
    begins at the end of the time that is looked at, so that the aircraft stays.
    """
    turnaround = next(one for one in day.turnarounds if one.id == table.turnaround_id)
    asked = (*turnaround.duties, *table.duties)
    is_gone = turnaround.off_block_basis is Basis.ACTUAL
    if is_gone or any(duty.task is Task.INSPECTION for duty in asked):
        return ()
    reasons = _reasons(day, turnaround, heat)
    if not reasons:
        return ()
    begin = table.approach_minute
    if begin is None:
        begin = turnaround.in_block_minute + day.station.hold_minutes
    return (
        Duty(
            task=Task.INSPECTION,
            minutes=day.station.inspection_minutes,
            earliest_minute=begin,
            reason=f"{OF_THE_HEAT}: {'; '.join(reasons)}",
        ),
    )


def with_inspections(
    day: Day, tables: Sequence[tuple[OptionTable, Summary]]
) -> list[tuple[OptionTable, Summary]]:
    """Option tables with the inspections that the heat asks for among their duties.

    Those that were added before give way: a look may have been logged since.
    """
    found = []
    for table, heat in tables:
        kept = tuple(one for one in table.duties if not is_of_the_heat(one))
        plain = replace(table, duties=kept)
        duties = (*kept, *inspection_duties(day, plain, heat))
        found.append((replace(plain, duties=duties), heat))
    return found


def is_of_the_heat(duty: Duty) -> bool:
    """Whether a duty was added by `with_inspections`."""
    return duty.task is Task.INSPECTION and duty.reason.startswith(OF_THE_HEAT)


def _reasons(day: Day, turnaround: Turnaround, heat: HeatSummary | None) -> list[str]:
    """Say why, position by position."""
    events = [one.minute for one in day.rejected if one.turnaround_id == turnaround.id]
    since = max(events, default=day.landing_minute(turnaround))
    looked = {
        one.position
        for one in day.findings
        if one.turnaround_id == turnaround.id and one.minute >= since
    }
    checks = [one for one in day.checks if one.turnaround_id == turnaround.id]
    found = []
    is_seen = looked or any(one.minute >= since for one in checks)
    if events and not is_seen:
        found.append("accelerate-stop")
    brake = load_brake(day.aircraft_of(turnaround).brake)
    for one in () if heat is None else heat.brakes:
        if one.position not in looked:
            found += [f"{one.position}: {text}" for text in _hot(brake, one)]
    return found


def _hot(brake: Brake, one: BrakeHeat) -> list[str]:
    """Limits that the middle of all ranges passes."""
    named = (
        ("stack", one.stack_peak_c, brake.limits.inspect_above_k),
        ("wheel", one.wheel_peak_c, brake.limits.wheel_k),
    )
    return [
        f"{what} to {peak_c:.0f} °C, limit {float(celsius(limit_k)):.0f} °C"
        for what, peak_c, limit_k in named
        if limit_k is not None and peak_c > float(celsius(limit_k))
    ]
