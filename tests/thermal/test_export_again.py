"""Exported networks, integrated by another method, give the same curves."""

from functools import cache

import numpy as np
import pytest

from tests.brake_days import (
    aircraft_and_network,
    network_of,
    normal_landing,
    rejected_take_off_j,
)
from tests.thermal.full_days import FullDay, day_of, random_day, stop_rows
from tests.thermal.reference_integrator import integrate
from thermal.catalogue import known_aircraft, known_brakes
from thermal.export import export_curves, export_network, heat_input_j
from thermal.materials import material, property_table
from thermal.turnaround import arrival, start_k

SETTLED_K, ALWAYS_K = 0.5, 2.0
STEEL = [name for name in known_brakes() if name.startswith("steel")]


def compare(day: FullDay) -> None:
    """Half a kelvin a minute after any event, two kelvin at any time."""
    theirs = integrate(day.exported(), day.at_s)
    apart_k = np.abs(day.ours_c() - theirs)
    assert apart_k[day.settled].max() < SETTLED_K
    assert apart_k.max() < ALWAYS_K


@cache
def landed(name: str, wear: float) -> FullDay:
    """A normal landing of a catalogue aircraft, a fan job, and the departure."""
    aircraft, network = aircraft_and_network(name)
    return day_of(network, normal_landing(aircraft, np.array([wear])))


@pytest.mark.parametrize("wear", [0.0, 1.0])
@pytest.mark.parametrize("name", known_aircraft())
def test_landing_with_fan_and_departure(name: str, wear: float) -> None:
    """Touchdown to two hours in the wheel well, with a fan on the way."""
    compare(landed(name, wear))


@pytest.mark.parametrize("wear", [0.0, 1.0])
@pytest.mark.parametrize("name", ["twin-52", "twin-72"])
def test_accelerate_stop_with_the_parking_brake_set(name: str, wear: float) -> None:
    """A rejected take-off from cold, then clamped discs for ten minutes."""
    aircraft, network = aircraft_and_network(name)
    fraction = float(network.brake.stack_fraction(wear))
    rows = stop_rows(network, rejected_take_off_j(aircraft), stack_fraction=fraction)
    compare(day_of(network, rows, clamped_s=600.0))


@pytest.mark.parametrize("name", STEEL)
def test_steel_through_its_peak_of_specific_heat(name: str) -> None:
    """A stack heated beyond 800 °C passes 735 °C twice: enthalpy, not mean heat."""
    network = network_of(name)
    per_kg = float(property_table("steel").enthalpy(1123.15))
    day = day_of(network, stop_rows(network, per_kg * network.brake.stack_mass_kg))
    assert day.ours_c()[:, 1 : network.disc_count - 1].max() > 800.0
    compare(day)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(50))
@pytest.mark.parametrize("name", known_brakes())
def test_random_days(name: str, number: int) -> None:
    """Fifty days per brake with jagged braking and anything drawn."""
    compare(random_day(network_of(name), np.random.default_rng([number, len(name)])))


@pytest.mark.parametrize("name", known_aircraft())
def test_exported_heat_is_the_heat_put_in(name: str) -> None:
    """The inputs of all discs together hold every joule of roll and taxi."""
    day = landed(name, 1.0)
    inputs = day.exported()["heat_input"]
    given_j = float((day.rows.arrival_j + day.rows.taxi_out_j)[0])
    assert sum(map(heat_input_j, inputs)) == pytest.approx(given_j, rel=1e-6)


@pytest.mark.parametrize("name", known_brakes())
def test_exported_masses_are_those_of_the_geometry(name: str) -> None:
    """Worn discs by hand from their radii, at least two a rotor and one."""
    network = network_of(name)
    brake, fraction = network.brake, 0.9
    rows = stop_rows(network, 1e6, stack_fraction=fraction)
    start = start_k(network, rows)[0]
    nodes = export_network(network, rows.variation, arrival(rows), start)["nodes"]
    discs = [node for node in nodes if node["name"].split()[0] in ("rotor", "stator")]
    assert len(discs) >= 2 * brake.rotor_count + 1
    rotor_m2 = brake.rotor_outer_radius_m**2 - brake.friction_inner_radius_m**2
    stator_m2 = brake.friction_outer_radius_m**2 - brake.stator_inner_radius_m**2
    middle = (brake.rotor_count - 1) * brake.stator_thickness_m
    volume_m3 = np.pi * (
        rotor_m2 * brake.rotor_count * brake.rotor_thickness_m
        + stator_m2 * (middle + 2.0 * brake.end_thickness_m)
    )
    expected = fraction * volume_m3 * material(brake.stack_material).density_kg_per_m3
    assert sum(node["mass_kg"] for node in discs) == pytest.approx(expected, rel=0.01)
    others = {node["name"]: node["mass_kg"] for node in nodes}
    assert others["wheel inboard"] == brake.wheel_inboard_kg
    assert others["torque tube"] == pytest.approx(brake.tube_mass_kg, rel=0.01)


def test_exported_curves_are_in_degrees_celsius_and_named() -> None:
    """A chart needs every kept node, the stack, the indication and the plug."""
    from tests.brake_days import cool_rows

    day = landed("twin-72", 0.0)
    curve = cool_rows(day.network, day.rows, day.phases, day.at_s)
    table = export_curves(curve)
    assert set(table["temperature_c"]) == set(day.network.nodes)
    assert table["plug_c"] == table["temperature_c"]["plug"]
    assert table["stack_c"][-1] == pytest.approx(
        float(curve.stack_k[0, -1]) - 273.15, abs=1e-3
    )


def test_phases_that_take_no_time_are_left_out() -> None:
    """No gear-down minutes, no links that hold from an instant to the same instant."""
    tables = landed("twin-72", 0.0).exported()
    for span in (*tables["links"], *tables["boundaries"]):
        assert span["end_s"] > span["start_s"]
