"""``heatslot catalogue``: what is listed, every number, the derived network."""

import json
from typing import Any

import numpy as np
import pytest

from scheduler.cli.application import main
from thermal.catalogue import (
    entries,
    known_aircraft,
    known_brakes,
    load_aircraft,
    load_brake,
)
from thermal.network import build_network

SIGMA_W_PER_M2_K4 = 5.670374419e-8


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Room for whole names and sources, whatever runs the tests."""
    monkeypatch.setenv("COLUMNS", "200")


def run_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Run the command with --json and read what it prints."""
    assert main(["catalogue", *words, "--json"]) == 0
    record: dict[str, Any] = json.loads(capsys.readouterr().out)
    return record


def test_every_brake_and_aircraft_is_a_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The list names each once, with stack, limit and release."""
    assert main(["catalogue"]) == 0
    lines = capsys.readouterr().out.splitlines()
    firsts = [line.split()[0] for line in lines if line.startswith("  ")]
    assert firsts == [*known_brakes(), *known_aircraft()]
    (line,) = [line for line in lines if line.startswith("  carbon-narrow")]
    brake = load_brake("carbon-narrow")
    assert f"stack  {brake.stack_mass_kg:.1f} kg, limit 1330 kJ/kg" in line
    assert "indicated to 300 °C, plugs release at 188 °C" in line


def test_the_list_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The same for a program."""
    record = run_json(capsys)
    assert [one["name"] for one in record["brakes"]] == list(known_brakes())
    aircraft = {one["name"]: one for one in record["aircraft"]}
    assert set(aircraft) == set(known_aircraft())
    assert aircraft["twin-72"]["brake"] == load_aircraft("twin-72").brake


@pytest.mark.parametrize("name", ["steel-narrow", "twin-52"])
def test_every_number_is_there_with_its_source(
    capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """All entries of the file, in JSON and as text."""
    kind = "brakes" if name in known_brakes() else "aircraft"
    expected = entries(kind, name)
    record = run_json(capsys, name)
    assert record["kind"] == kind
    assert [one["key"] for one in record["numbers"]] == [one.key for one in expected]
    assert all(
        one["source"] and one["low"] <= np.min(one["value"]) <= one["high"]
        for one in record["numbers"]
    )
    assert main(["catalogue", name]) == 0
    text = capsys.readouterr().out
    for one in expected:
        assert one.key in text


def test_numbers_are_written_as_the_file_has_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A value, its unit, its range and its source stand in one row."""
    main(["catalogue", "carbon-narrow"])
    rows = [line.split() for line in capsys.readouterr().out.splitlines()]
    (row,) = [row for row in rows if row[:1] == ["housing_mass_kg"]]
    assert row[1:] == ["16", "kg", "12.8", "19.2", "engineering", "estimate"]


def test_the_network_adds_up(capsys: pytest.CaptureFixture[str]) -> None:
    """Disc masses make the stack, heat shares make one, gaps insulate."""
    record = run_json(capsys, "carbon-wide", "--explain")
    brake = load_brake("carbon-wide")
    discs = [
        node for node in record["nodes"] if node["name"].startswith(("rotor", "stator"))
    ]
    assert len(discs) == brake.disc_count
    assert sum(node["mass_kg"] for node in discs) == pytest.approx(
        brake.stack_mass_kg, abs=0.01
    )
    assert sum(node["heat_share"] for node in discs) == pytest.approx(1.0, abs=2e-3)
    faces = [link for link in record["links"] if link["set_w_per_k"] > 20.0]
    faces = [link for link in faces if "wheel" not in link["from"]]
    assert all(link["released_w_per_k"] < link["set_w_per_k"] for link in faces)


def test_a_link_holds_conduction_and_radiation(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """At 300 °C: the quadratic of the link plus 4 sigma R T^3."""
    record = run_json(capsys, "steel-wide", "--explain")
    network, at_k = build_network(load_brake("steel-wide")), 573.15
    for link, one in enumerate(record["links"]):
        for key, conduction, exchange_m2 in (
            ("set_w_per_k", network.conduction_set, network.radiation_set_m2),
            (
                "released_w_per_k",
                network.conduction_released,
                network.radiation_released_m2,
            ),
        ):
            expected = np.polynomial.polynomial.polyval(at_k, conduction[link])
            expected += 4 * SIGMA_W_PER_M2_K4 * at_k**3 * exchange_m2[link]
            assert one[key] == pytest.approx(expected, abs=1e-3)


def test_an_aircraft_explains_its_brake(capsys: pytest.CaptureFixture[str]) -> None:
    """The name may stand before or behind the option, and may be an aircraft's."""
    by_aircraft = run_json(capsys, "--explain", "twin-72")
    assert by_aircraft == run_json(capsys, load_aircraft("twin-72").brake, "--explain")
    assert main(["catalogue", "--explain", "twin-72"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("carbon-narrow: stack ")
    assert "brakes set, brakes released" in text
    assert "torque tube     – axle" in text
    assert "Surfaces: in still air, with air driven through, radiating" in text


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["marble"], "catalogue: expected one of carbon-heavy, "),
        (["--explain", "marble"], "catalogue: expected one of carbon-heavy, "),
        (["--explain"], "--explain: expected one name"),
        (["twin-72", "--explain", "twin-52"], "--explain: expected one name"),
    ],
)
def test_a_name_that_is_none_is_bad_input(
    capsys: pytest.CaptureFixture[str], words: list[str], message: str
) -> None:
    """Exit 2 and one line that names what would work."""
    assert main(["catalogue", *words]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"heatslot: {message}")
