"""``heatslot cooldown``: one brake with a given heat, and how it cools."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from scheduler.cli.arguments import number, whole
from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import progress, write_line, write_wrapped

if TYPE_CHECKING:
    from scheduler.cooldown import Cooldown, CooldownResult, LimitTime
    from thermal.sensitivity import Sensitivity

_EXAMPLE = (
    "heatslot cooldown --brake carbon-narrow --energy-mj 25 --ambient-c 20 --hours 3"
)
_SHOWN_MINUTES = (1, 2, 5, 10, 15, 20, 30, 40, 50, 60, 75, 90, 120, 150, 180, 240)
_HEADS = ("minute", "stack", "hottest", "wheel", "plug", "indicated")


def _add_arguments(parser: ArgumentParser) -> None:
    add = parser.add_argument
    add("--brake", required=True, metavar="NAME", help="a brake of the catalogue")
    add("--energy-mj", required=True, type=number(0, 500, "MJ"), metavar="E")
    add("--ambient-c", required=True, type=number(-60, 60, "°C"), metavar="T")
    add(
        "--hours",
        type=number(0.1, 48, "hours"),
        default=3.0,
        metavar="H",
        help="how long to look (default 3)",
    )
    add(
        "--wind-m-per-s",
        type=number(0, 40, "m/s"),
        default=0.0,
        metavar="W",
        help="wind at the wheel (default none)",
    )
    add(
        "--wear",
        type=number(0, 1),
        metavar="F",
        help="0 new (default) to 1 fully worn; drawn for --sensitivity if not given",
    )
    add("--brakes-set", action="store_true", help="parking brake on all the time")
    add(
        "--fan-from-minutes",
        type=number(0.5, 2880, "minutes"),
        metavar="A",
        help="ground fan from so many minutes after the brakes came on",
    )
    add(
        "--fan-minutes",
        type=number(1, 2880, "minutes"),
        metavar="B",
        help="how long it blows (default 30)",
    )
    add(
        "--fan-m-per-s",
        type=number(0.5, 40, "m/s"),
        default=8.0,
        metavar="V",
        help="air speed through the brake (default 8)",
    )
    add(
        "--deicer-factor",
        type=number(1, 100),
        default=1.0,
        metavar="D",
        help="how much faster carbon oxidises after runway de-icers, about 10 "
        "(default 1: none)",
    )
    add(
        "--sensitivity",
        action="store_true",
        help="also tell which unknown input moves brake-ready most",
    )
    add(
        "--seed",
        type=whole(0, 2**31 - 1),
        default=1,
        metavar="S",
        help="of the draws for --sensitivity (default 1)",
    )
    add(
        "--json",
        action="store_true",
        help="print network, heat and curves, enough to integrate it again",
    )


def _run(given: Namespace) -> int:
    from scheduler.cooldown import cool_down, influence_of_inputs, sensitivity_rows

    asked = _asked(given)
    result = cool_down(asked)
    found = None
    if given.sensitivity:
        with progress(quiet=given.json) as step:
            step("drawing the inputs")
            found = influence_of_inputs(
                asked, is_wear_known=given.wear is not None, seed=given.seed
            )
    if given.json:
        rows = {} if found is None else {"sensitivity": sensitivity_rows(found)}
        write_line(json.dumps({**result.record, **rows}, ensure_ascii=False))
    else:
        _tell(given, result, found)
    return EXIT_GOOD


def _asked(given: Namespace) -> Cooldown:
    from scheduler.cooldown import Cooldown
    from thermal.units import MINUTE_S, kelvin

    duration_s = given.hours * 3600.0
    start, length = given.fan_from_minutes, given.fan_minutes
    if start is None and length is not None:
        raise CommandError("--fan-minutes: expected --fan-from-minutes with it")
    fan_s = (30.0 if length is None else length) * MINUTE_S
    if start is not None and start * MINUTE_S + fan_s > duration_s:
        raise CommandError(
            f"--fan-from-minutes: expected the fan to end by hour {given.hours:g}"
        )
    return Cooldown(
        brake=given.brake,
        energy_j=given.energy_mj * 1e6,
        ambient_k=float(kelvin(given.ambient_c)),
        duration_s=duration_s,
        wind_m_per_s=given.wind_m_per_s,
        wear=given.wear or 0.0,
        brakes_set=given.brakes_set,
        fan_from_s=None if start is None else start * MINUTE_S,
        fan_s=fan_s,
        fan_m_per_s=given.fan_m_per_s,
        deicer_factor=given.deicer_factor,
    )


def _tell(given: Namespace, result: CooldownResult, found: Sensitivity | None) -> None:
    from scheduler.cli.sensitivity_table import tell_sensitivity
    from scheduler.report.cautions import CAUTIONS

    write_wrapped(_heading(given))
    write_line("")
    _tell_curves(result)
    write_line("\nLimits of the brake data")
    for limit in result.limits:
        write_line(f"  {_limit_text(limit)}")
    write_line("")
    write_wrapped(f"Oxidation: {_dose_text(given, result)}")
    if found is not None:
        tell_sensitivity(found)
    write_line("\nBear in mind")
    for caution in CAUTIONS:
        write_wrapped(caution, "  * ")


def _heading(given: Namespace) -> str:
    air = "still air"
    if given.wind_m_per_s:
        air = f"{given.wind_m_per_s:g} m/s of wind"
    fan = ""
    if given.fan_from_minutes is not None:
        end = given.fan_from_minutes + (given.fan_minutes or 30)
        fan = (
            f", a fan with {given.fan_m_per_s:g} m/s from minute "
            f"{given.fan_from_minutes:g} to {end:g}"
        )
    return (
        f"{given.brake}: {given.energy_mj:g} MJ in a stop of 30 s with linearly "
        f"falling power, wear {given.wear or 0:g}; then {air} of "
        f"{given.ambient_c:g} °C, brakes "
        f"{'set' if given.brakes_set else 'released'}{fan}. One brake in the middle of "
        "all ranges, no safety added."
    )


def _tell_curves(result: CooldownResult) -> None:
    """Print the curves at a few minutes after the brakes came on, °C."""
    from thermal.units import MINUTE_S, celsius

    curve = result.curve
    values = [
        celsius(rows[0])
        for rows in (
            curve.stack_k,
            curve.hottest_k,
            curve.node_k("wheel inboard"),
            curve.plug_k,
            curve.indicated_k,
        )
    ]
    write_line("".join(f"{head:>10}" for head in _HEADS) + "   (°C)")
    whole = {round(at): k for k, at in enumerate(curve.time_s / MINUTE_S * 1000)}
    last = int(curve.time_s[-1] / MINUTE_S)
    for minute in (*_SHOWN_MINUTES, *range(300, last + 1, 60)):
        place = whole.get(1000 * minute)
        if place is not None:
            cells = "".join(f"{column[place]:10.0f}" for column in values)
            write_line(f"{minute:10d}{cells}")


def _limit_text(limit: LimitTime) -> str:
    from thermal.units import MINUTE_S, celsius

    bound, peak = float(celsius(limit.limit_k)), float(celsius(limit.peak_k))
    text = (
        f"{limit.name}, {bound:.0f} °C: peak {peak:.0f} °C at minute "
        f"{limit.peak_s / MINUTE_S:.0f}, "
    )
    if limit.above_from_s is None or limit.above_to_s is None:
        return f"{text}not reached"
    first, last = limit.above_from_s / MINUTE_S, limit.above_to_s / MINUTE_S
    return f"{text}above it from minute {first:.0f} to {last:.0f}"


def _dose_text(given: Namespace, result: CooldownResult) -> str:
    from thermal.oxidation import PLAIN_CARBON
    from thermal.units import celsius

    if result.oxidation_dose is None:
        return f"not applicable to a stack of {result.brake.stack_material}."
    reference = float(celsius(PLAIN_CARBON.reference_k))
    salt = ""
    if given.deicer_factor > 1:
        salt = f", {given.deicer_factor:g} times as fast after de-icers"
    return (
        f"hottest disc {result.oxidation_dose:.2g} of an hour at {reference:.0f} °C "
        f"without de-icer{salt}. A dose to compare landings with, no life."
    )


COMMANDS = (
    Command(
        name="cooldown",
        summary="one brake with a given heat: its temperatures over the hours",
        description=(
            "Heat one brake of the catalogue as a landing does, with a power that "
            "falls linearly over 30 s, and let it cool in still air, wind or a fan's "
            "air. With --json the network and the curves, in the units the keys name, "
            f"so that any other tool can integrate it again. Example: {_EXAMPLE}"
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
