"""``heatslot plan``: a scenario folder → the day's plan, its files and its report."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, ArgumentTypeError, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.cli.pictures import check_pictures, draw_pictures
from scheduler.cli.registry import EXIT_BROKEN, EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import output, progress, write_line

if TYPE_CHECKING:
    from scheduler.cli.terminal import Steps
    from scheduler.day import Day
    from scheduler.plan import Plan, WhatIf
    from scheduler.solve import SolveConfig, SolveResult
    from scheduler.solve.config import Tables

PLAN_NAME = "plan.json"
CSV_NAMES = ("turnarounds.csv", "fan_jobs.csv", "duties.csv", "actions.csv")
PAGE_NAME = "report.html"
OUTPUT_NAMES = (PLAN_NAME, PAGE_NAME, *CSV_NAMES, "tables.json")
SCENARIO_NAMES = ("station.toml", "fleet.toml")


def _add_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "scenario", type=Path, metavar="SCENARIO", help="folder with the day's files"
    )
    parser.add_argument(
        "--out", type=Path, metavar="DIR", help="folder for the plan, out/SCENARIO/"
    )
    parser.add_argument(
        "--force", action="store_true", help="replace a plan that is already there"
    )
    parser.add_argument(
        "--json", action="store_true", help="print the plan as JSON, nothing else"
    )
    parser.add_argument(
        "--seconds",
        type=_seconds,
        default=20.0,
        metavar="N",
        help="longest time for the search (default 20)",
    )
    parser.add_argument(
        "--explain",
        action="store_true",
        help="also say where the delay comes from, what one more fan would save and "
        "what less weight would",
    )
    parser.add_argument(
        "--seed", type=_seed, default=1, metavar="N", help="seed (default 1)"
    )
    parser.add_argument(
        "--plots",
        type=Path,
        metavar="DIR",
        help="also draw the day as SVG and PNG for a handover document (extra plots)",
    )


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0.0 < seconds < 1e6:
        raise ArgumentTypeError(f"expected seconds above 0, got {text!r}")
    return seconds


def _seed(text: str) -> int:
    if not (text.isascii() and text.isdigit() and int(text) < 2**31):
        raise ArgumentTypeError(f"expected a whole number from 0, got {text!r}")
    return int(text)


def _run(given: Namespace) -> int:
    folder = given.out or Path("out") / given.scenario.resolve().name
    _check_folder(given.scenario, folder, force=given.force)
    if given.plots is not None:
        check_pictures(given.plots)
    with progress(quiet=given.json) as step:
        step("Reading the scenario")
        day = _read(given.scenario)
        result = _plan(day, given, folder, step)
        plan = result.plan
        if given.explain:
            step("Solving the day again without one thing after the other")
            plan = _explained(plan, day, result.tables, given.seconds)
        step("Cooling as planned, for the report")
        plan = drawable(plan, day)
        write_plan_files(plan, day, folder, result.tables)
        told = (
            () if given.plots is None else draw_pictures(plan, day, given.plots, step)
        )
    _tell(plan, day, folder, as_json=given.json)
    if told and not given.json:
        write_line("\n".join(told))
    return EXIT_GOOD if plan.status.is_ok else EXIT_BROKEN


def _check_folder(scenario: Path, folder: Path, *, force: bool) -> None:
    """Refuse a folder whose files are somebody's input, or a plan, without leave."""
    inside = [name for name in SCENARIO_NAMES if (folder / name).exists()]
    if folder.resolve() == scenario.resolve() or inside:
        raise CommandError(
            f"{folder}: expected a folder of its own for the plan, got a scenario"
        )
    there = [name for name in OUTPUT_NAMES if (folder / name).exists()]
    if there and not force:
        raise CommandError(
            f"{folder / there[0]}: is there already; --force replaces it, --out DIR "
            "writes elsewhere"
        )


def _read(scenario: Path) -> Day:
    from scheduler.files import read_scenario

    return read_scenario(scenario)


def _plan(day: Day, given: Namespace, folder: Path, step: Steps) -> SolveResult:
    """Plan the day; the check sees the plan as people will, with its actions."""
    from scheduler.solve import SEARCHING, SolveConfig, plan_day

    config = SolveConfig(
        seconds=given.seconds, seed=given.seed, apart=True, rescue=folder / "rescue"
    )
    return plan_day(
        day,
        config,
        finish=lambda plan: complete(plan, day),
        tell=step.searching(SEARCHING, given.seconds),
        show=None if given.json else _show_first,
    )


