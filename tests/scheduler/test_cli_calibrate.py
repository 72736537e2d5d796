"""``heatslot calibrate``: what it prints, writes and refuses."""

import json
from pathlib import Path

import pytest

from scheduler.cli.application import main
from scheduler.report.calibration_text import residual_plot
from tests.thermal.recorded_brakes import BRAKE, landings, recorded
from thermal import calibrate as package
from thermal.catalogue import read_brake
from thermal.units import MINUTE_S, celsius

RECORDS = recorded(4, landings(3)).records


@pytest.fixture(scope="module")
def fit():
    """Fit of three landings, once."""
    return package.calibrate(BRAKE, RECORDS)


@pytest.fixture
def readings(tmp_path: Path) -> Path:
    """Write the records as people do."""
    path = tmp_path / "readings.csv"
    lines = ["landing,minutes_after_stop,indicated_c,energy_mj,ambient_c"]
    for one in RECORDS:
        for place, (time_s, shown) in enumerate(
            zip(one.time_s, celsius(one.indicated_k), strict=True)
        ):
            heat, air = one.energy_j / 1e6, float(celsius(one.ambient_k))
            given = f"{heat:g},{air:g}" if place == 0 else ","
            lines.append(f"{one.name},{time_s / MINUTE_S:g},{shown:.2f},{given}")
    path.write_text("\r\n".join(lines) + "\r\n", encoding="utf-8")
    return path


@pytest.fixture
def known(monkeypatch: pytest.MonkeyPatch, fit):
    """Put the fit in the place of fitting; gives the calls made."""
    calls = []

    def stand_in(brake, records, *, noise_k):
        calls.append((brake, records, noise_k))
        return fit

    monkeypatch.setattr(package, "calibrate", stand_in)
    return calls


def run(*words: object) -> int:
    """Call the command."""
    return main([str(word) for word in ("calibrate", *words)])


def test_text_has_values_plot_and_what_is_not_told(readings, known, capsys):
    """The file's readings are what is fitted; all parts of the answer are there."""
    assert run(readings, "--brake", BRAKE, "--noise-k", 9) == 0
    ((brake, records, noise_k),) = known
    assert (brake, noise_k) == (BRAKE, 9.0)
    assert [one.name for one in records] == [one.name for one in RECORDS]
    assert records[1].indicated_k == pytest.approx(RECORDS[1].indicated_k)
    text = capsys.readouterr().out
    for part in (
        "54 readings of 3 cool-downs",
        "joint_w_per_m2_k",
        "Residuals, reading less fit, K",
        "Not identifiable from these readings: contact_w_per_m2_k",
        "Singular values",
        "Limits and fuse plugs are not",
    ):
        assert part in text


def test_the_plot_has_a_mark_for_every_reading(fit):
    """As many columns as asked, each cool-down by its number."""
    lines = list(residual_plot(fit))
    body = "".join(line.partition("|")[2] for line in lines[1:-2])
    assert {"1", "2", "3"} <= set(body)
    assert 40 <= sum(mark in "123*" for mark in body) <= 54
    assert max(map(len, lines)) <= 80 + len(" after the stop")


def test_json_has_every_reading(readings, known, capsys):
    """It goes straight into another program."""
    assert run(readings, "--brake", BRAKE, "--json") == 0
    record = json.loads(capsys.readouterr().out)
    assert [len(one["readings"]) for one in record["cool_downs"]] == [18, 18, 18]
    assert record["cool_downs"][2]["readings"][0]["minutes_after_stop"] == 5.0
    assert len(record["parameters"]) == 13


def test_a_brake_file_is_written_once(readings, known, tmp_path, capsys):
    """It is a brake of its own name, and is not replaced without --force."""
    path = tmp_path / "own-brake.toml"
    words = [readings, "--brake", BRAKE, "--out", path]
    assert run(*words) == 0
    assert 'brake_file = "own-brake.toml"' in capsys.readouterr().out
    assert read_brake(path).name == "own-brake"
    written = path.read_bytes()
    assert run(*words) == 2
    assert "is there already; --force replaces it" in capsys.readouterr().err
    assert len(known) == 1
    assert path.read_bytes() == written
    assert run(*words, "--force") == 0
    assert sorted(one.name for one in tmp_path.iterdir()) == [
        "own-brake.toml",
        "readings.csv",
    ]


def test_what_does_not_support_it_is_not_written(
    readings, fit, monkeypatch, tmp_path, capsys
):
    """The reasons are told, the file is not there, exit code 2."""
    from dataclasses import replace

    refused = replace(fit, refusals=("nothing is identifiable",))
    monkeypatch.setattr(package, "calibrate", lambda *_, **__: refused)
    path = tmp_path / "own.toml"
    assert run(readings, "--brake", BRAKE, "--out", path) == 2
    out, err = capsys.readouterr()
    assert "No brake file can be written from this:" in out
    assert "own.toml is not written:" in err
    assert "nothing is identifiable" in err
    assert not path.exists()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--brake", "no-such"], "expected one of carbon-heavy"),
        (["--brake", BRAKE, "--out", "x.txt"], "a name that ends in .toml"),
        (["--brake", BRAKE, "--out", "/nowhere/x.toml"], "a folder that is there"),
        (["--brake", BRAKE, "--aircraft", "kite"], "got kite"),
    ],
)
def test_what_cannot_be_is_refused(readings, known, capsys, words, message):
    """Each is one line and exit code 2, before any work."""
    assert run(readings, *words) == 2
    assert message in capsys.readouterr().err
    assert known == []
