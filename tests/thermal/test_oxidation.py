"""Oxidation of carbon: ratios of rates against known ones, doses against integrals."""

import numpy as np
import pytest
from scipy.integrate import quad

from thermal.errors import ParameterError
from thermal.oxidation import (
    OxidationKinetics,
    oxidation_dose,
    relative_oxidation_rate,
)
from thermal.units import kelvin

HOURLY_S = np.linspace(0.0, 3600.0, 61)


def ratio(low_c: float, high_c: float, energy_j: float) -> float:
    """Rate at one temperature against another, same activation energy."""
    kinetics = OxidationKinetics(chemical_j_per_mol=energy_j)
    rates = relative_oxidation_rate(kelvin([low_c, high_c]), kinetics=kinetics)
    return float(rates[1] / rates[0])


@pytest.mark.parametrize(("energy_j", "expected"), [(170e3, 20.7), (120e3, 8.5)])
def test_rate_from_500_to_600(energy_j: float, expected: float) -> None:
    """Computed from activation energies from memory, without and with a catalyst."""
    assert ratio(500.0, 600.0, energy_j) == pytest.approx(expected, abs=0.05)


def test_half_the_energy_is_left_above_the_transition() -> None:
    """In the pores the logarithm rises half as steeply with inverse temperature."""
    chemical, pores = ratio(500.0, 600.0, 170e3), ratio(700.0, 800.0, 170e3)
    inverse = 1.0 / kelvin([500.0, 600.0, 700.0, 800.0])
    slopes = np.log([chemical, pores]) / (inverse[[0, 2]] - inverse[[1, 3]])
    assert slopes[1] / slopes[0] == pytest.approx(0.5)


def test_regimes_meet_at_the_transition() -> None:
    """No jump where pore diffusion takes over."""
    around = relative_oxidation_rate(923.15 + np.array([-1e-6, 1e-6]))
    assert around[1] / around[0] == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("factor", [1.0, 10.0])
def test_an_hour_at_the_reference_counts_one(factor: float) -> None:
    """That is what the dose is relative to; de-icer multiplies it."""
    dose = oxidation_dose(HOURLY_S, np.full(61, 873.15), deicer_factor=factor)
    assert float(dose) == pytest.approx(factor)


def test_another_reference_changes_the_scale_only() -> None:
    """Two histories keep their ratio whatever the reference is."""
    histories = kelvin([[620.0] * 61, [540.0] * 61])
    colder = OxidationKinetics(reference_k=773.15)
    usual = oxidation_dose(HOURLY_S, histories)
    other = oxidation_dose(HOURLY_S, histories, kinetics=colder)
    assert other[0] / other[1] == pytest.approx(usual[0] / usual[1])
    assert other[0] / usual[0] == pytest.approx(20.7, abs=0.05)


def test_a_steep_ramp_on_a_coarse_grid_is_integrated() -> None:
    """150 K between two instants, across the transition, within one in a thousand."""
    time_s, ramp_k = np.array([0.0, 5.0]), np.array([873.15, 1023.15])
    exact, _ = quad(
        lambda t: float(relative_oxidation_rate(873.15 + 30.0 * t)),
        *(0.0, 5.0),
        points=[(923.15 - 873.15) / 30.0],
        epsabs=0.0,
    )
    dose = float(oxidation_dose(time_s, ramp_k))
    assert dose == pytest.approx(exact / 3600.0, rel=1e-3)


def test_a_batch_equals_its_members() -> None:
    """Doses of many histories are those of each alone."""
    draw = np.random.default_rng(4)
    histories = draw.uniform(300.0, 1400.0, (6, 61))
    factors = draw.uniform(1.0, 20.0, 6)
    together = oxidation_dose(HOURLY_S, histories, deicer_factor=factors)
    alone = [
        float(oxidation_dose(HOURLY_S, one, deicer_factor=factor))
        for one, factor in zip(histories, factors, strict=True)
    ]
    assert together.tolist() == pytest.approx(alone, rel=1e-12)


def test_time_adds_up() -> None:
    """The dose of two stretches is the sum of theirs."""
    history = kelvin(np.linspace(700.0, 300.0, 61))
    whole = oxidation_dose(HOURLY_S, history)
    parts = [
        oxidation_dose(HOURLY_S[:31], history[:31]),
        oxidation_dose(HOURLY_S[30:], history[30:]),
    ]
    assert float(whole) == pytest.approx(float(sum(parts)))


@pytest.mark.parametrize(
    ("time_s", "temperature_k", "factor"),
    [
        ([0.0, 0.0], [500.0, 500.0], 1.0),
        ([0.0], [500.0], 1.0),
        ([0.0, 1.0], [500.0], 1.0),
        ([0.0, 1.0], [500.0, np.nan], 1.0),
        ([0.0, 1.0], [500.0, 500.0], 0.5),
    ],
)
def test_histories_that_make_no_sense_are_refused(
    time_s: list[float], temperature_k: list[float], factor: float
) -> None:
    """Instants that stand still, other lengths, NaN, a factor that protects."""
    with pytest.raises(ParameterError):
        oxidation_dose(time_s, temperature_k, deicer_factor=factor)


@pytest.mark.parametrize(
    "given",
    [
        {"chemical_j_per_mol": 1e3},
        {"diffusion_j_per_mol": 2e5},
        {"transition_k": 500.0},
        {"reference_k": float("nan")},
    ],
)
def test_kinetics_of_no_carbon_are_refused(given: dict[str, float]) -> None:
    """Energies in the wrong unit, a transition where none is."""
    with pytest.raises(ParameterError, match=next(iter(given))):
        OxidationKinetics(**given)
