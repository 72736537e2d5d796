"""The verifier's own integration: closed forms, heat pulses, the other integrator."""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import build_case, network_of
from scheduler.verify.exported import Lookup, spans_of
from scheduler.verify.history import history_of
from thermal.cooling import cool
from thermal.errors import IntegrationError, ParameterError
from thermal.export import export_network
from thermal.turnaround import arrival, arrival_s, departure, fan_job, parked, start_k
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4


def flat(value: float, count: int = 2) -> list[float]:
    return [value] * count


def block(
    *,
    to_air_w_per_k: float = 0.0,
    to_air_m2: float = 0.0,
    between_w_per_k: float = 0.0,
    initial_c: tuple[float, float] = (500.0, 30.0),
    heat: list[dict[str, Any]] | None = None,
    ends_s: tuple[float, ...] = (0.0, 3600.0),
) -> dict[str, Any]:
    """A rotor of 10 kg and a wheel of 20 kg, both 1000 J/(kg K), in air of 20 °C."""
    windows = [{"start_s": a, "end_s": b} for a, b in pairwise(ends_s)]
    surface = {
        "node": "rotor 1",
        "ambient_c": 20.0,
        "surface_c": [-50.0, 2000.0],
        "conductance_w_per_k": flat(to_air_w_per_k),
        "radiation_m2": to_air_m2,
    }
    link = {
        "from": "rotor 1",
        "to": "wheel",
        "mean_temperature_c": [-60.0, 1700.0],
        "conduction_w_per_k": flat(between_w_per_k),
        "radiation_m2": 0.0,
    }
    names = (("rotor 1", 10.0), ("wheel", 20.0))
    return {
        "nodes": [
            {"name": name, "material": "solid", "mass_kg": mass, "initial_c": first}
            for (name, mass), first in zip(names, initial_c, strict=True)
        ],
        "materials": {
            "solid": {
                "temperature_c": [-73.15, 1126.85, 2326.85],
                "specific_heat_j_per_kg_k": flat(1000.0, 3),
            }
        },
        "links": [link | window for window in windows],
        "boundaries": [surface | window for window in windows],
        "heat_input": heat or [],
    }


def test_lumped_cooling():
    """One mass and one conductance: an exponential."""
    history = history_of(block(to_air_w_per_k=10.0), np.array([0.0, 500.0, 2000.0]))
    expected = 293.15 + 480.0 * np.exp(-np.array([0.0, 0.5, 2.0]))
    assert history.node_k("rotor 1") == pytest.approx(expected, abs=0.01)


def test_radiation_alone():
    """Cooling to surroundings by radiation, closed form of the inverse function."""
    history = history_of(block(to_air_m2=0.5), np.array([0.0, 3000.0]))
    air_k = 293.15

    def inverse(hot_k: float) -> float:
        ratio = np.log((hot_k + air_k) / (hot_k - air_k))
        return (ratio + 2.0 * np.arctan(hot_k / air_k)) / (4.0 * air_k**3)

    end_k = float(history.node_k("rotor 1")[1])
    rate = STEFAN_BOLTZMANN_W_PER_M2_K4 * 0.5 / 1e4
    assert (inverse(end_k) - inverse(773.15)) / rate == pytest.approx(3000.0, rel=1e-4)


def test_two_masses_share_their_heat():
    """What one loses the other gains, towards the mean by their masses."""
    history = history_of(block(between_w_per_k=20.0), np.array([0.0, 600.0, 3600.0]))
    total = history.temperature_k @ history.mass_kg
    assert total == pytest.approx(np.full(3, total[0]), rel=1e-7)
    mean_k = total[0] / 30.0
    decay = np.exp(-20.0 * (1e-4 + 0.5e-4) * 3600.0)
    expected = mean_k + (773.15 - mean_k) * decay
    assert history.node_k("rotor 1")[2] == pytest.approx(expected, abs=0.01)


def test_heat_that_jumps_between_phases_is_taken_once():
    """Two pieces that meet, then a pause: all heat goes in, and on its own side."""
    heat = [
        {
            "node": "rotor 1",
            "time_s": [0.0, 10.0, 10.0, 100.0, 100.0, 3000.0, 3000.0, 3010.0],
            "power_w": [4e5, 0.0, 1e3, 1e3, 0.0, 0.0, 2e4, 2e4],
        }
    ]
    ends_s = (0.0, 10.0, 100.0, 3000.0, 3010.0, 3600.0)
    at_s = np.array([0.0, 10.0, 100.0, 2999.0, 3600.0])
    history = history_of(block(heat=heat, ends_s=ends_s), at_s)
    expected = 773.15 + np.array([0.0, 200.0, 209.0, 209.0, 229.0])
    assert history.node_k("rotor 1") == pytest.approx(expected, abs=0.02)


