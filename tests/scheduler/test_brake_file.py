"""A type of the fleet with a brake file of its own, beside fleet.toml."""

from importlib.resources import files
from pathlib import Path

import pytest

from scheduler.cases import build_case
from scheduler.errors import ScenarioError
from scheduler.files import read_scenario, write_template
from thermal.catalogue import brake_path, load_brake


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Sample scenario with a brake file that differs from the catalogue's."""
    folder = tmp_path / "day"
    write_template(folder)
    shipped = Path(str(files("thermal") / "data" / "brakes" / "carbon-narrow.toml"))
    text = shipped.read_text(encoding="utf-8")
    for old, new in (
        ('name = "carbon-narrow"', 'name = "own"'),
        ("joint_w_per_m2_k = { value = 1000.0", "joint_w_per_m2_k = { value = 900.0"),
    ):
        text = text.replace(old, new)
    (folder / "own.toml").write_text(text, encoding="utf-8")
    return folder


def with_line(folder: Path, line: str) -> Path:
    """Fleet whose first type has one more line."""
    path = folder / "fleet.toml"
    text = path.read_text(encoding="utf-8")
    head = next(one for one in text.splitlines() if one.startswith("[types."))
    path.write_text(text.replace(head, f"{head}\n{line}", 1), encoding="utf-8")
    return folder


def test_the_brake_of_the_file_is_heated(folder):
    """The type's turnarounds get the file's brake, from wherever the day is read."""
    day = read_scenario(with_line(folder, 'brake_file = "own.toml"'))
    own = str((folder / "own.toml").resolve())
    (changed,) = [one for one in day.aircraft if one.brake == own]
    one = next(t for t in day.turnarounds if day.aircraft_of(t).name == changed.name)
    case = build_case(day, one, sample_count=1, seed=1, central=True)
    assert case.brake.name == "own"
    assert case.brake.joint_w_per_m2_k == 900.0


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('brake_file = "none.toml"', "expected a brake file that can be read"),
        ('brake_file = "station.toml"', "expected a brake file that can be read"),
        ('brake_file = "own.csv"', "expected a brake file (.toml)"),
        (
            'brake = "carbon-wide"\nbrake_file = "own.toml"',
            "expected brake or brake_file, not both",
        ),
    ],
)
def test_what_is_no_brake_file_is_a_fault(folder, line, fault):
    """Told at the line of the key."""
    with pytest.raises(ScenarioError) as caught:
        read_scenario(with_line(folder, line))
    (text,) = str(caught.value).splitlines()
    assert text.startswith("fleet.toml:")
    assert ".brake_file: " in text
    assert fault in text


def test_a_path_is_a_brake_too(folder):
    """Where a brake is asked for by name, a .toml file serves as well."""
    path = str(folder / "own.toml")
    assert load_brake(path).joint_w_per_m2_k == 900.0
    assert brake_path(path) == folder / "own.toml"
    assert brake_path("carbon-narrow").name == "carbon-narrow.toml"