def _explained(plan: Plan, day: Day, tables: Tables, seconds: float) -> Plan:
    """Add where delay comes from, what would save some, and weight against time."""
    from dataclasses import replace

    from scheduler.explain import day_what_ifs, delay_shares
    from scheduler.solve import SolveConfig
    from scheduler.tradeoff import with_load_trades

    options = [table for table, _ in tables]
    config = SolveConfig(seconds=seconds, seed=plan.seed)
    return replace(
        with_load_trades(plan, day),
        shares=delay_shares(day, options, plan, config),
        what_ifs=(
            *day_what_ifs(day, options, plan, config),
            *_lighter(plan, day, tables, config),
        ),
    )


def _lighter(
    plan: Plan, day: Day, tables: Tables, config: SolveConfig
) -> tuple[WhatIf, ...]:
    """Say what 1,000 kg less would save on the flight that brakes delay most."""
    from scheduler.explain import FLIGHT_KG, flight_what_if, lighter
    from scheduler.plan import WaitsFor
    from scheduler.readiness import build_tables

    late = [
        (row.delay_minutes or 0, row.id)
        for row in plan.turnarounds
        if row.waits_for in (WaitsFor.BRAKES, WaitsFor.FAN)
    ]
    name = max(late, default=(0, ""))[1]
    changed = lighter(day, name) if name else None
    if changed is None:
        return ()
    known = {table.turnaround_id: (table, heat) for table, heat in tables if heat}
    known.pop(name, None)
    found = [table for table, _ in build_tables(changed, config, known=known)]
    text = f"{FLIGHT_KG:.0f} kg less on {name}"
    return (flight_what_if(day, changed, found, plan, config, name, text),)


def _show_first(plan: Plan) -> None:
    """Say on standard error that there is a plan, and how good it is."""
    from scheduler.report.summary import day_text

    sys.stderr.write(
        f"First plan, every rule checked: {day_text(plan)} Looking for a better one; "
        "Ctrl-C takes the best so far.\n"
    )


def complete(plan: Plan, day: Day) -> Plan:
    """Add what people have to do and to bear in mind."""
    from dataclasses import replace

    from scheduler.report import CAUTIONS, actions

    return replace(plan, actions=actions(plan, day), cautions=CAUTIONS)


def drawable(plan: Plan, day: Day, published: Plan | None = None) -> Plan:
    """Add what the report draws beside what was decided."""
    from scheduler.readiness.planned import with_planned_heat
    from scheduler.report import with_surroundings

    return with_surroundings(with_planned_heat(plan, day, published), day)


def write_plan_files(plan: Plan, day: Day, folder: Path, tables: Tables) -> None:
    """Write all files, the plan itself last."""
    from scheduler.files.plan_file import write_plan
    from scheduler.files.tables_file import TABLES_NAME, write_tables
    from scheduler.readiness.fingerprint import fingerprint
    from scheduler.report import write_csv_files
    from scheduler.report.page import write_page

    folder.mkdir(parents=True, exist_ok=True)
    write_csv_files(plan, folder)
    write_page(plan, folder / PAGE_NAME)
    seed, count = plan.seed, plan.sample_count
    known = {table.turnaround_id for table, _ in tables}
    digests = {
        one.id: fingerprint(day, one, seed=seed, sample_count=count)
        for one in day.turnarounds
        if one.id in known
    }
    write_tables(folder / TABLES_NAME, (table for table, _ in tables), digests)
    write_plan(plan, day.clock, folder / PLAN_NAME)


def _tell(plan: Plan, day: Day, folder: Path, *, as_json: bool) -> None:
    from scheduler.files.plan_file import plan_text
    from scheduler.report import print_day

    if as_json:
        write_line(plan_text(plan, day.clock).rstrip("\n"))
        return
    print_day(plan, output())
    write_line(f"\nWritten to {folder}: {', '.join(OUTPUT_NAMES)}")


COMMANDS = (
    Command(
        name="plan",
        summary="plan a day: fans, slots, off-block times and who does what",
        description=(
            "Plan the day of a scenario folder. Prints the day, what to tell the "
            "gate and the action list, and writes plan.json, report.html and CSV files."
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
