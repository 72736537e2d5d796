"""``heatslot verify`` and ``heatslot report``: read a plan that was written before."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.cli.registry import EXIT_BROKEN, EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import output, progress, write_json, write_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.certificate import Certificate
    from scheduler.day import Day
    from scheduler.plan import Plan
    from scheduler.verify import Violation


def _add_plan_argument(parser: ArgumentParser) -> None:
    parser.add_argument(
        "plan", type=Path, metavar="PLAN", help="a plan.json, or the folder with it"
    )


def _add_verify_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "scenario", type=Path, metavar="SCENARIO", help="folder with the day's files"
    )
    _add_plan_argument(parser)
    parser.add_argument(
        "--bound",
        action="store_true",
        help="also compute a lower bound on the delay cost again, from prices",
    )
    parser.add_argument("--json", action="store_true", help="print the result as JSON")


def _verify(given: Namespace) -> int:
    from dataclasses import asdict

    from scheduler.files import read_scenario
    from scheduler.files.plan_file import read_plan
    from scheduler.verify import check

    with progress(quiet=given.json) as step:
        step("Reading scenario and plan")
        day = read_scenario(given.scenario)
        plan = read_plan(_plan_path(given.plan))
        step("Checking every rule again")
        violations = check(day, plan)
        bound = None
        if given.bound:
            step("Computing the bound again")
            bound = _bound(day, plan, _plan_path(given.plan).parent)
    if given.json:
        found = [asdict(violation) for violation in violations]
        result = {"ok": not violations, "violations": found}
        write_json(result if bound is None else {**result, "bound": asdict(bound)})
    else:
        for violation in violations:
            write_line(str(violation))
        write_line(_verdict(len(violations), len(plan.turnarounds)))
        if bound is not None:
            write_line(_bound_text(bound))
    _draw_again(plan, day, violations, _plan_path(given.plan).parent)
    is_good = not violations and (bound is None or bound.holds)
    return EXIT_GOOD if is_good else EXIT_BROKEN


def _draw_again(
    plan: Plan, day: Day, violations: Sequence[Violation], folder: Path
) -> None:
    """Write the page of a plan anew, with what is wrong with it at its top.

    What a plan of an earlier release lacks to be drawn comes from the day.
    """
    from scheduler.cli.planning import PAGE_NAME
    from scheduler.report import with_surroundings
    from scheduler.report.page import write_page

    found = tuple(str(violation) for violation in violations)
    path = folder / PAGE_NAME
    try:
        drawn = plan if plan.program else with_surroundings(plan, day)
        write_page(drawn, path, violations=found)
    except OSError as error:
        sys.stderr.write(f"{path}: not written: {error.strerror}\n")


def _bound(day: Day, plan: Plan, folder: Path) -> Certificate:
    """Compute the bound from the tables beside the plan, or from new ones."""
    from scheduler.certificate import certify
    from scheduler.files.tables_file import TABLES_NAME, read_tables
    from scheduler.inspection import with_inspections
    from scheduler.readiness import build_tables
    from scheduler.replan import known_tables
    from scheduler.solve import SolveConfig

    known = known_tables(day, plan, read_tables(folder / TABLES_NAME))
    config = SolveConfig(seed=plan.seed, sample_count=plan.sample_count)
    found_tables = with_inspections(day, build_tables(day, config, known=known))
    tables = [table for table, _ in found_tables]
    found = certify(day, tables, plan)
    if found is None:
        raise CommandError("no bound: nothing of the day is open, or it took too long")
    return found


def _bound_text(bound: Certificate) -> str:
    word = "in order" if bound.holds else "NOT in order"
    return (
        f"Delay cost {bound.value}; no plan costs less than {bound.bound} "
        f"({bound.exact_bound:.2f} from prices of the rows, "
        f"{100 * bound.gap:.1f} % below); the plan claims {bound.claimed}: {word}."
    )


def _verdict(violations: int, turnarounds: int) -> str:
    over = f"{turnarounds} turnaround{'s' if turnarounds != 1 else ''}"
    if violations == 0:
        return f"No violation found in {over}."
    return f"{violations} violation{'s' if violations != 1 else ''} in {over}."


def _add_report_arguments(parser: ArgumentParser) -> None:
    _add_plan_argument(parser)
    parser.add_argument(
        "--html", type=Path, metavar="FILE", help="draw the page of the plan again"
    )
    parser.add_argument("--json", action="store_true", help="print the plan as JSON")


def _report(given: Namespace) -> int:
    from scheduler.files.plan_file import plan_text, read_plan
    from scheduler.report import print_day
    from scheduler.report.words import clock_of

    plan = read_plan(_plan_path(given.plan))
    if given.html is not None:
        _draw(plan, given.html, _plan_path(given.plan))
    if given.json:
        write_line(plan_text(plan, clock_of(plan)).rstrip("\n"))
    elif given.html is not None:
        write_line(f"Written to {given.html}")
    else:
        print_day(plan, output())
    return EXIT_GOOD if plan.status.is_ok else EXIT_BROKEN


def _draw(plan: Plan, path: Path, source: Path) -> None:
    """Write the page, but never over the plan that it is drawn from."""
    from scheduler.report.page import write_page

    if path.is_dir() or path.resolve() == source.resolve():
        raise CommandError(f"--html: expected a file for the page, got {path}")
    if not path.parent.is_dir():
        raise CommandError(
            f"--html: expected a folder that is there, got {path.parent}"
        )
    write_page(plan, path)


def _plan_path(given: Path) -> Path:
    return given / "plan.json" if given.is_dir() else given


COMMANDS = (
    Command(
        name="verify",
        summary="check a plan against its scenario, rule by rule",
        description=(
            "Check every rule of a plan again, with other code than the one that "
            "made it, and list everything that is broken. Draws report.html beside "
            "the plan again, with what is broken at its top."
        ),
        add_arguments=_add_verify_arguments,
        run=_verify,
    ),
    Command(
        name="report",
        summary="print or draw the report of a plan again",
        description=(
            "Print day table, gate messages and action list of a plan.json, or with "
            "--html write its page; nothing else is read."
        ),
        add_arguments=_add_report_arguments,
        run=_report,
    ),
)
