"""The step: order, exact linear curves, guards, batches, what it refuses."""

import numpy as np
import pytest
from scipy.linalg import expm

from tests.brake_days import (
    AIR_K,
    SEA_LEVEL_PA,
    aircraft_and_network,
    cool_rows,
    landing_phases,
    network_of,
    normal_landing,
    rows_like,
)
from tests.published.cooling_values import two_bodies
from tests.small_networks import (
    AMBIENT_K,
    SINK_KG,
    cool_small,
    peak,
    small_network,
)
from thermal.arrays import FloatArray
from thermal.catalogue import known_aircraft, known_brakes
from thermal.cooling import cool
from thermal.errors import IntegrationError, ParameterError
from thermal.integrate import Integrator
from thermal.timeline import Air, Phase, PhaseKind, phase
from thermal.turnaround import start_k
from thermal.variation import Variation

STEPS_S = (120.0, 60.0, 30.0, 15.0, 7.5)
FINEST_S = 3.75
COOLED_S = 1800.0


def still(duration_s: float, batch: int = 1) -> Phase:
    """Still air of 20 °C."""
    air = Air(ambient_k=AIR_K, pressure_pa=SEA_LEVEL_PA)
    return phase(PhaseKind.PARKED, duration_s, air, batch=batch)


def march(integrator: Integrator, start: FloatArray, step_s: float) -> FloatArray:
    """Half an hour of fixed steps."""
    integrator.begin(still(COOLED_S))
    enthalpy = integrator.enthalpy(start.T)
    for _ in range(round(COOLED_S / step_s)):
        state = integrator.state(enthalpy)
        enthalpy, _, _ = integrator.step(state, np.array([step_s]), None)
    return integrator.temperature(enthalpy)[:, 0]


@pytest.mark.parametrize("name", known_aircraft())
def test_error_falls_with_the_square_of_the_step(name: str) -> None:
    """Cooling without events from 20 minutes after a landing: order 1.9 or more."""
    aircraft, network = aircraft_and_network(name)
    rows = normal_landing(aircraft, np.array([0.0]))
    at_s = np.array([1200.0])
    start = cool_rows(network, rows, landing_phases(rows, 1200.0), at_s).end_k
    integrator = Integrator(network, rows.variation)
    ends = [march(integrator, start, step_s) for step_s in (*STEPS_S, FINEST_S)]
    # Second order taken for granted only to better the finest one.
    exact = ends[-1] + (ends[-1] - ends[-2]) / 3.0
    errors = [np.abs(end - exact).max() for end in ends[:-1]]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders.min() >= 1.9


def test_two_bodies_follow_the_matrix_exponential() -> None:
    """A linear network has an exact solution, here by another way entirely."""
    curve = two_bodies()
    heat = np.array([45.0 * 1233.0, 60.0 * 900.0])
    rates = np.array([[-26.0, 12.0], [12.0, -20.0]]) / heat[:, None]
    start = np.array([480.0, 10.0])
    exact = np.array([expm(rates * t) @ start for t in curve.time_s])
    ours = curve.temperature_k[0, :, :2] - AMBIENT_K
    assert np.abs(ours - exact).max() < 0.02


def test_wheel_peaks_where_gain_and_loss_are_equal() -> None:
    """At the peak, 12 W/K from the stack feeds 8 W/K to the air."""
    curve = two_bodies()
    at_s, peak_k = peak(curve.time_s, curve.node_k("wheel")[0])
    stack_k = np.interp(at_s, curve.time_s, curve.node_k("stack")[0])
    gain_w, loss_w = 12.0 * (stack_k - peak_k), 8.0 * (peak_k - AMBIENT_K)
    assert gain_w == pytest.approx(loss_w, rel=1e-3)


