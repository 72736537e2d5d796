"""The scenario that a new folder starts with."""

import re
from pathlib import Path

import pytest

from scheduler.errors import ScenarioError
from scheduler.files import read_scenario, write_template
from scheduler.files import station_schema as schema
from scheduler.files.template import TEMPLATE_FILES

# A key or a header behind "#"; sentences begin otherwise.
UNUSED = re.compile(r"^# (?=[a-z_]+ = |\"|\[)", re.MULTILINE)
MODELS = (
    schema.StationKeys,
    schema.RunwayKeys,
    schema.StandKeys,
    schema.FanKeys,
    schema.OutageKeys,
    schema.ZoneMoveKeys,
    schema.CrewKeys,
    schema.CurfewKeys,
)


def use_all(folder: Path) -> str:
    """Write the template with every key in use; the text of its station."""
    write_template(folder)
    for name in ("station.toml", "fleet.toml"):
        text = (folder / name).read_text(encoding="utf-8")
        (folder / name).write_text(UNUSED.sub("", text), encoding="utf-8")
    slots = "from_utc,minutes,take_offs,runway\n00:00,1440,300,24\n"
    (folder / "slots.csv").write_text(slots, encoding="utf-8")
    return (folder / "station.toml").read_text(encoding="utf-8")


def test_template_reads_as_it_is(tmp_path):
    """The template in a new folder is a good day of five turnarounds."""
    folder = tmp_path / "deep" / "new"
    write_template(folder)
    day = read_scenario(folder)
    assert sorted(path.name for path in folder.iterdir()) == sorted(TEMPLATE_FILES)
    assert (day.name, len(day.turnarounds), len(day.tails)) == ("new", 5, 5)


def test_template_has_no_stand_conflict(tmp_path):
    """On each stand of the template an aircraft is due out before the next is in."""
    write_template(tmp_path)
    day = read_scenario(tmp_path)
    for first in day.turnarounds:
        for other in day.turnarounds:
            if other.stand == first.stand and other.id > first.id:
                assert first.target_off_block_minute < other.in_block_minute


def test_template_reads_with_every_key_in_use(tmp_path):
    """Whoever takes the "#" away from a key has a key that works."""
    use_all(tmp_path)
    day = read_scenario(tmp_path)
    station = day.station
    assert station.exact_moves
    assert station.slots_only
    assert station.wake is not None
    assert station.crews[0].count == 2
    assert station.fans[0].outages[0].units == 1
    assert day.wake_of(day.turnarounds[0]) == "M"


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_template_shows_every_key(tmp_path, model):
    """Every key of a station is in the template, used or behind "#"."""
    keys = set(
        re.findall(
            r"^([a-z_]+) = |^\[+(?:fans\.|runways\.)?([a-z_]+)\]",
            use_all(tmp_path),
            re.MULTILINE,
        )
    )
    names = {name for pair in keys for name in pair}
    assert set(model.model_fields) - names == set()


def test_template_leaves_a_filled_folder_alone(tmp_path):
    """A folder with a file in it is refused and stays as it was."""
    (tmp_path / "note.txt").write_text("mine")
    with pytest.raises(ScenarioError) as raised:
        write_template(tmp_path)
    assert str(raised.value) == (
        f"{tmp_path}: expected a new or empty folder, got one with files"
    )
    assert [path.name for path in tmp_path.iterdir()] == ["note.txt"]


def test_template_refuses_a_file(tmp_path):
    """A path that is a file is refused."""
    path = tmp_path / "taken"
    path.write_text("mine")
    with pytest.raises(ScenarioError) as raised:
        write_template(path)
    assert str(raised.value) == f"{path}: expected a folder, got a file"
