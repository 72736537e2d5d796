"""Types of fleet.toml: the catalogue, figures of one's own, and their keys."""

from dataclasses import fields

import pytest
from scenario_folder import FLEET, faults_of, write_folder

from scheduler.files import read_scenario
from scheduler.files.aircraft_types import edge_name
from thermal import Aircraft
from thermal.catalogue import load_aircraft

TAIL = '[tails.XA-AAA]\ntype = "T"\n[tails.XA-AAB]\ntype = "T"\n'


def aircraft(tmp_path, table):
    text = f"[types.T]\n{table}\n{TAIL}"
    return read_scenario(write_folder(tmp_path, {"fleet.toml": text})).aircraft[0]


def test_catalogue_type_keeps_its_figures(tmp_path):
    """A catalogue type has the catalogue's figures under the fleet's own name."""
    found = aircraft(tmp_path, 'catalogue = "twin-72"')
    record = load_aircraft("twin-72")
    assert found.name == "T"
    assert all(
        getattr(found, item.name) == getattr(record, item.name)
        for item in fields(Aircraft)
        if item.name != "name"
    )


def test_catalogue_figures_are_replaced_one_by_one(tmp_path):
    """A key beside the catalogue name replaces that figure alone."""
    found = aircraft(tmp_path, 'catalogue = "twin-72"\nv1_kt = 150\nidle_kn = 9.5')
    assert found.v1_m_per_s == pytest.approx(150 * 1852 / 3600)
    assert found.idle_n == pytest.approx(9500)
    assert found.wing_area_m2 == load_aircraft("twin-72").wing_area_m2


def test_every_figure_out_of_range_is_told(tmp_path):
    """Several figures out of range on a catalogue type are all told at once."""
    text = (
        '[types.T]\ncatalogue = "twin-72"\nv1_kt = 40\ndry_friction = 4\n'
        f"maximum_landing_kg = 900000\n{TAIL}"
    )
    found = faults_of(tmp_path, {"fleet.toml": text})
    assert found[:2] == [
        "fleet.toml:3: types.T.v1_kt: expected 58.32 to 213.8, got 40.0",
        "fleet.toml:4: types.T.dry_friction: expected 0.1 to 0.8, got 4.0",
    ]
    assert found[2].startswith("fleet.toml:5: types.T.maximum_landing_kg: expected")


def test_unknown_catalogue_names(tmp_path):
    """An unknown aircraft or brake of the catalogue lists the known ones."""
    text = f'[types.T]\ncatalogue = "twin-7"\nbrake = "carbon-narow"\n{TAIL}'
    assert faults_of(tmp_path, {"fleet.toml": text}) == [
        "fleet.toml:2: types.T.catalogue: expected one of freighter-385, twin-151, "
        'twin-232, twin-52, twin-72 (nearest: twin-72), got "twin-7"',
        "fleet.toml:3: types.T.brake: expected one of carbon-heavy, carbon-narrow, "
        "carbon-wide, steel-narrow, steel-wide (nearest: carbon-narrow), "
        'got "carbon-narow"',
    ]


def test_own_type_needs_a_known_brake(tmp_path):
    """A brake that no catalogue knows is a fault of a type of one's own."""
    text = FLEET.replace('"carbon-narrow"', '"steel"')
    (fault,) = faults_of(tmp_path, {"fleet.toml": text})
    assert fault.startswith("fleet.toml:2: types.TWIN.brake: expected one of carbon-")


@pytest.mark.parametrize(
    ("field", "key", "factor"),
    [
        ("v1_m_per_s", "v1_kt", 1852 / 3600),
        ("idle_n", "idle_kn", 1000.0),
        ("tyre_pressure_pa", "tyre_pressure_kpa", 1000.0),
        ("maximum_take_off_kg", "maximum_take_off_kg", 1.0),
        ("default_deceleration_m_per_s2", "default_deceleration_m_per_s2", 1.0),
    ],
)
def test_keys_carry_the_units_of_the_trade(field, key, factor):
    """Field names end in the unit of the file, with the factor to SI."""
    found, found_factor = edge_name(field)
    assert (found, found_factor) == (key, pytest.approx(factor))
