"""``heatslot single``: one aircraft, no folder; does it make its off-block."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from scheduler.cli.arguments import clock_minute, minute_after, number, whole
from scheduler.cli.registry import EXIT_BROKEN, EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import write_json, write_line, write_wrapped

if TYPE_CHECKING:
    from argparse import _ArgumentGroup

    from scheduler.day import Reading
    from scheduler.single import Answer, Question

_EXAMPLE = (
    "heatslot single --aircraft twin-72 --landed 14:02 --indicated 250@14:12 "
    "--off-block 14:50"
)
_COLDEST_C, _HOTTEST_C = -60.0, 1500.0


def _add_arguments(parser: ArgumentParser) -> None:
    add = parser.add_argument
    add("--aircraft", required=True, metavar="NAME", help="type in the catalogue")
    add("--landed", required=True, metavar="HH:MM", help="touchdown, UTC")
    add("--date", metavar="YYYY-MM-DD", help="day of the landing, UTC (default today)")
    add(
        "--indicated",
        action="append",
        default=[],
        metavar="T@HH:MM",
        help="indicated temperature in °C and when, of the hottest brake; may repeat",
    )
    add("--off-block", metavar="HH:MM", help="off-block that is hoped for")
    _add_landing(parser.add_argument_group("landing, as far as it is known"))
    _add_departure(parser.add_argument_group("stand and departure"))
    add("--json", action="store_true", help="print the answer as JSON")


def _add_landing(group: _ArgumentGroup) -> None:
    add = group.add_argument
    add("--landing-weight-kg", type=number(1e3, 1e6, "kg"), metavar="KG")
    add("--touchdown-kt", type=number(60, 220, "kt"), metavar="KT")
    add(
        "--deceleration",
        type=number(0.5, 5, "m/s2"),
        metavar="A",
        help="held on the runway, m/s2",
    )
    add("--reverse", choices=("none", "idle", "full"), help="reverse thrust used")
    add("--taxi-in-minutes", type=whole(0, 60, "minutes"), metavar="N")
    add(
        "--wear",
        type=number(0, 1),
        metavar="F",
        help="wear of all brakes, 0 new to 1 fully worn (default 1)",
    )


def _add_departure(group: _ArgumentGroup) -> None:
    add = group.add_argument
    add("--ambient-c", type=number(-60, 55, "°C"), metavar="T", help="air temperature")
    add(
        "--elevation-m",
        type=number(-400, 5000, "m"),
        default=0.0,
        metavar="M",
        help="elevation of the aerodrome (default 0)",
    )
    add("--take-off-weight-kg", type=number(1e3, 1e6, "kg"), metavar="KG")
    add("--taxi-out-minutes", type=whole(0, 90, "minutes"), metavar="N")
    add(
        "--fan-from",
        metavar="HH:MM",
        help="first minute of fan air (default ten minutes after the last reading)",
    )
    add(
        "--fan-minutes",
        type=whole(5, 120, "minutes"),
        default=30,
        metavar="N",
        help="minutes of fan air (default 30)",
    )
    add(
        "--fan-m-per-s",
        type=number(0.5, 30, "m/s"),
        default=8.0,
        metavar="V",
        help="air speed through the brakes (default 8)",
    )
    add(
        "--fan-remote",
        action="store_true",
        help="the fan needs nobody at the wheels",
    )
    add(
        "--plug-check",
        metavar="HH:MM",
        help="when fuse plugs and tyres were checked and found good",
    )


def _run(given: Namespace) -> int:
    from scheduler.report.single_json import answer_record
    from scheduler.single import answer

    found = answer(_question(given))
    if given.json:
        write_json(answer_record(found))
    else:
        _tell(found)
    return EXIT_BROKEN if found.makes_off_block is False else EXIT_GOOD


def _question(given: Namespace) -> Question:
    from scheduler.clock import Clock
    from scheduler.day import Departure, Landing, Reverse
    from scheduler.single import Question
    from thermal.units import KNOT_M_PER_S, kelvin

    landed = _minute("--landed", given.landed)
    knots, ambient_c = given.touchdown_kt, given.ambient_c

    def later(option: str, text: str | None) -> int | None:
        return None if text is None else minute_after(_minute(option, text), landed)

    return Question(
        clock=Clock(day=_day(given.date)),
        aircraft=given.aircraft,
        landed_minute=landed,
        readings=tuple(_reading(text, landed) for text in given.indicated),
        off_block_minute=later("--off-block", given.off_block),
        landing=Landing(
            weight_kg=given.landing_weight_kg,
            touchdown_speed_m_per_s=None if knots is None else knots * KNOT_M_PER_S,
            reverse=None if given.reverse is None else Reverse(given.reverse),
            deceleration_m_per_s2=given.deceleration,
            taxi_in_minutes=given.taxi_in_minutes,
        ),
        departure=Departure(
            take_off_weight_kg=given.take_off_weight_kg,
            taxi_out_minutes=given.taxi_out_minutes,
        ),
        ambient_k=None if ambient_c is None else float(kelvin(ambient_c)),
        elevation_m=given.elevation_m,
        wear=given.wear,
        fan_from_minute=later("--fan-from", given.fan_from),
        fan_minutes=given.fan_minutes,
        fan_m_per_s=given.fan_m_per_s,
        fan_remote=given.fan_remote,
        check_minute=later("--plug-check", given.plug_check),
    )


def _day(text: str | None) -> date:
    if text is None:
        return datetime.now(UTC).date()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CommandError(f"--date: expected YYYY-MM-DD, got {text!r}") from None


def _minute(option: str, text: str) -> int:
    minute = clock_minute(text)
    if minute is None:
        raise CommandError(f"{option}: expected HH:MM in UTC, got {text!r}")
    return minute


def _reading(text: str, landed: int) -> Reading:
    from scheduler.day import Reading
    from scheduler.single.question import TURNAROUND
    from thermal.units import kelvin

    degrees, _, time = text.partition("@")
    minute = clock_minute(time)
    try:
        indicated_c = float(degrees)
    except ValueError:
        indicated_c = float("nan")
    if minute is None or not _COLDEST_C <= indicated_c <= _HOTTEST_C:
        raise CommandError(
            f"--indicated: expected °C@HH:MM, for example 420@14:12, got {text!r}"
        )
    return Reading(
        turnaround_id=TURNAROUND,
        minute=minute_after(minute, landed),
        indicated_k=float(kelvin(indicated_c)),
    )


def _tell(found: Answer) -> None:
    """Print the answer, what it rests on, what was assumed, and the cautions."""
    from scheduler.report.cautions import CAUTIONS
    from scheduler.report.single_text import headline, notes

    write_wrapped(headline(found))
    write_line("")
    for note in notes(found):
        write_wrapped(note, "  ")
    for title, lines in (("Assumed", found.assumed), ("Bear in mind", CAUTIONS)):
        write_line(f"\n{title}")
        for line in lines:
            write_wrapped(line, "  * ")


COMMANDS = (
    Command(
        name="single",
        summary="one aircraft, no folder: does it make its off-block, and with a fan",
        description=(
            "From one landing and what the indicator shows: the earliest off-block "
            "with its limit, with and without a fan, plug risk, and what was assumed. "
            "Times are UTC; one that lies before the landing is of the next day. Exit "
            "code 1 if the off-block is not made; a fan counts for it where --fan-from "
            f"is given. Example: {_EXAMPLE}"
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
