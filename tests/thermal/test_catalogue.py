"""Catalogue files: each number with unit, range and source, each fault with its key."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

import thermal
from thermal.aircraft import Aircraft
from thermal.brake import Brake, FusePlug, Limits, Probe
from thermal.catalogue import (
    UNITS,
    entries,
    known_aircraft,
    known_brakes,
    load_aircraft,
    load_brake,
    load_ranges,
    read_aircraft,
    read_brake,
)
from thermal.errors import ParameterError

DATA = Path(thermal.__file__).parent / "data"
BRAKE = DATA / "brakes" / "carbon-narrow.toml"
AIRCRAFT = DATA / "aircraft" / "twin-72.toml"


def changed(folder: Path, original: Path, pattern: str, new: str) -> Path:
    """Copy a file with one line changed."""
    text, count = re.subn(pattern, new, original.read_text("utf-8"), flags=re.MULTILINE)
    assert count == 1
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", known_brakes())
def test_every_brake_of_the_catalogue_loads(name: str) -> None:
    """Its name is its file's, and it is loaded once."""
    assert load_brake(name).name == name
    assert load_brake(name) is load_brake(name)


@pytest.mark.parametrize("name", known_aircraft())
def test_every_aircraft_has_a_known_brake(name: str) -> None:
    """No aircraft of the catalogue refers to a brake that is not there."""
    aircraft = load_aircraft(name)
    assert aircraft.name == name
    assert aircraft.brake in known_brakes()


@pytest.mark.parametrize(
    ("kind", "name"),
    [("brakes", name) for name in known_brakes()]
    + [("aircraft", name) for name in known_aircraft()],
)
def test_every_number_has_range_unit_and_source(kind: str, name: str) -> None:
    """Nothing in the catalogue stands without where it comes from."""
    found = entries(kind, name)
    assert len(found) > 15
    for entry in found:
        assert entry.source
        values = entry.value if isinstance(entry.value, list) else [entry.value]
        assert all(entry.low <= value <= entry.high for value in values)
        key = entry.key.split(".")[-1]
        unit = next((unit for suffix, unit in UNITS if key.endswith(suffix)), "1")
        assert entry.unit == unit


def test_degrees_celsius_become_kelvin() -> None:
    """The plug that is written as 188 °C releases at 461.15 K."""
    written = {entry.key: entry.value for entry in entries("brakes", "carbon-narrow")}
    release_k = load_brake("carbon-narrow").plug.release_k
    assert release_k == pytest.approx(written["plug.release_c"] + 273.15)


@pytest.mark.parametrize("record", [Brake, FusePlug, Probe, Limits, Aircraft])
def test_dimensional_fields_end_in_a_unit_the_reader_knows(record: type) -> None:
    """A field with a unit the reader does not know would be read as a bare number."""
    known = tuple(suffix for suffix, _ in UNITS)
    bare = (
        "fraction",
        "count",
        "factor",
        "coefficient_ground",
        "friction",
        "reach",
        "emissivity",
    )
    names = ("name", "brake", "material", "plug", "probe", "limits")
    for item in fields(record):
        assert item.name.endswith((*known, *bare, *names)), item.name


@pytest.mark.parametrize(
    ("pattern", "new", "message"),
    [
        (
            r'^rim_radius_m = (.*)unit = "m"',
            r'rim_radius_m = \1unit = "mm"',
            "own.toml: rim_radius_m: unit: expected m, got mm",
        ),
        (
            r"^rim_radius_m",
            "rim_radios_m",
            "own.toml: rim_radios_m: expected a known key, got rim_radios_m",
        ),
        (
            r"^rim_radius_m = \{ value = [\d.]+",
            "rim_radius_m = { value = 0.9",
            "own.toml: rim_radius_m: expected 0.2 to 0.27 (its own range), got 0.9",
        ),
        (
            r'^(rim_radius_m.*source = )".*"',
            r'\1""',
            "own.toml: rim_radius_m: source: expected a source, got nothing",
        ),
        (
            r"^rim_radius_m.*\n",
            "",
            "own.toml: rim_radius_m: expected a value, got nothing",
        ),
        (
            r'^(rim_radius_m.*), source = ".*" \}',
            r"\1 }",
            "own.toml: rim_radius_m: expected keys ['high', 'low', 'source', ",
        ),
        (
            r"^(release_c.*?)degC",
            r"\1K",
            "own.toml: release_c: unit: expected degC, got K",
        ),
        (
            r"^(housing_fraction = \{ value = )[\d.]+",
            r"\g<1>0.3",
            "own.toml: carbon-narrow: probe weights: expected sum 1",
        ),
    ],
)
def test_bad_brake_file_gives_one_error_with_file_and_key(
    tmp_path: Path, pattern: str, new: str, message: str
) -> None:
    """Wrong unit, unknown or missing key, own range, no source, parts that differ."""
    path = changed(tmp_path, BRAKE, pattern, new)
    with pytest.raises(ParameterError) as caught:
        read_brake(path)
    text = str(caught.value)
    assert "\n" not in text
    assert text.startswith(message)


