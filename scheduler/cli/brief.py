"""``heatslot brief``: rollout options of an arrival side by side, before it lands."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.cli.arguments import whole
from scheduler.cli.registry import EXIT_BROKEN, EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import (
    output,
    progress,
    write_json,
    write_line,
    write_wrapped,
)

if TYPE_CHECKING:
    from scheduler.brief import Brief, RolloutOption


def _add_arguments(parser: ArgumentParser) -> None:
    add = parser.add_argument
    add("scenario", type=Path, metavar="SCENARIO", help="folder with the day's files")
    add("--turnaround", required=True, metavar="ID", help="the arrival")
    add("--json", action="store_true", help="print the brief as JSON")
    add(
        "--message",
        action="store_true",
        help="print one option as a plain message for radio or datalink",
    )
    add(
        "--option",
        type=whole(0, 999),
        metavar="N",
        help="option of the message (default: the one that is ready first)",
    )
    add("--all", action="store_true", help="list every option")
    add(
        "--seed",
        type=whole(0, 2**31 - 1),
        default=1,
        metavar="N",
        help="seed of the samples (default 1)",
    )


def _run(given: Namespace) -> int:
    from scheduler.brief import compose
    from scheduler.files import read_scenario

    with progress(quiet=given.json or given.message) as step:
        step("Reading the scenario")
        day = read_scenario(given.scenario)
        step("Comparing rollouts")
        brief = compose(day, given.turnaround, seed=given.seed)
    if given.json:
        from scheduler.report.brief_json import brief_record

        write_json(brief_record(brief))
    elif given.message:
        from scheduler.report.brief_message import brief_message

        write_line(brief_message(brief, _to_send(brief, given.option)))
    else:
        _tell(brief, every=given.all)
    return EXIT_BROKEN if brief.chosen is None else EXIT_GOOD


def _to_send(brief: Brief, number: int | None) -> RolloutOption:
    """Option to send; none that is without its stop margin, none after landing."""
    if brief.landed:
        raise CommandError(
            f"{brief.turnaround.id} has landed: there is nothing to send"
        )
    number = brief.chosen if number is None else number
    if number is None:
        raise CommandError("no rollout has the stop margin: there is nothing to send")
    try:
        option = brief.option(number)
    except LookupError:
        last = max(one.number for one in brief.options)
        raise CommandError(f"--option: expected 0 to {last}, got {number}") from None
    if not option.available:
        raise CommandError(f"option {number} is not available: {option.reason}")
    return option


def _tell(brief: Brief, *, every: bool) -> None:
    from scheduler.report import brief_text as text
    from scheduler.report.cautions import CAUTIONS

    write_wrapped(text.brief_headline(brief))
    write_wrapped(text.STOPPING_FIRST)
    write_line("")
    terminal = output()
    terminal.print(text.option_table(brief, every=every, width=terminal.width))
    hidden = sum(one.available for one in brief.options[1:]) - text.SHOWN
    if hidden > 0 and not every:
        write_line(f"{hidden} more options that are ready later: --all")
    refused = list(text.not_available(brief, every=every))
    if refused:
        write_line("\nNot available")
        for line in refused:
            write_wrapped(line, "  * ")
    write_line(f"\nWhat each change costs, against no. {brief.base}")
    for line in text.change_lines(brief):
        write_line(f"  {line}")
    write_wrapped(text.STOPPING_FIRST, "  ")
    for title, lines in (
        ("Assumed of the planned landing", brief.assumed),
        ("Bear in mind", CAUTIONS),
    ):
        write_line(f"\n{title}")
        for line in lines:
            write_wrapped(line, "  * ")


COMMANDS = (
    Command(
        name="brief",
        summary="before a landing: rollout options with heat, minutes, stop margin",
        description=(
            "Compare rollouts of one arrival: exit, reverse thrust, deceleration, "
            "touchdown point and speed, each with brake heat, earliest off-block and "
            "stop margin, and what single changes cost. An option without its stop "
            "margin is never offered. Exit code 1 if none has it."
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
