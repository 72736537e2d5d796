"""``heatslot tradeoff``: take-off weight against the earliest off-block."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.cli.arguments import clock_minute, minute_after, number, whole
from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import (
    output,
    progress,
    write_json,
    write_line,
    write_wrapped,
)

if TYPE_CHECKING:
    from scheduler.cli.terminal import Steps
    from scheduler.day import Day, Turnaround
    from scheduler.plan import Plan
    from scheduler.tradeoff import Point, Relief, Weigher, WeightCurve

    Held = tuple[WeightCurve, Relief, Relief | None]


def _add_arguments(parser: ArgumentParser) -> None:
    add = parser.add_argument
    add("scenario", type=Path, metavar="SCENARIO", help="folder with the day's files")
    add("--turnaround", metavar="ID", help="one departure; all held flights without it")
    add("--off-block", metavar="HH:MM", help="how much may leave at this time, UTC")
    add(
        "--weight-kg",
        type=number(1e3, 1e6, "kg"),
        metavar="KG",
        help="when this take-off weight may leave",
    )
    add(
        "--plan",
        type=Path,
        metavar="PLAN",
        help="plan.json of this day, or its folder; without it the day is planned now",
    )
    add(
        "--seconds",
        type=number(0.1, 1e5, "s"),
        default=20.0,
        metavar="N",
        help="longest time for the search of a plan (default 20)",
    )
    add(
        "--seed",
        type=whole(0, 2**31 - 1),
        default=1,
        metavar="N",
        help="seed of a plan that is made now (default 1)",
    )
    add("--json", action="store_true", help="print the result as JSON")


def _run(given: Namespace) -> int:
    from scheduler.files import read_scenario

    if given.turnaround is None and (given.off_block or given.weight_kg):
        raise CommandError("--off-block and --weight-kg need --turnaround ID")
    with progress(quiet=given.json) as step:
        step("Reading the scenario")
        day = read_scenario(given.scenario)
        if given.turnaround is not None:
            _turnaround(day, given.turnaround)
        step("Planning the day")
        plan = _plan(day, given)
        step("Weighing")
        if given.turnaround is None:
            _tell_held(_held(day, plan, step), as_json=given.json)
            return EXIT_GOOD
        one = _turnaround(day, given.turnaround)
        asked = _asked_minute(one, given.off_block)
        found = _one(day, plan, one, asked, given.weight_kg)
    _tell(*found, as_json=given.json)
    return EXIT_GOOD


def _plan(day: Day, given: Namespace) -> Plan:
    if given.plan is not None:
        from scheduler.files.plan_file import read_plan

        path = given.plan / "plan.json" if given.plan.is_dir() else given.plan
        return read_plan(path)
    from scheduler.solve import SolveConfig, plan_day

    return plan_day(day, SolveConfig(seconds=given.seconds, seed=given.seed)).plan


def _turnaround(day: Day, name: str) -> Turnaround:
    from scheduler.errors import UnknownTurnaroundError
    from scheduler.windows import is_gone

    for one in day.turnarounds:
        if one.id == name:
            if is_gone(one):
                raise CommandError(f"{name} has left its stand")
            return one
    known = ", ".join(one.id for one in day.turnarounds)
    raise UnknownTurnaroundError.of(name, known)


def _asked_minute(one: Turnaround, text: str | None) -> int | None:
    if text is None:
        return None
    minute = clock_minute(text)
    if minute is None:
        raise CommandError(f"--off-block: expected HH:MM in UTC, got {text!r}")
    minute = minute_after(minute, one.in_block_minute)
    if minute <= one.in_block_minute:
        raise CommandError(f"--off-block: expected a time after in-block, got {text!r}")
    return minute


def _weigher(day: Day, plan: Plan, one: Turnaround) -> Weigher:
    from scheduler.tradeoff import Weigher

    row = plan.of(one.id)
    return Weigher(
        day,
        one,
        job=row.fan_jobs[0] if row.fan_jobs else None,
        planned_minute=row.brake_ready_minute,
        sample_count=plan.sample_count,
        seed=plan.seed,
        rollout=row.rollout,
    )


def _weigher_alone(day: Day, plan: Plan, one: Turnaround) -> Weigher:
    """Weigh the landing as planned in still air."""
    from scheduler.tradeoff import Weigher

    return Weigher(
        day,
        one,
        job=None,
        planned_minute=plan.of(one.id).brake_ready_still_air_minute,
        sample_count=plan.sample_count,
        seed=plan.seed,
    )


def _one(
    day: Day, plan: Plan, one: Turnaround, minute: int | None, weight_kg: float | None
) -> tuple[WeightCurve, Relief | None, Relief | None, Point | None]:
    from scheduler.tradeoff import weight_curve

    aircraft = day.aircraft_of(one)
    low, high = aircraft.operating_empty_kg, aircraft.maximum_take_off_kg
    if weight_kg is not None and not low <= weight_kg <= high:
        raise CommandError(
            f"--weight-kg: expected {low:g} to {high:g}, got {weight_kg:g}"
        )
    weigher = _weigher(day, plan, one)
    curve = weight_curve(weigher)
    relief = None if minute is None else weigher.relief(minute, curve.step_kg)
    still = None if minute is None else _still(plan, weigher, minute, curve.step_kg)
    point = None if weight_kg is None else weigher.at(weight_kg)
    return curve, relief, still, point


def _still(plan: Plan, weigher: Weigher, minute: int, step_kg: float) -> Relief | None:
    """Relief without planned fan and longer rollout; None where neither is planned."""
    if weigher.rollout is not None:
        alone = _weigher_alone(weigher.day, plan, weigher.turnaround)
        return alone.relief(minute, step_kg)
    if weigher.job is None:
        return None
    row = plan.of(weigher.turnaround.id)
    still = weigher.without_fan(row.brake_ready_still_air_minute)
    return still.relief(minute, step_kg)


def _held(day: Day, plan: Plan, step: Steps) -> list[Held]:
    """Flights whose brakes are ready after their target, and what the target takes."""
    from scheduler.tradeoff import bare_curve
    from scheduler.windows import is_gone

    def is_held(one: Turnaround) -> bool:
        ready = plan.of(one.id).brake_ready_minute
        late = ready is None or ready > one.target_off_block_minute
        return late and not is_gone(one)

    rows: list[Held] = []
    held = [one for one in day.turnarounds if is_held(one)]
    for done, one in enumerate(held):
        step("Weighing", done=done, total=len(held))
        target = one.target_off_block_minute
        weigher = _weigher(day, plan, one)
        curve = bare_curve(weigher)
        relief = weigher.relief(target, curve.step_kg)
        rows.append((curve, relief, _still(plan, weigher, target, curve.step_kg)))
    return rows


def _tell(
    curve: WeightCurve,
    relief: Relief | None,
    still: Relief | None,
    point: Point | None,
    *,
    as_json: bool,
) -> None:
    from scheduler.report import tradeoff_text as text
    from scheduler.report.tradeoff_json import curve_record

    if as_json:
        write_json(curve_record(curve, relief, still, point))
        return
    write_wrapped(text.curve_headline(curve))
    if relief is not None:
        write_wrapped(text.relief_text(curve, relief))
    if still is not None:
        write_wrapped(f"{text.without_help(curve)}: {text.relief_text(curve, still)}")
    if point is not None:
        write_wrapped(text.weight_text(curve, point))
    write_line("")
    for line in text.curve_lines(curve):
        write_line(f"  {line}")
    for line in text.jump_lines(curve):
        write_wrapped(line, "  ")
    _tell_cautions(curve.assumed)


def _tell_held(rows: list[Held], *, as_json: bool) -> None:
    from scheduler.report import tradeoff_text as text
    from scheduler.report.tradeoff_json import held_record

    if as_json:
        write_json(held_record(rows))
        return
    if not rows:
        write_line("No flight is held by its brakes beyond its target off-block.")
    else:
        write_wrapped(text.held_headline(len(rows)))
        output().print(text.held_table(rows))
    _tell_cautions(())


def _tell_cautions(assumed: tuple[str, ...]) -> None:
    from scheduler.report.cautions import CAUTIONS
    from scheduler.report.tradeoff_text import OTHER_LIMITS, WITHOUT_SLOTS

    write_line("")
    write_wrapped(f"{OTHER_LIMITS} {WITHOUT_SLOTS}")
    for title, lines in (("Assumed", assumed), ("Bear in mind", CAUTIONS)):
        if lines:
            write_line(f"\n{title}")
        for line in lines:
            write_wrapped(line, "  * ")


COMMANDS = (
    Command(
        name="tradeoff",
        summary="take-off weight against the earliest off-block",
        description=(
            "With the planned fan job: from when on each take-off weight may leave, "
            "and how much may leave at a time. Without --turnaround one table of all "
            "flights that their brakes hold. Times are UTC, before slots."
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