@pytest.mark.parametrize(
    ("pattern", "new", "message"),
    [
        (
            r"^(wing_area_m2.*)unit = \"m2\"",
            r'\1unit = "ft2"',
            "own.toml: wing_area_m2: unit: expected m2, got ft2",
        ),
        (
            r"^brake_count = 4",
            "brake_count = 0",
            "own.toml: brake_count: expected 2 to 24 brakes, got 0",
        ),
        (
            r"^(automatic_decel.*value = \[)",
            r"\g<1>9.9, ",
            "own.toml: automatic_decelerations_m_per_s2: expected 1.0 to 3.6",
        ),
        (
            r"^v1_m_per_s.*\n",
            "",
            "own.toml: v1_m_per_s: expected a value, got nothing",
        ),
    ],
)
def test_bad_aircraft_file_gives_one_error_with_file_and_key(
    tmp_path: Path, pattern: str, new: str, message: str
) -> None:
    """The same for aircraft, lists included."""
    path = changed(tmp_path, AIRCRAFT, pattern, new)
    with pytest.raises(ParameterError) as caught:
        read_aircraft(path)
    text = str(caught.value)
    assert text.startswith(message)


def test_operators_own_files_are_read_as_the_catalogue(tmp_path: Path) -> None:
    """A copy elsewhere gives the same records."""
    for original, read, known in (
        (BRAKE, read_brake, load_brake("carbon-narrow")),
        (AIRCRAFT, read_aircraft, load_aircraft("twin-72")),
    ):
        path = tmp_path / original.name
        path.write_text(original.read_text("utf-8"), encoding="utf-8")
        assert read(path) == known


def test_a_brake_file_may_have_a_fan_on_board(tmp_path: Path) -> None:
    """The air of an onboard fan is read with its unit; no shipped brake has one."""
    assert all(load_brake(name).onboard_fan_m_per_s is None for name in known_brakes())
    source = DATA / "brakes" / "carbon-wide.toml"
    fan = (
        'onboard_fan_m_per_s = { value = 5.0, unit = "m/s", low = 3.0, high = 8.0, '
        'source = "synthetic" }\n\n[plug]'
    )
    blown = read_brake(changed(tmp_path, source, r"\[plug\]", fan))
    assert blown.onboard_fan_m_per_s == 5.0
    calm = fan.replace("value = 5.0", "value = 0.0").replace("low = 3.0", "low = 0.0")
    with pytest.raises(ParameterError, match="onboard_fan_m_per_s: expected > 0"):
        read_brake(changed(tmp_path, source, r"\[plug\]", calm))


@pytest.mark.parametrize(
    ("load", "message"),
    [
        (load_brake, "brakes catalogue: expected one of carbon-heavy, carbon-narrow"),
        (load_aircraft, "aircraft catalogue: expected one of freighter-385, twin-151"),
    ],
)
def test_unknown_name_lists_the_known_ones(load: object, message: str) -> None:
    """A slip of the pen shows what there is."""
    assert callable(load)
    with pytest.raises(ParameterError, match=message):
        load("carbon-narow")


def test_file_that_is_not_toml_names_itself(tmp_path: Path) -> None:
    """The place of the fault comes from the TOML reader."""
    path = tmp_path / "broken.toml"
    path.write_text("name = \n", encoding="utf-8")
    with pytest.raises(ParameterError, match=r"broken\.toml: .*line 1"):
        read_brake(path)


def test_file_that_is_missing_names_itself(tmp_path: Path) -> None:
    """A wrong path is an error of the same kind."""
    with pytest.raises(ParameterError, match=r"nowhere\.toml"):
        read_brake(tmp_path / "nowhere.toml")


def test_ranges_of_uncertain_inputs_are_ordered_and_argued() -> None:
    """Low below high, a reason each, no name twice."""
    ranges = load_ranges()
    assert len({item.name for item in ranges}) == len(ranges)
    assert all(item.low < item.high and item.reason for item in ranges)
    assert any(item.per_brake for item in ranges)
