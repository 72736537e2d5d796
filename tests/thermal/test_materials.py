"""Materials: fits keep their meaning outside their range, tables invert exactly."""

import itertools
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from thermal.errors import ParameterError
from thermal.materials import (
    MATERIALS,
    REFERENCE_TEMPERATURE_K,
    TABLE_HIGH_K,
    TABLE_LOW_K,
    Material,
    PropertyTable,
    material,
    property_table,
)
from thermal.solids import (
    carbon_conductivity,
    carbon_specific_heat,
    steel_specific_heat,
)

NAMES = [each.name for each in MATERIALS]
STEEL_PEAK_K = 1008.15
SPAN_K = np.linspace(TABLE_LOW_K, TABLE_HIGH_K, 5003)


@pytest.fixture(params=NAMES)
def table(request: pytest.FixtureRequest) -> PropertyTable:
    """The table of each material in turn."""
    return property_table(request.param)


def test_enthalpy_and_temperature_are_inverse(table: PropertyTable) -> None:
    """Temperature to enthalpy and back returns the temperature over all the table."""
    back = table.temperature(table.enthalpy(SPAN_K))
    np.testing.assert_allclose(back, SPAN_K, rtol=0.0, atol=1e-6)


def test_inverse_holds_across_the_peak_of_steel() -> None:
    """Where the specific heat jumps sevenfold the inverse stays exact."""
    around = STEEL_PEAK_K + np.linspace(-20.0, 20.0, 4001)
    steel = property_table("steel")
    back = steel.temperature(steel.enthalpy(around))
    np.testing.assert_allclose(back, around, rtol=0.0, atol=1e-6)


def test_enthalpy_is_the_integral_of_the_tabulated_specific_heat(
    table: PropertyTable,
) -> None:
    """Between two points off the grid, enthalpy is the integral of the linear cp."""
    low, high = 731.37, 742.81
    expected, _ = quad(
        lambda t: float(table.specific_heat(t)),
        low,
        high,
        points=range(732, 743),
        epsabs=1e-6,
    )
    gained = table.enthalpy(high) - table.enthalpy(low)
    assert gained == pytest.approx(expected, rel=1e-10)


@pytest.mark.parametrize("name", NAMES)
def test_table_stays_close_to_its_fit(name: str) -> None:
    """Sampling loses no heat: the sum from 20 to 1000 °C is that of the fit."""
    exact, _ = quad(
        lambda t: float(material(name).specific_heat(t)),
        REFERENCE_TEMPERATURE_K,
        1273.15,
        points=[873.15, STEEL_PEAK_K, 1173.15],
        limit=300,
    )
    found = property_table(name).enthalpy(1273.15)
    assert found == pytest.approx(exact, rel=2e-4)


def test_enthalpy_counts_from_twenty_degrees(table: PropertyTable) -> None:
    """Enthalpy is zero at 20 °C, negative below and positive above."""
    assert table.enthalpy(REFERENCE_TEMPERATURE_K) == pytest.approx(0.0, abs=1e-6)
    assert table.enthalpy(REFERENCE_TEMPERATURE_K - 1.0) < 0.0
    assert table.enthalpy(REFERENCE_TEMPERATURE_K + 1.0) > 0.0


def test_properties_are_positive_and_enthalpy_grows(table: PropertyTable) -> None:
    """Every table has a positive cp and k, and its enthalpy rises all the way."""
    assert (table.specific_heat(SPAN_K) > 0.0).all()
    assert (table.conductivity(SPAN_K) > 0.0).all()
    assert (np.diff(table.enthalpy(SPAN_K)) > 0.0).all()


def test_batch_equals_singles(table: PropertyTable) -> None:
    """Any shape gives what its elements give one by one."""
    block = np.array([[250.3, 293.15, 700.0], [1008.2, 1500.5, 2599.9]])
    for method in (table.specific_heat, table.conductivity, table.enthalpy):
        singles = [[float(method(t)) for t in row] for row in block]
        np.testing.assert_array_equal(method(block), singles)
    heights = table.enthalpy(block)
    singles = [[float(table.temperature(h)) for h in row] for row in heights]
    np.testing.assert_array_equal(table.temperature(heights), singles)


def test_empty_input_gives_empty_output(table: PropertyTable) -> None:
    """No temperature at all is no fault."""
    assert table.enthalpy(np.empty((0, 3))).shape == (0, 3)