def test_indicator_peaks_on_the_true_curve() -> None:
    """A lag turns where it crosses what it follows."""
    network = small_network(
        {"stack": (45.0, 1200.0), "air": (SINK_KG, 1000.0), "probe": (1e-6, 480.0)},
        (("stack", "air", 15.0), ("stack", "probe", 1e-6 * 2.0)),
    )
    start = np.array([AMBIENT_K + 400.0, AMBIENT_K, AMBIENT_K])
    curve = cool_small(network, start, 1800.0, 5.0)
    at_s, peak_k = peak(curve.time_s, curve.node_k("probe")[0])
    true_k = np.interp(at_s, curve.time_s, curve.node_k("stack")[0])
    assert peak_k == pytest.approx(true_k, abs=0.05)


@pytest.mark.parametrize("brake", known_brakes())
def test_batch_of_many_equals_singles(brake: str) -> None:
    """Samples that share their steps differ from lone ones within the tolerance."""
    network, count = network_of(brake), 6
    heat_j = np.linspace(0.1, 0.6, count) * network.brake.stack_mass_kg * 1e6
    rows = rows_like(
        count,
        stack_fraction=np.linspace(0.87, 1.0, count),
        roll_s=np.linspace(15.0, 40.0, count),
        roll_power_w=heat_j[:, None] / 25.0 * np.linspace(1.5, 0.5, 33),
        convection_factor=np.linspace(0.8, 1.2, count),
    )
    at_s = np.arange(0.0, 5400.0, 60.0)
    together = cool_rows(network, rows, landing_phases(rows, 5400.0), at_s)
    for row in range(count):
        one = rows.select(np.array([row]))
        alone = cool_rows(network, one, landing_phases(one, 5400.0), at_s)
        apart = np.abs(together.temperature_k[row] - alone.temperature_k[0])
        assert apart.max() < 0.7


def test_chunks_join_in_order(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows spread over chunks come out as from one chunk."""
    network = network_of("carbon-narrow")
    power_w = np.linspace(2e5, 1e6, 5)[:, None] * np.ones((5, 33))
    rows = rows_like(5, roll_power_w=power_w)
    at_s = np.array([0.0, 900.0, 1800.0])
    whole = cool_rows(network, rows, landing_phases(rows, 1800.0), at_s)
    monkeypatch.setattr("thermal.cooling.CHUNK", 2)
    parts = cool_rows(network, rows, landing_phases(rows, 1800.0), at_s)
    assert np.abs(whole.temperature_k - parts.temperature_k).max() < 0.7
    assert np.abs(whole.end_k - parts.end_k).max() < 0.7
    assert whole.input_j == pytest.approx(parts.input_j, rel=1e-12)


def test_heat_beyond_the_material_tables_is_an_error() -> None:
    """A brake that would glow away is refused, not clipped."""
    network = network_of("carbon-narrow")
    rows = rows_like(1, roll_power_w=np.full((1, 33), 2e7))
    with pytest.raises(IntegrationError, match="too hot for its table"):
        cool_rows(network, rows, landing_phases(rows, 60.0), np.array([0.0]))


def test_start_of_another_shape_is_refused() -> None:
    """A state of the wrong network is caught before any step."""
    network = network_of("carbon-narrow")
    with pytest.raises(ParameterError, match="start_k: expected shape"):
        cool(
            network,
            Variation.nominal(2),
            (still(60.0, 2),),
            np.full((1, len(network.nodes)), AIR_K),
            np.array([0.0]),
        )


@pytest.mark.parametrize("at_s", [-1.0, 61.0])
def test_instants_outside_the_phases_are_refused(at_s: float) -> None:
    """Nothing is extrapolated before the start or after the end."""
    network = network_of("carbon-narrow")
    start = start_k(network, rows_like(1))
    with pytest.raises(ParameterError, match=r"at_s: expected 0\.0 to 60\.0"):
        cool(network, Variation.nominal(), (still(60.0),), start, np.array([at_s]))


@pytest.mark.parametrize(
    ("field", "value"),
    [("stack_fraction", 0.2), ("radiation_factor", np.nan), ("joint_factor", 0.0)],
)
def test_variation_outside_its_range_is_refused(field: str, value: float) -> None:
    """Each factor has a range in which it means something."""
    good = {name: np.ones(1) for name in Variation.__dataclass_fields__}
    with pytest.raises(ParameterError, match=field):
        Variation(**{**good, field: np.array([value])})
