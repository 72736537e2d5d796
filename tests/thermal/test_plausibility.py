"""A brake's data are refused where what follows from them is no brake."""

import re
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from thermal.catalogue import known_brakes, load_brake, read_brake
from thermal.conductances import Conductances
from thermal.errors import ParameterError
from thermal.materials import property_table
from thermal.network import build_network
from thermal.plausibility import bands, time_constants_s
from thermal.timeline import Air, PhaseKind, phase
from thermal.variation import Variation


def changed_file(folder: Path, brake: str, **values: float) -> Path:
    """Copy a catalogue file with some values changed, ranges opened for them."""
    text = (files("thermal") / "data" / "brakes" / f"{brake}.toml").read_text("utf-8")
    for key, value in values.items():
        text, count = re.subn(
            rf"^({key} = \{{ value = )[^,]+(, .*low = )[^,]+(, high = )[^,]+",
            rf"\g<1>{value}\g<2>{value}\g<3>{value}",
            text,
            flags=re.MULTILINE,
        )
        assert count == 1, key
    path = folder / "changed.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("brake", known_brakes())
def test_catalogue_brakes_are_plausible(brake: str) -> None:
    """Every shipped brake lies within every band."""
    assert [band.fault for band in bands(load_brake(brake)) if band.fault] == []


FAULTS = [
    ("carbon-narrow", {"rotor_thickness_m": 0.2}, "stack mass: expected 8 to 120 kg"),
    (
        "steel-narrow",
        {"rotor_thickness_m": 1e-3, "stator_thickness_m": 1e-3},
        "stack mass: expected 20 to 250 kg",
    ),
    ("carbon-narrow", {"rim_width_m": 0.2}, "stack length against rim width"),
    ("carbon-narrow", {"worn_fraction": 0.98}, "worn_fraction: expected 0.55 to 0.95"),
    ("carbon-narrow", {"rim_radius_m": 0.32}, "gap between rotor and rim"),
    ("carbon-narrow", {"shield_radius_m": 0.2345}, "heat shield's place"),
    ("steel-wide", {"stack_j_per_kg": 800e3}, "stack at stack_j_per_kg: expected 450"),
    ("carbon-wide", {"stack_j_per_kg": 1.39e3}, "stack at stack_j_per_kg"),
    ("carbon-wide", {"stack_j_per_kg": 9e9}, "stack at stack_j_per_kg"),
    ("steel-wide", {"disc_c": 1300.0}, "disc_c: expected 749"),
    ("steel-wide", {"disc_c": 700.0}, "disc_c: expected 749"),
    ("carbon-heavy", {"release_c": 100.0}, "plug release: expected 120 to 230 °C"),
    ("carbon-heavy", {"release_c": 260.0}, "plug release: expected 120 to 230 °C"),
    ("carbon-heavy", {"display_lag_s": 200.0}, "display lag: expected 1 to 120 s"),
    ("carbon-heavy", {"indicated_valid_after_s": 60.0}, "against the lags"),
    ("carbon-wide", {"housing_mass_kg": 0.002}, "fastest time constant, brakes set"),
    ("carbon-wide", {"wheel_inboard_kg": 3000.0}, "slowest time constant"),
]


@pytest.mark.parametrize(("brake", "values", "message"), FAULTS)
def test_one_bad_value_is_named(
    tmp_path: Path, brake: str, values: dict[str, float], message: str
) -> None:
    """File and quantity stand in the error, though the value has its own range."""
    path = changed_file(tmp_path, brake, **values)
    with pytest.raises(ParameterError, match=re.escape(message)) as caught:
        read_brake(path)
    assert str(caught.value).startswith("changed.toml: ")


def test_lags_are_named(tmp_path: Path) -> None:
    """Probe and plug lags, which share a key, each in its own table."""
    path = changed_file(tmp_path, "steel-narrow")
    text = path.read_text("utf-8").replace(
        'value = 120.0, unit = "s"', 'value = 4.0, unit = "s"'
    )
    text = text.replace("low = 60.0", "low = 1.0").replace("low = 30.0", "low = 1.0")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ParameterError) as caught:
        read_brake(path)
    assert "probe lag: expected 10 to 600 s, got 4" in str(caught.value)
    assert "plug lag: expected 10 to 600 s, got 4" in str(caught.value)


def test_all_faults_come_at_once(tmp_path: Path) -> None:
    """Two slips, one error that names both."""
    path = changed_file(tmp_path, "carbon-wide", release_c=90.0, worn_fraction=0.99)
    with pytest.raises(ParameterError, match=r"worn_fraction.*plug release"):
        read_brake(path)


def test_a_stack_of_another_solid_is_refused(tmp_path: Path) -> None:
    """Nothing is known about the limits of a titanium stack."""
    path = changed_file(tmp_path, "carbon-wide")
    text = path.read_text("utf-8")
    path.write_text(text.replace('k_material = "carbon"', 'k_material = "titanium"'))
    with pytest.raises(
        ParameterError, match="stack_material: expected carbon or steel"
    ):
        read_brake(path)


@pytest.mark.parametrize("brakes_set", [True, False])
def test_time_constants_are_those_of_the_network_that_is_integrated(
    brakes_set: bool,
) -> None:
    """Differences of the integrator's flows give the same, films' own slope apart."""
    network = build_network(load_brake("steel-narrow"))
    conductances = Conductances(network, Variation.nominal())
    still = phase(
        PhaseKind.PARKED,
        *(60.0, Air(ambient_k=293.15, pressure_pa=101325.0)),
        batch=1,
        brakes_set=brakes_set,
    )
    conductances.begin(still)
    level, count = np.full((len(network.nodes), 1), 400.0), len(network.nodes)
    slopes = np.empty((count, count))
    for node in range(count):
        step = np.zeros((count, 1))
        step[node] = 0.01
        rise = conductances.flows(level + step)[2] - conductances.flows(level - step)[2]
        slopes[:, node] = rise[:, 0] / 0.02
    heat = [
        float(property_table(name).specific_heat(400.0)) for name in network.materials
    ]
    rates = -np.linalg.eigvals(slopes / (network.mass_kg * heat)[:, None]).real
    expected = np.sort(1.0 / rates)
    found = time_constants_s(network, brakes_set=brakes_set)
    assert found.tolist() == pytest.approx(expected.tolist(), rel=0.15)
    assert found[0] == pytest.approx(expected[0], rel=0.01)
