"""The scenario that a new folder starts with."""

import pytest

from scheduler.errors import ScenarioError
from scheduler.files import read_scenario, write_template
from scheduler.files.template import TEMPLATE_FILES


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
