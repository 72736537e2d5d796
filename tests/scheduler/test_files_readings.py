"""Recorded cool-downs from a CSV file, and every fault of it with line and column."""

from pathlib import Path

import pytest

from scheduler.errors import ScenarioError
from scheduler.files.readings_file import COLUMNS, read_readings
from thermal.catalogue import load_aircraft
from thermal.units import kelvin

HEADER = "landing,position,minutes_after_stop,indicated_c,energy_mj,ambient_c"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the readings are."""
    return tmp_path / "readings.csv"


def read(path: Path, *rows: str, header: str = HEADER, aircraft=None):
    """Records of a file with these rows."""
    path.write_text("\n".join((header, *rows)) + "\n", encoding="utf-8")
    return read_readings(path, aircraft)


def faults(path: Path, *rows: str, header: str = HEADER, aircraft=None) -> list[str]:
    """Faults of a file with these rows."""
    with pytest.raises(ScenarioError) as caught:
        read(path, *rows, header=header, aircraft=aircraft)
    return str(caught.value).splitlines()


def test_readings_become_records_in_order_of_time(path):
    """Two brakes of one landing are two records; times are sorted."""
    first, second = read(
        path,
        "TF1,L1,20,310,24.5,18",
        "TF1,L2,10,280,23,18",
        "TF1,L1,10,290,,",
    )
    assert (first.name, second.name) == ("TF1 L1", "TF1 L2")
    assert first.energy_j == 24.5e6
    assert first.ambient_k == pytest.approx(kelvin(18.0))
    assert first.time_s.tolist() == [600.0, 1200.0]
    assert first.indicated_k == pytest.approx(kelvin([290.0, 310.0]))
    assert first.energy_sd_fraction == 0.03
    assert not first.brakes_set


def test_all_conditions_are_read(path):
    """Every column of a landing reaches its record in SI."""
    values = {
        "landing": "A",
        "position": "",
        "minutes_after_stop": "5",
        "indicated_c": "200",
        "energy_mj": "20",
        "energy_sd_percent": "8",
        "ambient_c": "10",
        "pressure_hpa": "950",
        "wind_m_per_s": "4",
        "fan_from_minutes": "12",
        "fan_to_minutes": "40",
        "fan_m_per_s": "6",
        "wear": "0.5",
        "residual_c": "40",
        "brakes_set": "yes",
    }
    header, row = ",".join(values), ",".join(values.values())
    (one,) = read(path, row, header=header)
    assert one.name == "A"
    assert one.energy_sd_fraction == pytest.approx(0.08)
    assert (one.pressure_pa, one.wind_m_per_s, one.wear) == (95000.0, 4.0, 0.5)
    assert (one.fan_from_s, one.fan_to_s, one.fan_m_per_s) == (720.0, 2400.0, 6.0)
    assert one.residual_k == pytest.approx(313.15)
    assert one.brakes_set
    assert set(values) <= set(COLUMNS)


def test_weight_and_speed_stand_for_the_heat(path):
    """With the aircraft; what is not known of the roll widens it."""
    header = HEADER.replace("energy_mj", "weight_kg,touchdown_speed_kt")
    row = "A,,5,200,58000,138,15"
    (one,) = read(path, row, header=header, aircraft=load_aircraft("twin-72"))
    assert 15e6 < one.energy_j < 45e6
    assert one.energy_sd_fraction > 0.1
    (fault,) = faults(path, row, header=header)
    assert fault == (
        "readings.csv:2: weight_kg: expected an aircraft to go with it (--aircraft "
        "NAME), got 58000"
    )


def test_every_fault_is_told_at_once(path):
    """Numbers, missing cells, contradictions, times twice: with line and column."""
    found = faults(
        path,
        "A,L1,5,200,20,15",
        "A,L1,5,198,21,",
        ",L1,6,2000,20,15",
        'B,L1,"7,5",180,20,15',
        "C,L1,8,170,,",
    )
    assert found == [
        "readings.csv:3: energy_mj: expected 20 as before of this landing, got 21",
        "readings.csv:3: minutes_after_stop: expected each time once in a landing, "
        "got 5",
        "readings.csv:4: landing: expected a value, got nothing",
        "readings.csv:4: indicated_c: expected -60 to 1200 °C, got 2000",
        "readings.csv:5: minutes_after_stop: expected a number with a decimal point "
        "and no other mark, as 7.5, got 7,5",
        "readings.csv:6: energy_mj: expected a value (or weight_kg and "
        "touchdown_speed_kt) in one row, got nothing",
        "readings.csv:6: ambient_c: expected a value in one row of the landing, got "
        "nothing",
    ]


def test_a_fan_has_both_ends(path):
    """A start without an end, and an end before its start, are faults."""
    header = f"{HEADER},fan_from_minutes,fan_to_minutes"
    found = faults(path, "A,,5,200,20,15,10,", "B,,5,200,20,15,10,8", header=header)
    assert found == [
        "readings.csv:2: fan_to_minutes: expected both ends of the fan, got nothing",
        "readings.csv:3: fan_to_minutes: expected after 10, got 8",
    ]


def test_an_unknown_heading_is_told_with_the_nearest(path):
    """No file renames the headings of this one: station.toml is not named."""
    header = HEADER.replace("ambient", "ambnt")
    fault, *_ = faults(path, "A,,5,200,20,15", header=header)
    assert "ambnt_c: expected a known name (nearest: ambient_c)" in fault
    assert "station.toml" not in fault


def test_an_empty_or_missing_file_is_told(path):
    """One fault each."""
    assert faults(path) == ["readings.csv: expected at least one reading, got none"]
    with pytest.raises(ScenarioError, match="expected a file of this name"):
        read_readings(path.with_name("none.csv"))
