"""``heatslot cooldown``: the contract of its JSON, its table and its errors."""

import json
from typing import Any

import numpy as np
import pytest

from scheduler.cli.application import main
from tests.thermal.reference_integrator import integrate
from thermal.catalogue import load_brake
from thermal.oxidation import oxidation_dose
from thermal.units import kelvin

WORDS = ["cooldown", "--brake", "carbon-narrow", "--energy-mj", "24", "--ambient-c"]
BASE = [*WORDS, "20", "--hours", "2"]
FAN = ["--fan-from-minutes", "15", "--fan-minutes", "20", "--wear", "0.5"]


def run_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Run the command with --json and read what it prints."""
    assert main([*words, "--json"]) == 0
    record: dict[str, Any] = json.loads(capsys.readouterr().out)
    return record


def curve(record: dict[str, Any], name: str) -> np.ndarray:
    """One curve of a record by its node."""
    return np.array(record["curves"]["temperature_c"][name])


def test_json_has_the_keys_that_others_build_on(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Network, heat and curves under the promised names."""
    record = run_json(capsys, *BASE)
    assert set(record) == {
        "nodes",
        "materials",
        "links",
        "boundaries",
        "heat_input",
        "oxidation_dose",
        "curves",
    }
    keys = {
        "nodes": {"name", "material", "mass_kg", "initial_c"},
        "links": {
            "from",
            "to",
            "start_s",
            "end_s",
            "mean_temperature_c",
            "conduction_w_per_k",
            "radiation_m2",
        },
        "boundaries": {
            "node",
            "start_s",
            "end_s",
            "ambient_c",
            "surface_c",
            "conductance_w_per_k",
            "radiation_m2",
        },
        "heat_input": {"node", "time_s", "power_w"},
    }
    for part, expected in keys.items():
        assert all(set(entry) == expected for entry in record[part])
    curves = record["curves"]
    assert {"time_s", "temperature_c", "indicated_c", "plug_c"} <= set(curves)
    names = [node["name"] for node in record["nodes"]]
    assert list(curves["temperature_c"]) == names
    assert set(record["materials"]) == {node["material"] for node in record["nodes"]}


def test_heat_is_what_was_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """The power falls linearly over 30 s and adds up to the energy."""
    record = run_json(capsys, *BASE)
    total = sum(
        0.5 * sum(entry["power_w"]) * entry["time_s"][1]
        for entry in record["heat_input"]
    )
    assert total == pytest.approx(24e6, rel=1e-9)
    times = {tuple(entry["time_s"]) for entry in record["heat_input"]}
    assert times == {(0.0, 30.0)}
    assert all(entry["power_w"][1] == 0.0 for entry in record["heat_input"])


