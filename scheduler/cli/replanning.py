"""``heatslot replan``: what was logged and the published plan → the new plan."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.cli.registry import EXIT_BROKEN, EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import output, progress, write_json, write_line

if TYPE_CHECKING:
    from scheduler.cli.terminal import Steps
    from scheduler.day import Day
    from scheduler.plan import Plan
    from scheduler.replan import Replan

CHANGES_NAME = "changes.json"


def _add_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "scenario", type=Path, metavar="SCENARIO", help="folder with the day's files"
    )
    parser.add_argument(
        "plan", type=Path, metavar="PLAN", help="the published plan, or its folder"
    )
    parser.add_argument(
        "--now",
        required=True,
        metavar="TIME",
        help="HH:MM in UTC; nothing is planned before it",
    )
    parser.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help="folder for the new plan (default: that of the published one, replaced)",
    )
    parser.add_argument(
        "--seconds",
        type=float,
        default=12.0,
        metavar="N",
        help="longest time for the search (default 12)",
    )
    parser.add_argument("--json", action="store_true", help="print the changes as JSON")


def _run(given: Namespace) -> int:
    from dataclasses import replace

    from scheduler.cli.planning import PLAN_NAME, drawable, write_plan_files

    source = given.plan / PLAN_NAME if given.plan.is_dir() else given.plan
    folder = given.out or source.parent
    with progress(quiet=given.json) as step:
        step("Reading scenario, log and published plan")
        published, day = _read(given.scenario, source, given.now)
        found = _replan(day, published, source.parent, given.seconds, step)
        step("Cooling as planned, for the report")
        found = replace(found, plan=drawable(found.plan, found.day, published))
    write_plan_files(found.plan, found.day, folder, found.tables)
    _write_changes(found, folder)
    if given.json:
        write_json(_as_json(found))
    else:
        _tell(found, folder)
    return EXIT_GOOD if found.plan.status.is_ok else EXIT_BROKEN


def _read(scenario: Path, source: Path, now: str) -> tuple[Plan, Day]:
    from scheduler.files import read_scenario
    from scheduler.files.plan_file import read_plan
    from scheduler.files.times import TimeTextError, clock_minutes

    try:
        minute = clock_minutes(now)
    except TimeTextError as error:
        raise CommandError(f"--now: {error}") from None
    day = read_scenario(scenario, now=minute)
    published = read_plan(source)
    if published.day != day.clock.day.isoformat():
        raise CommandError(
            f"{source}: expected a plan of {day.clock.day.isoformat()}, got one of "
            f"{published.day}"
        )
    return published, day


def _replan(
    day: Day, published: Plan, folder: Path, seconds: float, step: Steps
) -> Replan:
    from scheduler.cli.planning import complete
    from scheduler.files.tables_file import TABLES_NAME, read_tables
    from scheduler.replan import frozen_day, known_tables, replan_day
    from scheduler.solve import SEARCHING, SolveConfig

    kept = read_tables(folder / TABLES_NAME)
    known = known_tables(frozen_day(day, published), published, kept)
    step(f"Heat of {len(day.turnarounds) - len(known)} changed turnarounds")
    return replan_day(
        day,
        published,
        SolveConfig(seconds=seconds, apart=True, rescue=folder / "rescue"),
        known=known,
        finish=lambda plan: complete(plan, day),
        tell=step.searching(SEARCHING, seconds),
    )


def _write_changes(found: Replan, folder: Path) -> None:
    import json

    from scheduler.files.atomic import write_text

    text = json.dumps(_as_json(found), indent=2, ensure_ascii=False)
    write_text(folder / CHANGES_NAME, text + "\n")


def _as_json(found: Replan) -> dict[str, Any]:
    from dataclasses import asdict

    now = found.day.now_minute
    return {
        "now_utc": None if now is None else found.day.clock.text(now),
        "status": str(found.plan.status),
        "first_verified_seconds": round(found.first_seconds, 3),
        "changes": [asdict(change) for change in found.changes],
        "unchanged": len(found.plan.turnarounds)
        - len({change.turnaround_id for change in found.changes}),
    }


def _tell(found: Replan, folder: Path) -> None:
    from scheduler.report import print_day
    from scheduler.report.changes_text import print_changes

    print_day(found.plan, output())
    print_changes(found, output())
    write_line(f"\nWritten to {folder}, with {CHANGES_NAME}.")


COMMANDS = (
    Command(
        name="replan",
        summary="plan a day that has begun again, with as little change as possible",
        description=(
            "Read what was logged, keep what has begun and the next minutes as "
            "published, and plan the rest again. Prints the plan and what changes."
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
