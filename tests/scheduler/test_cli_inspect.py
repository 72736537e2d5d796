"""``heatslot inspect``: what it prints, what it records, what it refuses."""

import json
from pathlib import Path

import pytest

from scheduler.cli.application import main
from scheduler.day import Basis
from scheduler.files import write_template
from scheduler.ledger import open_ledger


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the sample scenario, one aircraft in block."""
    folder = tmp_path_factory.mktemp("inspect") / "day"
    write_template(folder)
    (folder / "events.csv").write_text(
        "time_utc,date,turnaround,event\n"
        f"{at(folder)},{date(folder)},{landed(folder)},in-block\n",
        encoding="utf-8",
    )
    return folder


def planned(folder: Path):
    """First turnaround and clock of the day."""
    from scheduler.files.scenario import open_scenario

    day = open_scenario(folder).planned
    return next(
        (one, day.clock)
        for one in day.turnarounds
        if one.in_block_basis is not Basis.ACTUAL
    )


def landed(folder: Path) -> str:
    """Its id."""
    return planned(folder)[0].id


def at(folder: Path) -> str:
    """Its in-block time."""
    one, clock = planned(folder)
    return clock.short(one.in_block_minute)


def date(folder: Path) -> str:
    """Its date."""
    return planned(folder)[1].day.isoformat()


def run(*words: object) -> int:
    """Call the command."""
    return main([str(word) for word in ("inspect", *words)])


def test_text_has_headline_notes_and_cautions(folder, capsys):
    """Without a ledger it says that earlier days are not counted."""
    assert run(folder, "--turnaround", landed(folder)) == 0
    text = capsys.readouterr().out
    assert text.startswith("day, ")
    assert "Without --ledger, stops and oxidation of earlier days" in text
    assert "Bear in mind" in text


def test_a_day_is_recorded_once(folder, tmp_path, capsys):
    """The second recording of the same day adds nothing; JSON says what is known."""
    path = tmp_path / "brakes.ledger"
    assert run(folder, "--ledger", path, "--record") == 0
    first = capsys.readouterr().out
    assert f"Recorded in {path}: " in first
    assert "entries that are new" in first
    assert run(folder, "--ledger", path, "--record") == 0
    assert f"Recorded in {path}: 0 entries" in capsys.readouterr().out
    with open_ledger(path) as ledger:
        assert {one.turnaround_id for one in ledger.entries()} >= {landed(folder)}
    assert run(folder, "--ledger", path, "--json") == 0
    record = json.loads(capsys.readouterr().out)
    assert record["has_ledger"]
    assert {brake["hot_stops"] for brake in record["brakes"]} == {0}


def test_csv_is_all_there_is(folder, capsys):
    """A header and rows, and no progress beside them."""
    assert run(folder, "--turnaround", landed(folder), "--csv") == 0
    out, err = capsys.readouterr()
    assert out.startswith("turnaround,tail,stand,position,reason,")
    assert err == ""


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--record"], "--record: expected --ledger FILE with it"),
        (["--ledger", "x", "--record", "--turnaround", "A"], "the whole day"),
        (["--json", "--csv"], "expected --json or --csv, got both"),
        (["--ledger", "/nowhere/x.ledger"], "expected a ledger"),
        (["--turnaround", "ZZ9"], "got ZZ9"),
    ],
)
def test_what_cannot_be_is_refused(folder, capsys, words, message):
    """Each wrong combination is one line and exit code 2."""
    assert run(folder, *words) == 2
    assert message in capsys.readouterr().err