def test_instants_are_each_minute_and_more_at_first(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Five-second steps for two minutes, then minutes to the end."""
    time_s = np.array(run_json(capsys, *BASE)["curves"]["time_s"])
    assert np.allclose(np.diff(time_s[time_s <= 120.0]), 5.0)
    assert np.allclose(np.diff(time_s[time_s >= 120.0]), 60.0)
    assert (time_s[0], time_s[-1]) == (0.0, 7200.0)


def test_another_integrator_gets_the_same_curves(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The printed network, integrated with scipy's LSODA, meets the printed curves."""
    record = run_json(capsys, *BASE, *FAN)
    at_s = np.array(record["curves"]["time_s"])
    settled = (at_s > 90.0) & ~((at_s >= 900.0) & (at_s <= 960.0))
    settled &= ~((at_s >= 2100.0) & (at_s <= 2160.0))
    other = integrate(record, at_s)
    for column, node in enumerate(record["nodes"]):
        mine = curve(record, node["name"])[settled]
        assert np.abs(mine - other[settled, column]).max() < 0.5, node["name"]


def test_air_and_brakes_do_what_they_should(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Wind and fan cool the stack, set brakes bring the discs together."""
    calm = run_json(capsys, *BASE)
    windy = run_json(capsys, *BASE, "--wind-m-per-s", "6")
    fanned = run_json(capsys, *BASE, "--fan-from-minutes", "10")
    clamped = run_json(capsys, *BASE, "--brakes-set")
    stack = [np.array(one["curves"]["stack_c"]) for one in (calm, windy, fanned)]
    assert stack[1][-1] < stack[0][-1] - 5.0
    assert stack[2][-1] < stack[0][-1] - 20.0
    before = np.array(calm["curves"]["time_s"]) <= 600.0
    assert np.abs(stack[2] - stack[0])[before].max() < 0.5

    def apart(record: dict[str, Any]) -> float:
        discs = [curve(record, f"stator {k}") for k in (1, 2, 3, 4, 5)]
        return float(np.ptp([disc[30] for disc in discs]))

    assert apart(clamped) < apart(calm) - 10.0


def test_a_brake_without_heat_stays_as_it_is(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """No energy, no rise."""
    record = run_json(
        capsys,
        *("cooldown", "--brake", "steel-wide", "--energy-mj", "0"),
        *("--ambient-c", "-10", "--hours", "0.5"),
    )
    for values in record["curves"]["temperature_c"].values():
        assert np.abs(np.array(values) + 10.0).max() < 1e-3


def test_text_says_what_was_done_and_which_limits_are_reached(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Heading, table, every limit of the data, cautions."""
    assert main([*BASE, *FAN]) == 0
    text = capsys.readouterr().out
    flat = " ".join(text.split())
    assert "a stop of 30 s with linearly falling power, wear 0.5" in flat
    assert "a fan with 8 m/s from minute 15 to 35" in flat
    assert "minute stack hottest wheel plug indicated (°C)" in flat
    assert "indicated, 300 °C: peak" in flat
    assert "wheel well, hottest disc, 400 °C: peak" in flat
    assert ", above it from minute 0 to " in flat
    assert "not reached" in flat
    assert "Advisory figures, not certified data." in flat


def test_the_table_shows_the_curves(capsys: pytest.CaptureFixture[str]) -> None:
    """The row of minute 60 holds the JSON's values, rounded."""
    record = run_json(capsys, *BASE)
    place = record["curves"]["time_s"].index(3600.0)
    main(BASE)
    lines = capsys.readouterr().out.splitlines()
    cells = next(line.split() for line in lines if line.split()[:1] == ["60"])
    for cell, values in zip(
        (cells[1], cells[3], cells[4], cells[5]),
        (
            record["curves"]["stack_c"],
            curve(record, "wheel inboard"),
            record["curves"]["plug_c"],
            record["curves"]["indicated_c"],
        ),
        strict=True,
    ):
        assert abs(float(cell) - values[place]) <= 0.501


def test_the_dose_of_carbon_is_that_of_its_hottest_disc(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """More than the dose of any one disc, not much more, and salt multiplies it."""
    record = run_json(capsys, *BASE)
    discs = [curve(record, node["name"]) for node in record["nodes"][:9]]
    doses = oxidation_dose(record["curves"]["time_s"], kelvin(discs))
    assert 0.9999 * doses.max() < record["oxidation_dose"] < 1.5 * doses.max()
    salted = run_json(capsys, *BASE, "--deicer-factor", "10")
    ratio = salted["oxidation_dose"] / record["oxidation_dose"]
    assert ratio == pytest.approx(10.0)
    main([*BASE, "--deicer-factor", "10"])
    flat = " ".join(capsys.readouterr().out.split())
    assert f"hottest disc {salted['oxidation_dose']:.2g} of an hour at 600 °C" in flat
    assert "10 times as fast after de-icers" in flat
    assert "no life" in flat


def test_steel_has_no_dose(capsys: pytest.CaptureFixture[str]) -> None:
    """Null in the record, and words in the text."""
    words = ["cooldown", "--brake", "steel-wide", "--energy-mj", "9", "--ambient-c"]
    assert run_json(capsys, *words, "9")["oxidation_dose"] is None
    main([*words, "9"])
    assert "not applicable to a stack of steel." in capsys.readouterr().out


def test_an_unknown_brake_is_named_with_the_known_ones(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Exit 2 and one line."""
    words = ["cooldown", "--brake", "marble", "--energy-mj", "3", "--ambient-c", "1"]
    assert main(words) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "carbon-narrow" in line
    assert "marble" in line


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--fan-minutes", "20"], "--fan-minutes: expected --fan-from-minutes with it"),
        (
            ["--fan-from-minutes", "110"],
            "--fan-from-minutes: expected the fan to end by hour 2",
        ),
    ],
)
def test_a_fan_that_cannot_be_is_refused(
    capsys: pytest.CaptureFixture[str], words: list[str], message: str
) -> None:
    """A length without a start, and a fan past the end."""
    assert main([*BASE, *words]) == 2
    assert capsys.readouterr().err == f"heatslot: {message}\n"


@pytest.mark.parametrize("value", ["-1", "nan", "x", "501"])
def test_energy_has_bounds(capsys: pytest.CaptureFixture[str], value: str) -> None:
    """Numbers outside what a brake can take are refused by name."""
    words = [value if word == "24" else word for word in BASE]
    with pytest.raises(SystemExit) as stopped:
        main(words)
    assert stopped.value.code == 2
    assert "--energy-mj: expected 0 to 500 MJ" in capsys.readouterr().err


def test_masses_are_those_of_the_worn_brake(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Wear thins the discs and nothing else."""
    record = run_json(capsys, *BASE, "--wear", "1")
    brake = load_brake("carbon-narrow")
    discs = [
        node["mass_kg"]
        for node in record["nodes"]
        if node["name"].split()[0] in ("rotor", "stator")
    ]
    assert sum(discs) == pytest.approx(brake.stack_mass_kg * brake.worn_fraction)


def test_inputs_are_ranked_on_request(capsys: pytest.CaptureFixture[str]) -> None:
    """Shares with ranges and reasons, the most moving first; wear is not known here."""
    rows = run_json(capsys, *BASE, "--sensitivity")["sensitivity"]
    keys = {"input", "share", "error", "low", "high", "unit", "reason"}
    assert all(set(row) == keys and row["reason"] for row in rows)
    shares = [row["share"] for row in rows]
    assert shares == sorted(shares, reverse=True)
    assert 0.5 < sum(shares) < 1.15
    assert "wear" in [row["input"] for row in rows]


def test_the_ranking_is_shown_with_bars(capsys: pytest.CaptureFixture[str]) -> None:
    """Known wear is left out, a fan brings its factor, and the method is named."""
    main([*BASE, *FAN, "--sensitivity", "--seed", "7"])
    text = capsys.readouterr().out
    table = text.split("What moves brake-ready most")[1].split("Bear in mind")[0]
    rows = [line.split() for line in table.splitlines() if "%" in line and "±" in line]
    assert "fan_factor" in [row[0] for row in rows]
    assert "wear" not in [row[0] for row in rows]
    flat = " ".join(table.split())
    assert "from the means in 32 bins" in flat
    assert "seed 7" in flat
    assert "no bound to leave by" in flat
    bars = [row for row in rows if "#" in "".join(row)]
    assert float(rows[0][1].rstrip("%")) < 4.0 or bars