def test_enthalpy_of_the_stack_counts_from_twenty_degrees():
    """Mean enthalpy and its inverse follow the exported specific heat."""
    history = history_of(block(), np.array([0.0]))
    assert history.stack_j_per_kg[0] == pytest.approx(480e3)
    assert history.stack_at_k(480e3) == pytest.approx(773.15)
    assert history.stack_kg == 10.0


def test_the_jacobian_is_that_of_the_rate():
    """Where tables are flat the derivative is exact."""
    exported = block(to_air_w_per_k=5.0, to_air_m2=0.3, between_w_per_k=20.0)
    (span,) = spans_of(exported)
    state_k = np.array([900.0, 400.0])
    numeric = np.stack(
        [
            (span.rate(0.0, state_k + step) - span.rate(0.0, state_k - step)) / 2e-3
            for step in 1e-3 * np.eye(2)
        ],
        axis=1,
    )
    assert span.jacobian(0.0, state_k) == pytest.approx(numeric, rel=1e-5)


def test_lookup_is_linear_between_grid_points():
    """Tables of different length and step behind each other keep apart."""
    grids = [np.array([200.0, 300.0, 400.0]), np.array([250.0, 255.0])]
    tables = [np.array([1.0, 3.0, 2.0]), np.array([10.0, 20.0])]
    lookup = Lookup.of(grids, tables)
    for asked in ((200.0, 251.0), (350.0, 255.0), (400.0, 250.0), (299.0, 252.5)):
        expected = [
            np.interp(t, *pair) for t, *pair in zip(asked, grids, tables, strict=True)
        ]
        assert lookup.at(np.array(asked)) == pytest.approx(expected)


def test_unequal_steps_are_refused():
    """Direct look-up needs equal steps."""
    with pytest.raises(ParameterError, match="equal steps"):
        Lookup.of([np.array([0.0, 1.0, 3.0])], [np.zeros(3)])


def test_gaps_and_instants_outside_are_refused():
    """Neither a hole between spans nor an instant beyond them is guessed."""
    holed = block(ends_s=(0.0, 10.0, 20.0, 30.0))
    holed["links"] = [one for one in holed["links"] if one["start_s"] != 10.0]
    holed["boundaries"] = [one for one in holed["boundaries"] if one["start_s"] != 10.0]
    with pytest.raises(ParameterError, match="no gap"):
        spans_of(holed)
    with pytest.raises(IntegrationError, match="outside"):
        history_of(block(), np.array([4000.0]))


@pytest.mark.parametrize("place", range(5))
def test_both_integrators_agree(place: int):
    """On every aircraft of the sample day, with a fan, both give the same heat."""
    day = sample_day()
    case = build_case(day, day.turnarounds[place], sample_count=8, seed=2)
    network, rows = network_of(case.aircraft.brake), case.rows.select(np.array([9]))
    phases = (
        *arrival(rows),
        *parked(rows, 0.0, 1200.0),
        *fan_job(rows, np.array([20.0]), np.array([45.0]), np.array([9.0]), 30.0),
        *departure(rows, np.array([75.0])),
    )
    first_s, start = -float(arrival_s(rows)[0]), start_k(network, rows)
    exported = export_network(
        network, rows.variation, phases, start[0], start_s=first_s
    )
    at_s = np.arange(0.0, 11000.0, 60.0)
    ours = history_of(exported, at_s)
    theirs = cool(network, rows.variation, phases, start, at_s, start_s=first_s)
    assert ours.temperature_k == pytest.approx(theirs.temperature_k[0], abs=0.5)
    assert ours.stack_j_per_kg == pytest.approx(theirs.stack_j_per_kg[0], abs=500.0)


def test_an_instant_beside_an_end_is_that_end() -> None:
    """A rounding error between two instants does not stop the integration."""
    data = block(to_air_w_per_k=8.0, ends_s=(0.0, 600.0, 1200.0))
    times = np.array([1e-9, 300.0, 600.0 + 1e-7, 1200.0 - 1e-9])
    close = history_of(data, times)
    clean = history_of(data, np.array([0.0, 300.0, 600.0, 1200.0]))
    for name in ("rotor 1", "wheel"):
        np.testing.assert_allclose(close.node_k(name), clean.node_k(name), atol=1e-3)
