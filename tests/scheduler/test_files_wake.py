"""Wake tables: those that come with the program, a station's own, and their faults."""

import pytest
from scenario_folder import FLEET, STATION, faults_of, write_folder

from scheduler.files import read_scenario
from scheduler.files.wake_table import known_wake_tables, shipped_wake

OWN = """
[wake]
source = "made up"
categories = ["X", "Y", "Z"]
pairs_s = [["X", "Z", 300], ["X", "Y", 90]]
weights_kg = [["Z", 0], ["X", 100000], ["Y", 50000.5]]
"""
# ICAO Doc 4444 (PANS-ATM) 5.8.3: seconds behind, for a leader and a follower by weight.
ICAO_SECONDS = {("H", "M"): 120, ("H", "L"): 120, ("M", "L"): 120}
# RECAT-EU edition 1.1, departures, from memory.
RECAT_EU_SECONDS = {
    **dict.fromkeys([("A", "B"), ("B", "D"), ("C", "E"), ("E", "F")], 100),
    **dict.fromkeys([("A", "C"), ("B", "E"), ("C", "F"), ("D", "F")], 120),
    **dict.fromkeys([("C", "D"), ("F", "F")], 80),
    **dict.fromkeys([("A", "D"), ("B", "F")], 140),
    ("A", "E"): 160,
    ("A", "F"): 180,
}


def station(line: str, spacing_minutes: int = 2) -> str:
    """The sample station with one more key at its top."""
    text = STATION.replace("[columns]", f"{line}\n\n[columns]", 1)
    given = f"spacing_minutes = {spacing_minutes}\nheading_deg ="
    return text.replace("heading_deg =", given)


def read(tmp_path, station_text, fleet=FLEET):
    return read_scenario(
        write_folder(tmp_path, {"station.toml": station_text, "fleet.toml": fleet})
    )


@pytest.mark.parametrize(
    ("name", "seconds"), [("icao", ICAO_SECONDS), ("recat-eu", RECAT_EU_SECONDS)]
)
def test_shipped_tables_have_the_published_seconds(name, seconds):
    """Every pair of the source and no other, with source and edition named."""
    table = shipped_wake(name).table
    assert {(first, second): s for first, second, s in table.pairs} == seconds
    assert table.name == name
    assert table.source
    assert table.edition


def test_every_shipped_table_reads():
    """A file that is added to the folder is read as it is."""
    assert known_wake_tables() == ("icao", "recat-eu")
    assert all(shipped_wake(name).table.pairs for name in known_wake_tables())


@pytest.mark.parametrize(
    ("kilograms", "category"),
    [(6999, "L"), (7000, "L"), (7001, "M"), (135999, "M"), (136000, "H")],
)
def test_icao_goes_by_weight(kilograms, category):
    """Heavy from 136 t, light up to 7 t (ICAO Doc 4444 5.8.3)."""
    assert shipped_wake("icao").table.category(kilograms) == category


def test_a_named_table_separates_the_day(tmp_path):
    """With a table, the wake category of an aircraft follows from its weight."""
    day = read(tmp_path, station('wake = "icao"'))
    first, second = day.turnarounds
    assert day.station.wake.name == "icao"
    assert day.wake_of(first) == day.wake_of(second) == "M"
    assert not [note for note in day.notes if "wake" in note]


def test_a_type_states_its_category(tmp_path):
    """A stated category counts over the weight."""
    fleet = FLEET.replace("[types.TWIN]", '[types.TWIN]\nwake = "H"')
    day = read(tmp_path, station('wake = "icao"'), fleet)
    assert day.wake_categories == (("TWIN", "H"),)
    assert day.wake_of(day.turnarounds[0]) == "H"


def test_an_own_table_is_taken_over(tmp_path):
    """A station's own pairs, weights heaviest first, and its source."""
    table = read(tmp_path, STATION + OWN).station.wake
    assert (table.name, table.source) == ("own", "made up")
    assert table.pairs == (("X", "Z", 300), ("X", "Y", 90))
    assert table.weights == (("X", 100000.0), ("Y", 50000.5), ("Z", 0.0))


def test_a_table_that_breaks_the_triangle_is_noted(tmp_path):
    """Five minutes behind two of two each: accepted, and said for each runway."""
    notes = [note for note in read(tmp_path, STATION + OWN).notes if "wake" in note]
    assert notes == [
        f"wake table own, runway {name}: X before Z takes longer than with Y between; "
        "every pair of take-offs is kept apart"
        for name in ("24", "06")
    ]


def test_the_spacing_of_the_runway_counts_in_the_triangle(tmp_path):
    """Three minutes between any two take-offs leave no shorter way round."""
    day = read(tmp_path, station("", spacing_minutes=3) + OWN)
    assert not [note for note in day.notes if "wake" in note]


