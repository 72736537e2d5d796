"""Pictures of a plan: the same bytes each time, all that people need, no surprises."""

import re
import sys
from dataclasses import fields
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from scheduler.brief import Brief, Change, RolloutOption
from scheduler.cli.application import main
from scheduler.cli.pictures import check_pictures
from scheduler.cli.registry import CommandError
from scheduler.report.cautions import CAUTIONS
from scheduler.report.plots import (
    FORMATS,
    PlotsMissingError,
    write_brief,
    write_curves,
    write_timeline,
    write_weights,
)
from scheduler.report.plots.rollouts import file_name
from scheduler.tradeoff import Point, WeightCurve
from tests.drawn_plans import drawn_plan, hostile_plan
from tests.scheduler.good_plan import make_day

try:
    import matplotlib as mpl
except ImportError:
    mpl = None

drawn = pytest.mark.skipif(mpl is None, reason="needs matplotlib (extra plots)")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def as_text(monkeypatch):
    """Words in a picture are written as words, so that they can be read here."""
    from scheduler.report.plots import canvas

    monkeypatch.setitem(canvas._SETTINGS, "svg.fonttype", "none")


def option(number: int, **given: object) -> RolloutOption:
    """One rollout, invented."""
    plain = {
        "number": number,
        "label": f"exit A{number}",
        "exit_id": None,
        "target_speed_additive_kt": None,
        "touchdown_m": None,
        "reverse": None,
        "deceleration_m_per_s2": None,
        "automatic_braking_off_kt": None,
        "heat_mj_per_brake": 20.0 + number,
        "runway_seconds": 50.0,
        "stop_margin_m": 100.0,
        "available": True,
        "reason": None,
        "agree_with": ("tower",),
        "brake_ready_minute": 700 + number,
    }
    return RolloutOption(**(plain | given))


def brief(*options: RolloutOption) -> Brief:
    """Brief of the first arrival of a day."""
    day = make_day()
    return Brief(
        day=day,
        turnaround=day.turnarounds[0],
        options=options,
        chosen=1,
        base=1,
        changes=(
            Change(label="x", extra_heat_mj_per_brake=0.0, extra_ground_minutes=0),
        ),
        landed=False,
        touchdown_minute=600,
        valid_until_minute=600,
        assumed=(),
        sample_count=1,
        seed=1,
    )


def weights() -> WeightCurve:
    """Three weights, the heaviest without an off-block in time."""
    day = make_day()
    minutes = ((60_000.0, 700), (61_000.0, 730), (62_000.0, None))
    points = tuple(
        Point(take_off_weight_kg=kg, earliest_off_block_minute=m, binding_limit=None)
        for kg, m in minutes
    )
    given = {
        "day": day,
        "turnaround": day.turnarounds[0],
        "planned": points[0],
        "points": points,
        "assumed": (),
    }
    return WeightCurve(**(dict.fromkeys(field_names(WeightCurve)) | given))


def field_names(record: type) -> list[str]:
    """Names of a record's fields."""
    return [field.name for field in fields(record)]


def words_of(path: Path) -> str:
    """All text of a drawing, in one line."""
    parts = (node.itertext() for node in ET.parse(path).iter(f"{SVG}text"))
    return " ".join(" ".join("".join(part) for part in parts).split())


def all_pictures(folder: Path) -> list[Path]:
    """Every picture, in both formats."""
    plan = drawn_plan()
    return [
        *write_timeline(plan, folder),
        *write_curves(plan, folder),
        *write_weights([weights()], folder),
        *write_brief(brief(option(0), option(1)), folder),
    ]


@drawn
def test_pictures_are_the_same_bytes_each_time(tmp_path):
    """No date, no random name: a picture changes only when the plan does."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    first, again = (all_pictures(tmp_path / name) for name in ("one", "two"))
    assert len(first) == 4 * len(FORMATS)
    assert [one.name for one in first] == [one.name for one in again]
    assert [one.read_bytes() for one in first] == [one.read_bytes() for one in again]
    for path in first:
        assert path.stat().st_size > 5_000
        assert b"<dc:date>" not in path.read_bytes()


@drawn
def test_every_picture_carries_the_cautions(tmp_path, as_text):
    """A picture that is passed on alone says what a report says."""
    for path in all_pictures(tmp_path):
        if path.suffix == ".svg":
            text = words_of(path)
            assert [caution for caution in CAUTIONS if caution not in text] == []


@drawn
def test_timeline_names_every_flight_and_its_times(tmp_path, as_text):
    """Flight, stand, off-block, and what it waits for."""
    plan = drawn_plan()
    text = words_of(write_timeline(plan, tmp_path)[0])
    for row in plan.turnarounds:
        assert row.id in text
        if row.off_block_minute is None:
            assert f"held: {row.waits_for}" in text


@drawn
def test_no_option_without_margin_is_drawn(tmp_path, as_text):
    """An option that is not available is not shown, nor a brief without any."""
    refused = option(2, available=False, reason="stop margin", label="exit far")
    paths = write_brief(brief(option(0), option(1), refused), tmp_path)
    text = words_of(paths[0])
    assert "exit A1" in text
    assert "exit far" not in text
    none = brief(option(0, available=False, reason="stop margin"))
    assert write_brief(none, tmp_path) == ()


@drawn
def test_weight_between_two_points_waits_for_the_heavier(tmp_path, monkeypatch):
    """The line rises at the lighter point already: the later minute counts."""
    from matplotlib.axes import Axes

    asked = []
    monkeypatch.setattr(Axes, "step", lambda *_, **given: asked.append(given["where"]))
    write_weights([weights()], tmp_path)
    assert asked == ["pre"]
    assert write_weights([], tmp_path) == ()


@drawn
def test_any_name_can_be_drawn(tmp_path):
    """Formulas, markup and very long names are text, and no warning."""
    plan = hostile_plan()
    for path in (*write_timeline(plan, tmp_path), *write_curves(plan, tmp_path)):
        assert path.stat().st_size > 5_000


def test_file_names_stay_in_the_folder():
    """A flight's name can lead nowhere else."""
    assert file_name("../../etc/x y") == "-..-etc-x-y"
    assert file_name("..") == "flight"
    assert file_name("TF 1/2") == "TF-1-2"


def test_missing_library_is_told_before_the_planning(tmp_path, monkeypatch, capsys):
    """Without matplotlib the command says what to install, and writes nothing."""
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(PlotsMissingError, match=r"heatslot\[plots\]"):
        check_pictures(tmp_path)
    scenario = str(Path(__file__).parents[2] / "scenarios" / "small-field")
    out = tmp_path / "out"
    words = ["plan", scenario, "--out", str(out), "--plots", str(tmp_path)]
    assert main(words) == 2
    told = capsys.readouterr().err
    assert re.match(r"heatslot: --plots: expected matplotlib", told)
    assert not out.exists()


@drawn
def test_folder_that_is_a_file_is_refused(tmp_path):
    """Nothing is planned for pictures that have nowhere to go."""
    taken = tmp_path / "taken"
    taken.write_text("mine")
    with pytest.raises(CommandError, match="expected a folder"):
        check_pictures(taken)


def test_drawing_library_is_loaded_only_when_asked_for():
    """A plan without pictures must not pay for them."""
    import subprocess

    code = (
        "import sys, scheduler.report.plots, scheduler.cli.pictures\n"
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
