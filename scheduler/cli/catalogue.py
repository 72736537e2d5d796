"""``heatslot catalogue``: the brakes and aircraft that are known, and their numbers."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING, Any

from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import output, write_json, write_line

if TYPE_CHECKING:
    from thermal.aircraft import Aircraft
    from thermal.brake import Brake
    from thermal.catalogue import Entry

_EXAMPLES = "heatslot catalogue; heatslot catalogue carbon-narrow --explain"


def _add_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "name",
        nargs="?",
        metavar="NAME",
        help="a brake or an aircraft: all its numbers with unit, range and source",
    )
    parser.add_argument(
        "--explain",
        nargs="?",
        const="",
        metavar="NAME",
        help="the network derived from a brake's dimensions: nodes, links, surfaces",
    )
    parser.add_argument("--json", action="store_true", help="print it as JSON")


def _run(given: Namespace) -> int:
    if given.explain is not None:
        name = given.explain or given.name
        if not name or given.name not in (None, name):
            raise CommandError("--explain: expected one name of a brake or an aircraft")
        from scheduler.cli.network_table import network_record, print_network

        record = network_record(_brake_named(name))
        _show(record, print_network, as_json=given.json)
    elif given.name is not None:
        _show(_numbers(given.name), _print_numbers, as_json=given.json)
    else:
        _show(_listed(), _print_list, as_json=given.json)
    return EXIT_GOOD


def _show(record: dict[str, Any], write: Any, *, as_json: bool) -> None:
    (write_json if as_json else write)(record)


def _kind_of(name: str) -> str:
    from thermal.catalogue import known_aircraft, known_brakes

    for kind, known in (("brakes", known_brakes()), ("aircraft", known_aircraft())):
        if name in known:
            return kind
    both = ", ".join((*known_brakes(), *known_aircraft()))
    raise CommandError(f"catalogue: expected one of {both}, got {name!r}")


def _brake_named(name: str) -> Brake:
    """Brake of that name, or the one of the aircraft of that name."""
    from thermal.catalogue import load_aircraft, load_brake

    if _kind_of(name) == "aircraft":
        return load_brake(load_aircraft(name).brake)
    return load_brake(name)


def _listed() -> dict[str, Any]:
    from thermal.catalogue import (
        known_aircraft,
        known_brakes,
        load_aircraft,
        load_brake,
    )

    return {
        "brakes": [_brake_line(load_brake(name)) for name in known_brakes()],
        "aircraft": [_aircraft_line(load_aircraft(name)) for name in known_aircraft()],
    }


def _brake_line(brake: Brake) -> dict[str, Any]:
    from thermal.units import celsius

    return {
        "name": brake.name,
        "stack_material": brake.stack_material,
        "rotors": brake.rotor_count,
        "stack_kg": round(brake.stack_mass_kg, 1),
        "stack_limit_kj_per_kg": round(brake.limits.stack_j_per_kg / 1e3),
        "indicated_limit_c": round(float(celsius(brake.limits.indicated_k))),
        "plug_release_c": round(float(celsius(brake.plug.release_k))),
    }


def _aircraft_line(aircraft: Aircraft) -> dict[str, Any]:
    return {
        "name": aircraft.name,
        "brake": aircraft.brake,
        "brakes": aircraft.brake_count,
        "maximum_landing_kg": round(aircraft.maximum_landing_kg),
        "maximum_take_off_kg": round(aircraft.maximum_take_off_kg),
    }


def _print_list(record: dict[str, Any]) -> None:
    write_line("Brakes")
    for one in record["brakes"]:
        write_line(
            f"  {one['name']:15} {one['stack_material']:7}"
            f"stack {one['stack_kg']:5.1f} kg, limit {one['stack_limit_kj_per_kg']} "
            f"kJ/kg, indicated to {one['indicated_limit_c']} °C, "
            f"plugs release at {one['plug_release_c']} °C"
        )
    write_line("\nAircraft")
    for one in record["aircraft"]:
        write_line(
            f"  {one['name']:15} {one['brakes']:2} × {one['brake']:14} "
            f"landing to {one['maximum_landing_kg']} kg, "
            f"take-off to {one['maximum_take_off_kg']} kg"
        )
    write_line(
        "\nGeneric types, no certified data. One with all its numbers: heatslot "
        "catalogue NAME"
    )


def _numbers(name: str) -> dict[str, Any]:
    from thermal.catalogue import entries

    kind = _kind_of(name)
    return {
        "name": name,
        "kind": kind,
        "numbers": [_entry(item) for item in entries(kind, name)],
    }


def _entry(item: Entry) -> dict[str, Any]:
    return {
        "key": item.key,
        "value": item.value,
        "unit": item.unit,
        "low": item.low,
        "high": item.high,
        "source": item.source,
    }


def _print_numbers(record: dict[str, Any]) -> None:
    from rich.table import Table

    write_line(f"{record['name']}, {record['kind']}")
    table = Table(box=None, pad_edge=False, show_edge=False)
    for label in ("number", "value", "unit", "from", "to", "source"):
        if label in ("value", "from", "to"):
            table.add_column(label, justify="right", overflow="fold")
        else:
            table.add_column(label, overflow="fold")
    for item in record["numbers"]:
        table.add_row(
            item["key"],
            _figure(item["value"]),
            "" if item["unit"] == "1" else item["unit"],
            _figure(item["low"]),
            _figure(item["high"]),
            item["source"],
        )
    output().print(table)


def _figure(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(_figure(item) for item in value)
    return f"{value:.10g}"


COMMANDS = (
    Command(
        name="catalogue",
        summary="brakes and aircraft that are known, with every number and its source",
        description=(
            "List the brakes and aircraft of the catalogue; with a name, every number "
            "with unit, range and source; with --explain, the network that is derived "
            f"from a brake's dimensions. Examples: {_EXAMPLES}"
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
