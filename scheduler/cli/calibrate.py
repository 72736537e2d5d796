"""``heatslot calibrate``: recorded cool-downs to a brake file of one's own."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.cli.arguments import number
from scheduler.cli.registry import EXIT_GOOD, Command, CommandError
from scheduler.cli.terminal import (
    output,
    progress,
    write_json,
    write_line,
    write_wrapped,
)

if TYPE_CHECKING:
    from thermal.calibrate import CoolDown, Fit


def _add_arguments(parser: ArgumentParser) -> None:
    add = parser.add_argument
    add("readings", type=Path, metavar="READINGS", help="CSV file of cool-downs")
    add(
        "--brake",
        required=True,
        metavar="NAME",
        help="brake of the catalogue to begin from, or a brake file (.toml)",
    )
    add(
        "--aircraft",
        metavar="NAME",
        help="type of the catalogue, where the file has weight and speed instead of "
        "heat",
    )
    add(
        "--noise-k",
        type=number(0.5, 100, "K"),
        default=10.0,
        metavar="K",
        help="standard deviation of one reading (default 10)",
    )
    add(
        "--out",
        type=Path,
        metavar="FILE",
        help="write the fitted brake to a new brake file (.toml), if the readings "
        "support it",
    )
    add("--force", action="store_true", help="replace a file that is there")
    add("--json", action="store_true", help="print fit and residuals as JSON")


def _run(given: Namespace) -> int:
    from scheduler.files.readings_file import read_readings
    from thermal import load_aircraft, load_brake
    from thermal.calibrate import calibrate

    _check_out(given)
    load_brake(given.brake)
    aircraft = None if given.aircraft is None else load_aircraft(given.aircraft)
    records = read_readings(given.readings, aircraft)
    with progress(quiet=given.json) as step:
        step("Fitting")
        fit = calibrate(given.brake, records, noise_k=given.noise_k)
    _show(fit, records, as_json=given.json)
    if given.out is not None:
        _write(given, fit, records)
    return EXIT_GOOD


def _check_out(given: Namespace) -> None:
    """Stop before the work where the file could not be written anyway."""
    path: Path | None = given.out
    if path is None:
        return
    if path.suffix != ".toml":
        raise CommandError(f"--out: expected a name that ends in .toml, got {path}")
    if path.exists() and not given.force:
        raise CommandError(f"{path} is there already; --force replaces it")
    if not path.parent.is_dir():
        raise CommandError(f"--out: expected a folder that is there, got {path.parent}")


def _write(given: Namespace, fit: Fit, records: tuple[CoolDown, ...]) -> None:
    """Write the brake file, once it was read back as a brake."""
    from tempfile import TemporaryDirectory

    from scheduler.files.atomic import write_text
    from thermal.calibrate import catalogue_text
    from thermal.catalogue import read_brake

    path: Path = given.out
    if fit.refusals:
        reasons = "\n".join(f"  {reason}" for reason in fit.refusals)
        raise CommandError(f"{path} is not written:\n{reasons}")
    count = fit.reading_k.size
    source = f"{given.readings.name}, {count} readings of {len(records)} cool-downs"
    text = catalogue_text(given.brake, fit, name=path.stem, source=source)
    with TemporaryDirectory() as folder:
        trial = Path(folder) / path.name
        trial.write_text(text, encoding="utf-8")
        read_brake(trial)
    write_text(path, text)
    if not given.json:
        write_line(f"\nWritten to {path}. To use it, in fleet.toml beside its type:")
        write_line(
            f'  brake_file = "{path.name}"    # a path from the folder of the day'
        )


def _show(fit: Fit, records: tuple[CoolDown, ...], *, as_json: bool) -> None:
    from scheduler.report import calibration_text as text

    if as_json:
        write_json(text.fit_record(fit, records))
        return
    write_wrapped(text.headline(fit, records))
    write_line("")
    output().print(text.parameter_table(fit))
    for line in text.heat_lines(fit, records):
        write_wrapped(line)
    write_line("")
    for line in text.residual_plot(fit):
        write_line(line)
    write_line("")
    for line in text.not_told_lines(fit):
        write_wrapped(line)
    if fit.refusals:
        write_line("\nNo brake file can be written from this:")
        for reason in fit.refusals:
            write_wrapped(reason, "  * ")
    write_line("")
    write_wrapped(
        "A fitted brake describes what was recorded. Limits and fuse plugs are not "
        "fitted: they are the data of the brake."
    )


COMMANDS = (
    Command(
        name="calibrate",
        summary="fit a brake to recorded cool-downs, and write it as a brake file",
        description=(
            "Fit what is uncertain of a brake to indicated temperatures recorded after "
            "landings whose heat is known. Says how well it fits, how sure each value "
            "is, and what the readings cannot tell. A brake file is written only if "
            "they support it."
        ),
        add_arguments=_add_arguments,
        run=_run,
    ),
)