@pytest.mark.parametrize("name", ["icao", "recat-eu"])
@pytest.mark.parametrize("spacing_minutes", [1, 2, 3])
def test_shipped_tables_keep_the_triangle(tmp_path, name, spacing_minutes):
    """In whole minutes on any runway, neighbours in the row are all that counts."""
    fleet = FLEET.replace("[types.TWIN]", '[types.TWIN]\nwake = "D"')
    if name == "icao":
        fleet = FLEET
    day = read(tmp_path, station(f'wake = "{name}"', spacing_minutes), fleet)
    assert not [note for note in day.notes if "wake" in note]


def test_categories_without_a_table_are_noted(tmp_path):
    """A category that nothing uses is said, not passed over."""
    fleet = FLEET.replace("[types.TWIN]", '[types.TWIN]\nwake = "D"')
    notes = read(tmp_path, STATION, fleet).notes
    assert any("station.toml has no wake table" in note for note in notes)


WAKE_FAULTS = {
    "unknown table": (
        station('wake = "icoa"'),
        '5: wake: expected one of icao, recat-eu (nearest: icao), got "icoa"',
    ),
    "no table": (
        station("wake = true"),
        "5: wake: expected the name of a wake table in quotes, or a table, got true",
    ),
    "no source": (
        STATION + OWN.replace('source = "made up"\n', ""),
        "51: wake.source: expected this key, got nothing",
    ),
    "no seconds": (
        STATION + OWN.replace("300", "0"),
        "54: wake.pairs_s: expected more than 0, got 0",
    ),
    "pair of two": (
        STATION + OWN.replace('["X", "Y", 90]', '["X", "Y"]'),
        '54: wake.pairs_s: expected 3 entries as ["H", "M", 120], got [X, Y]',
    ),
    "pair without inner brackets": (
        STATION + OWN.replace('[["X", "Z", 300], ["X", "Y", 90]]', '["X", "Z", 300]'),
        '54: wake.pairs_s: expected a list of lists as [["H", "M", 120]], '
        "got [X, Z, 300]",
    ),
    "list of tables": (
        STATION + OWN.replace("[wake]", "[[wake]]"),
        "51: wake: expected the name of a wake table in quotes, or a table, got a list",
    ),
    "negative weight": (
        STATION + OWN.replace('["Z", 0]', '["Z", -1]'),
        "55: wake.weights_kg: expected at least 0, got -1",
    ),
    "category that is not listed": (
        STATION + OWN.replace('["X", "Y", 90]', '["X", "W", 90]'),
        '54: wake.pairs_s: expected one of X, Y, Z, got "W"',
    ),
    "pair twice": (
        STATION + OWN.replace('["X", "Y", 90]', '["X", "Z", 90]'),
        "54: wake.pairs_s: expected X Z once, got 2 times",
    ),
    "category twice": (
        STATION + OWN.replace('"Y", "Z"]\n', '"Y", "Z", "X"]\n', 1),
        "53: wake.categories: expected X once, got 2 times",
    ),
    "unknown key": (
        STATION + OWN + "pair_s = []\n",
        "56: wake.pair_s: expected a known key (nearest: pairs_s), got pair_s",
    ),
}


@pytest.mark.parametrize("name", WAKE_FAULTS)
def test_wake_fault(tmp_path, name):
    """A fault of a wake table is told with the line of its key."""
    text, fault = WAKE_FAULTS[name]
    assert faults_of(tmp_path, {"station.toml": text}) == [f"station.toml:{fault}"]


def test_a_type_without_category_is_a_fault_where_weight_does_not_tell(tmp_path):
    """Nothing is assumed: no category is the worst both before and behind another."""
    changed = {"station.toml": station('wake = "recat-eu"')}
    assert faults_of(tmp_path, changed) == [
        "fleet.toml:1: types.TWIN.wake: expected one of A, B, C, D, E, F "
        "(wake table recat-eu), got nothing"
    ]


def test_a_weight_below_all_classes_needs_a_category(tmp_path):
    """A weight table that ends above a type does not leave it without separation."""
    text = STATION + OWN.replace('["Z", 0]', '["Z", 90000]')
    found = faults_of(tmp_path, {"station.toml": text.replace("50000.5", "95000.5")})
    assert found[0].startswith("fleet.toml:1: types.TWIN.wake: expected one of X, Y, Z")


def test_an_unknown_category_of_a_type_is_a_fault(tmp_path):
    """A category must be one of the station's table."""
    fleet = FLEET.replace("[types.TWIN]", '[types.TWIN]\nwake = "J"')
    changed = {"station.toml": station('wake = "icao"'), "fleet.toml": fleet}
    assert faults_of(tmp_path, changed) == [
        'fleet.toml:2: types.TWIN.wake: expected one of H, M, L, got "J"'
    ]
