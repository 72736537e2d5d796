"""The scenario that ``heatslot new`` writes: commented, and it plans as it is."""

from importlib.resources import files
from pathlib import Path

from scheduler.errors import ScenarioError
from scheduler.files.atomic import write_text

TEMPLATE_FILES = ("station.toml", "fleet.toml", "turnarounds.csv", "weather.csv")


def write_template(folder: Path) -> None:
    """Write the four files of a small invented day into a new or empty folder.

    Parameters
    ----------
    folder : Path
        Created with its parents if it is not there.

    Raises
    ------
    ScenarioError
        If the folder holds anything, or the path is a file.
    """
    if folder.exists() and not folder.is_dir():
        raise ScenarioError.of([f"{folder}: expected a folder, got a file"])
    if folder.is_dir() and any(folder.iterdir()):
        expected = "a new or empty folder"
        raise ScenarioError.of([f"{folder}: expected {expected}, got one with files"])
    folder.mkdir(parents=True, exist_ok=True)
    source = files("scheduler.files") / "templates"
    for name in TEMPLATE_FILES:
        write_text(folder / name, (source / name).read_text(encoding="utf-8"))
