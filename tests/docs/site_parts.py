"""Parts of the site that the program writes itself: command help, names, pictures."""

import os
import tempfile
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import scheduler
import thermal
from scheduler.cli.application import main
from scheduler.cli.registry import commands

ROOT = Path(__file__).parents[2]
SCENARIO = ROOT / "scenarios" / "small-field"
HELP_COLUMNS = "88"
PACKAGES = (scheduler, thermal)


def help_of(words: Sequence[str]) -> str:
    """Help of a command as a pipe gets it, 88 columns wide."""
    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = HELP_COLUMNS
    told = StringIO()
    try:
        with redirect_stdout(told):
            main([*words, "--help"])
    except SystemExit:
        pass
    finally:
        if before is None:
            del os.environ["COLUMNS"]
        else:
            os.environ["COLUMNS"] = before
    return "\n".join(line.rstrip() for line in told.getvalue().splitlines())


def commands_text() -> str:
    """Page with the help of every command."""
    parts = ["Commands\n========\n", _block(help_of([]))]
    for command in commands():
        title = f"heatslot {command.name}"
        parts += [f"{title}\n{'-' * len(title)}\n", _block(help_of([command.name]))]
    return "\n".join(parts)


def api_text(package: object) -> str:
    """Directives for every public name of a package."""
    name = package.__name__
    title = f"``{name}``"
    parts = [f"{title}\n{'=' * len(title)}\n", f"{_summary(package)}\n"]
    for public in package.__all__:
        kind = "class" if isinstance(getattr(package, public), type) else "function"
        if kind == "class" and issubclass(getattr(package, public), Exception):
            kind = "exception"
        parts += [f".. auto{kind}:: {name}.{public}\n"]
    return "\n".join(parts)


def write_commands(folder: Path) -> None:
    """Write the page of commands."""
    _write(folder / "commands.rst", commands_text())


def write_api(folder: Path) -> None:
    """Write a page for each package."""
    for package in PACKAGES:
        _write(folder / f"{package.__name__}.rst", api_text(package))


def write_pictures(folder: Path) -> None:
    """Plan a small day and draw it."""
    words = ["plan", str(SCENARIO), "--seconds", "2", "--plots", str(folder)]
    with tempfile.TemporaryDirectory() as out, redirect_stdout(StringIO()):
        with redirect_stderr(StringIO()) as told:
            code = main([*words, "--out", str(Path(out) / "plan")])
        if code:
            raise RuntimeError(told.getvalue())


def _summary(package: object) -> str:
    return (package.__doc__ or "").strip().splitlines()[0]


def _block(text: str) -> str:
    lines = "\n".join(f"   {line}".rstrip() for line in text.splitlines())
    return f".. code-block:: text\n\n{lines}\n"


def _write(path: Path, text: str) -> None:
    """Leave a page alone that has not changed, so that it is not built again."""
    if not path.exists() or path.read_text(encoding="utf-8") != text:
        path.write_text(text, encoding="utf-8")
