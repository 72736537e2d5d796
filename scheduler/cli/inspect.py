"""``heatslot inspect``: what maintenance looks at today, by brake position."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.cli.arguments import number, whole
from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import (
    output,
    progress,
    write_json,
    write_line,
    write_wrapped,
)

if TYPE_CHECKING:
    from scheduler.day import Day
    from scheduler.inspection import Inspection, Thresholds
    from scheduler.ledger import Past


def _add_arguments(parser: ArgumentParser) -> None:
    add = parser.add_argument
    add("scenario", type=Path, metavar="SCENARIO", help="folder with the day's files")
    add("--turnaround", metavar="ID", help="one aircraft; all without it")
    add(
        "--ledger",
        type=Path,
        metavar="FILE",
        help="history per brake position: counts hot stops and oxidation over days",
    )
    add(
        "--record",
        action="store_true",
        help="add this day's stops and findings to the ledger",
    )
    add("--all", action="store_true", help="list items that findings answered, too")
    add("--csv", action="store_true", help="print the items as CSV")
    add("--json", action="store_true", help="print items, figures and counts as JSON")
    add(
        "--hot-stops",
        type=whole(1, 1000),
        default=3,
        metavar="N",
        help="so many hot stops are listed as repeated (default 3)",
    )
    add(
        "--within-days",
        type=whole(1, 3660),
        default=30,
        metavar="D",
        help="days in which they are counted (default 30)",
    )
    add(
        "--oxidation-dose",
        type=number(1e-6, 1e6),
        default=1.0,
        metavar="X",
        help="dose from which a carbon brake is listed; 1 is an hour at 600 °C "
        "(default 1)",
    )
    add(
        "--deicer-factor",
        type=number(1, 100),
        default=1.0,
        metavar="F",
        help="how much faster carbon oxidises after runway de-icers, about 10 "
        "(default 1: none)",
    )
    add(
        "--seed",
        type=whole(0, 2**31 - 1),
        default=1,
        metavar="N",
        help="seed of the samples (default 1, as plan)",
    )


def _run(given: Namespace) -> int:
    from scheduler.files import read_scenario
    from scheduler.inspection import entries_of, inspect_day

    if given.record and given.ledger is None:
        raise CommandError("--record: expected --ledger FILE with it")
    if given.record and given.turnaround is not None:
        raise CommandError("--record: expected the whole day, without --turnaround")
    if given.json and given.csv:
        raise CommandError("expected --json or --csv, got both")
    with progress(quiet=given.json or given.csv) as step:
        step("Reading the scenario")
        day = read_scenario(given.scenario)
        past = _past(day, given)
        step("Heating every brake")
        inspection = inspect_day(
            day,
            past=past,
            thresholds=_thresholds(given),
            seed=given.seed,
            only=given.turnaround,
        )
        added = None
        if given.record:
            from scheduler.ledger import open_ledger

            step("Recording")
            with open_ledger(given.ledger, create=True) as ledger:
                added = ledger.record(entries_of(inspection))
    _show(inspection, given)
    if added is not None and not (given.json or given.csv):
        write_line(f"\nRecorded in {given.ledger}: {added} entries that are new")
    return EXIT_GOOD


def _thresholds(given: Namespace) -> Thresholds:
    from scheduler.inspection import Thresholds

    return Thresholds(
        hot_stops=given.hot_stops,
        within_days=given.within_days,
        oxidation_dose=given.oxidation_dose,
        deicer_factor=given.deicer_factor,
    )


def _past(day: Day, given: Namespace) -> dict[tuple[str, str], Past] | None:
    """Read what the ledger knows of earlier days; None without a ledger."""
    from scheduler.ledger import Window, open_ledger, past_of

    if given.ledger is None:
        return None
    window = Window(station=day.station.name, day=day.clock.day, days=given.within_days)
    with open_ledger(given.ledger, create=given.record) as ledger:
        return past_of(ledger.entries(), window)


def _show(inspection: Inspection, given: Namespace) -> None:
    from scheduler.report import inspection_data, inspection_text
    from scheduler.report.cautions import CAUTIONS

    if given.json:
        write_json(inspection_data.inspection_record(inspection))
        return
    if given.csv:
        write_line(inspection_data.inspection_csv(inspection).removesuffix("\r\n"))
        return
    terminal = output()
    write_wrapped(inspection_text.headline(inspection))
    blocks = inspection_text.aircraft_blocks(
        inspection, every=given.all, width=terminal.width
    )
    for heading, table in blocks:
        write_line("")
        write_wrapped(heading)
        terminal.print(table)
    write_line("")
    for line in inspection_text.note_lines(inspection):
        write_wrapped(line)
    write_line("\nBear in mind")
    for caution in CAUTIONS:
        write_wrapped(caution, "  * ")


COMMANDS = (
    Command(
        name="inspect",
        summary="what maintenance looks at today, by brake position",
        description=(
            "List the brakes to look at, by the operator's position names: plugs, "
            "stacks and wheels beyond their limits, rejected take-offs, readings that "
            "do not fit, repeated hot stops, oxidation. Each with evidence, "
            "probability, whether before departure, and when the figures pass the "
            "operator's own approach threshold. A finding that is logged closes what "
            "it answers."
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