@pytest.mark.parametrize("bad", [199.9, 2600.1, np.nan, np.inf])
def test_temperature_outside_the_table_is_refused(
    table: PropertyTable, bad: float
) -> None:
    """A temperature the table does not hold is an error, also amid good ones."""
    for method in (table.specific_heat, table.conductivity, table.enthalpy):
        with pytest.raises(ParameterError, match=r"temperature_k: expected 200 to 260"):
            method([300.0, bad])


def test_enthalpy_outside_the_table_is_refused(table: PropertyTable) -> None:
    """An enthalpy beyond the ends, or NaN, is an error."""
    beyond = table.enthalpy_j_per_kg[-1] * 1.001
    for bad in (beyond, table.enthalpy_j_per_kg[0] * 1.1, np.nan):
        with pytest.raises(ParameterError, match="enthalpy_j_per_kg"):
            table.temperature([0.0, bad])


def test_tables_are_read_only_and_built_once() -> None:
    """A table is shared, so nobody can write to it and it is made only once."""
    steel = property_table("steel")
    assert property_table("steel") is steel
    with pytest.raises(ValueError, match="read-only"):
        steel.specific_heat_j_per_kg_k[0] = 1.0


def test_unknown_material_names_the_known_ones() -> None:
    """The message for a wrong name lists what there is, and the error pickles."""
    with pytest.raises(ParameterError, match="carbon, steel, aluminium") as caught:
        material("cheese")
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


def test_names_are_unique_and_sourced() -> None:
    """Each material has a name of its own and says where its numbers come from."""
    assert len(set(NAMES)) == len(NAMES)
    assert all(each.source for each in MATERIALS)


@pytest.mark.parametrize(
    ("field", "value"),
    [("emissivity", 1.2), ("density_kg_per_m3", -1.0), ("source", "")],
)
def test_impossible_material_is_refused(field: str, value: object) -> None:
    """No record is built with an emissivity over 1, a negative density, no source."""
    good = {
        "name": "test",
        "density_kg_per_m3": 1000.0,
        "emissivity": 0.5,
        "specific_heat": carbon_specific_heat,
        "conductivity": carbon_conductivity,
        "source": "test",
    }
    with pytest.raises(ParameterError, match=field):
        Material(**{**good, field: value})


@pytest.mark.parametrize(
    ("each", "low_k", "high_k"),
    [
        ("carbon", 200.0, 3500.0),
        ("steel", 293.15, 1473.15),
        ("aluminium", 293.15, 773.15),
        ("stainless", 293.15, 1473.15),
        ("titanium", 293.15, 1268.0),
        ("rubber", 293.15, 473.15),
    ],
)
def test_edge_value_is_held_outside_the_range(
    each: str, low_k: float, high_k: float
) -> None:
    """Beyond the stated range a fit keeps its edge value."""
    fit = material(each).specific_heat
    np.testing.assert_array_equal(
        fit([low_k - 50.0, high_k + 500.0]), fit([low_k, high_k])
    )


def test_steel_peak_stands_where_the_lattice_changes() -> None:
    """The largest specific heat of steel lies at 735 °C and is 5000 J/(kg K)."""
    grid = STEEL_PEAK_K + np.arange(-400, 401) * 0.25
    heat = steel_specific_heat(grid)
    assert grid[np.argmax(heat)] == pytest.approx(STEEL_PEAK_K)
    assert heat.max() == pytest.approx(5000.0)


def test_carbon_conductivity_halves_at_a_thousand_degrees() -> None:
    """Carbon-carbon conducts half as well at 1000 °C as at 20 °C, never better."""
    cold, hot = carbon_conductivity([293.15, 1273.15])
    assert hot == pytest.approx(cold / 2.0)
    assert (np.diff(carbon_conductivity(SPAN_K)) <= 0.0).all()


def test_conductors_stand_in_their_known_order() -> None:
    """Aluminium conducts best, then steel, carbon, stainless, titanium, rubber."""
    order = ["aluminium", "steel", "carbon", "stainless", "titanium", "rubber"]
    at_room = [float(property_table(name).conductivity(300.0)) for name in order]
    assert all(a > b for a, b in itertools.pairwise(at_room))


@given(
    name=st.sampled_from(NAMES),
    temperature_k=st.floats(TABLE_LOW_K, TABLE_HIGH_K),
)
def test_any_temperature_survives_the_round_trip(
    name: str, temperature_k: float
) -> None:
    """Enthalpy and back returns any temperature that the table holds."""
    table = property_table(name)
    back = float(table.temperature(table.enthalpy(temperature_k)))
    assert back == pytest.approx(temperature_k, abs=1e-6)
