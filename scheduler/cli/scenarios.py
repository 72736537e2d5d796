"""``heatslot new`` and ``heatslot check``: make a scenario folder, look it over."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scheduler.cli.registry import EXIT_BAD_INPUT, EXIT_GOOD, Command
from scheduler.cli.terminal import write_json, write_line
from scheduler.errors import ScenarioError

if TYPE_CHECKING:
    from scheduler.day import Day


def _add_new_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "folder", type=Path, metavar="DIR", help="folder to make; it must be empty"
    )


def _new(given: Namespace) -> int:
    from scheduler.files import write_template

    write_template(given.folder)
    write_line(f"Written to {given.folder}. Next: heatslot plan {given.folder}")
    return EXIT_GOOD


def _add_check_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "scenario", type=Path, metavar="SCENARIO", help="folder with the day's files"
    )
    parser.add_argument("--json", action="store_true", help="print the result as JSON")


def _check(given: Namespace) -> int:
    from scheduler.files import read_scenario

    try:
        day = read_scenario(given.scenario)
    except ScenarioError as error:
        if not given.json:
            raise
        write_json({"ok": False, "faults": str(error).splitlines()})
        return EXIT_BAD_INPUT
    contents = _contents(day)
    if given.json:
        write_json({"ok": True, "faults": [], **contents})
        return EXIT_GOOD
    write_line(f"{day.name}, {contents['day']}: no faults")
    for label, value in contents.items():
        if label not in ("scenario", "day", "notes"):
            write_line(f"  {label}: {value}")
    for note in day.notes:
        write_line(f"  note: {note}")
    return EXIT_GOOD


def _contents(day: Day) -> dict[str, Any]:
    """Count what a day holds."""
    return {
        "scenario": day.name,
        "day": day.clock.day.isoformat(),
        "turnarounds": len(day.turnarounds),
        "tails": len(day.tails),
        "types": len(day.aircraft),
        "stands": len(day.station.stands),
        "runways": len(day.station.runways),
        "fans": sum(fan.units for fan in day.station.fans),
        "weather_rows": len(day.weather),
        "notes": list(day.notes),
    }


COMMANDS = (
    Command(
        name="new",
        summary="make a scenario folder to fill in; it plans as it is",
        description="Write commented files of a small day into an empty folder.",
        add_arguments=_add_new_arguments,
        run=_new,
    ),
    Command(
        name="check",
        summary="read a scenario folder and list every fault",
        description=(
            "Read a scenario folder without planning. Every fault is one line with "
            "file, line, column, what was expected and what is there."
        ),
        add_arguments=_add_check_arguments,
        run=_check,
    ),
)
