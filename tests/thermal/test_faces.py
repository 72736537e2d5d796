"""The face of a disc during the stop against closed forms of conduction."""

import numpy as np
import pytest

from thermal.catalogue import known_brakes, load_brake
from thermal.errors import ParameterError
from thermal.faces import face_excess_k
from thermal.materials import property_table

FLUX, K, RHO_C, LONG = 1e6, 20.0, 1750.0 * 1400.0, 0.2


def _constant(time_s: np.ndarray, half_m: float) -> np.ndarray:
    flux = np.full(time_s.shape, FLUX)
    excess = face_excess_k(time_s, flux, half_m, K, RHO_C)
    return excess + FLUX * time_s / (RHO_C * half_m)


def test_a_thick_disc_heats_as_a_semi_infinite_solid() -> None:
    """720.9 K after 20 s of 1 MW/m2: 2 q sqrt(alpha t / pi) / k (Incropera 5.7)."""
    time_s = np.linspace(0.0, 20.0, 401)
    rise = _constant(time_s, LONG)
    exact = 2.0 * FLUX * np.sqrt(K / RHO_C * time_s / np.pi) / K
    assert rise[-1] == pytest.approx(720.9, abs=0.7)
    late = time_s > 2.0
    np.testing.assert_allclose(rise[late], exact[late], rtol=3e-3)


def test_a_thin_disc_settles_a_third_of_its_depth_ahead() -> None:
    """Under steady flux the face ends q L / 3 k above the mean (Carslaw, Jaeger)."""
    half_m = 0.006
    time_s = np.linspace(0.0, 60.0, 601)
    excess = face_excess_k(time_s, np.full(601, FLUX), half_m, K, RHO_C)
    assert excess[-1] == pytest.approx(FLUX * half_m / (3.0 * K), rel=1e-4)


def test_the_face_falls_back_to_the_mean_after_the_stop() -> None:
    """A few diffusion times after the flux ends nothing is left of the excess."""
    time_s = np.concatenate(
        [np.linspace(0.0, 20.0, 201), np.linspace(20.1, 120.0, 500)]
    )
    flux = np.where(time_s <= 20.0, FLUX * (1.0 - time_s / 20.0), 0.0)
    excess = face_excess_k(time_s, flux, 0.012, K, RHO_C)
    assert excess.max() > 100.0
    assert abs(excess[-1]) < 0.05


def _fine_slab(thickness_m: float, flux: np.ndarray, step_s: float) -> np.ndarray:
    """Mean and face of a slab heated on both faces, 400 cells, implicit in time."""
    cells = 400
    width = thickness_m / cells
    couple = K / width**2 / RHO_C
    matrix = np.diag(np.full(cells, 1.0 + 2.0 * couple * step_s))
    off = np.full(cells - 1, -couple * step_s)
    matrix += np.diag(off, 1) + np.diag(off, -1)
    matrix[0, 0] = matrix[-1, -1] = 1.0 + couple * step_s
    inverse = np.linalg.inv(matrix)
    state, found = np.zeros(cells), []
    for power in flux:
        load = np.zeros(cells)
        load[[0, -1]] = power * step_s / (RHO_C * width)
        state = inverse @ (state + load)
        found.append((state.mean(), state[0] + 0.5 * power * width / K))
    return np.array(found)


def test_disc_mean_and_face_follow_a_finely_divided_slab() -> None:
    """Bulk mean within 1 K and face within 2 % of a slab of 400 cells."""
    thickness_m, step_s = 0.036, 0.02
    time_s = np.arange(0.0, 25.0 + 1e-9, step_s)
    flux = 0.8 * FLUX * (1.0 - time_s / 25.0)
    fine = _fine_slab(thickness_m, 0.5 * (flux[1:] + flux[:-1]), step_s)
    energy = np.cumsum(0.5 * (flux[1:] + flux[:-1])) * step_s
    mean = 2.0 * energy / (RHO_C * thickness_m)
    assert np.abs(mean - fine[:, 0]).max() < 1.0
    excess = face_excess_k(time_s, flux, 0.5 * thickness_m, K, RHO_C)[1:]
    late = time_s[1:] > 1.0
    error = np.abs(mean + excess - fine[:, 1])[late]
    assert error.max() < 0.02 * fine[:, 1].max()


@pytest.mark.parametrize("name", known_brakes())
def test_faces_of_a_landing_run_ahead_of_every_catalogue_stack(name: str) -> None:
    """In a 25 s stop a face leads its disc by tens of kelvin, not by thousands."""
    brake = load_brake(name)
    table = property_table(brake.stack_material)
    hot = np.float64(600.0)
    time_s = np.linspace(0.0, 25.0, 251)
    per_kg = 4.2e5 if brake.stack_material == "carbon" else 1.8e5
    energy = per_kg * brake.stack_mass_kg
    faces_m2 = 4 * brake.rotor_count * brake.friction_area_m2
    flux = 2.0 * energy / 25.0 / faces_m2 * (1.0 - time_s / 25.0)
    excess = face_excess_k(
        time_s,
        flux,
        0.5 * brake.rotor_thickness_m,
        float(table.conductivity(hot)),
        float(table.specific_heat(hot)) * table.material.density_kg_per_m3,
    )
    assert 20.0 < excess.max() < 600.0


@pytest.mark.parametrize(
    ("time_s", "half_m", "word"),
    [([0.0, 0.0], 0.01, "rising"), ([0.0, 1.0], -1.0, "half_thickness_m")],
)
def test_bad_input_is_named(time_s: list[float], half_m: float, word: str) -> None:
    """Instants that stand still and a negative thickness are refused."""
    with pytest.raises(ParameterError, match=word):
        face_excess_k(np.array(time_s), np.ones(2), half_m, K, RHO_C)
