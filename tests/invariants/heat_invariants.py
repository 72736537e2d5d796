"""What holds for every brake and phase, whatever its numbers: one class to inherit.

A subclass gives the fixture ``network``; all tests then run on what it gives.
"""

from dataclasses import replace

import numpy as np
import pytest

from tests.brake_days import (
    AIR_K,
    cool_rows,
    landing_phases,
    rows_like,
    warmer,
)
from thermal.arrays import FloatArray
from thermal.cooling import CoolingCurve, cool
from thermal.integrate import Integrator
from thermal.materials import property_table
from thermal.network import Network
from thermal.rows import Rows
from thermal.timeline import Phase
from thermal.turnaround import arrival, departure, fan_job, parked, start_k

COUNT = 8
PARKED_S = 5400.0
AT_S = np.arange(-300.0, PARKED_S, 60.0)
# Curves are told apart by the steps they take: short ones, and what is left of them.
SHARP_K, LEFT_K = 0.05, 0.05


def heated(network: Network, heat_fraction: FloatArray) -> Rows:
    """Landings that use these shares of the stack's limit."""
    brake, worn = network.brake, np.linspace(0.88, 1.0, COUNT)
    heat_j = heat_fraction * brake.limits.stack_j_per_kg * brake.stack_mass_kg
    return rows_like(
        COUNT,
        stack_fraction=worn,
        roll_power_w=heat_j[:, None] / 25.0 * np.linspace(1.6, 0.4, 33),
        taxi_in_j=0.05 * heat_j,
        taxi_out_j=0.05 * heat_j,
    )


def day_phases(rows: Rows) -> tuple[Phase, ...]:
    """Every kind of phase, a fan and gear-down minutes included."""
    begin = np.full(COUNT, 20.0)
    return (
        *arrival(rows),
        *parked(rows, 0.0, 1200.0),
        *fan_job(rows, begin, begin + 20.0, np.full(COUNT, 6.0), 20.0),
        *departure(rows, begin + 40.0),
    )


def landed(network: Network) -> CoolingCurve:
    """Landings from very light to the limit, an hour and a half in still air."""
    rows = heated(network, np.linspace(0.05, 0.8, COUNT))
    return cool_rows(network, rows, landing_phases(rows, PARKED_S), AT_S)


class HeatInvariants:
    """Energy, second law, and what more heat, air or warmth may do."""

    def test_energy_balance_closes_in_every_phase(self, network: Network) -> None:
        """Heat in is lost or stored, after each phase, to 1e-9 of what came in."""
        rows = replace(
            heated(network, np.linspace(0.05, 0.8, COUNT)),
            gear_down_s=np.full(COUNT, 120.0),
        )
        phases = day_phases(rows)
        start, nothing = start_k(network, rows), np.zeros(0)
        scale_j = cool(network, rows.variation, phases, start, nothing).input_j
        for last in range(1, len(phases) + 1):
            books = cool(network, rows.variation, phases[:last], start, nothing)
            missing_j = books.input_j - books.lost_j - books.stored_j
            assert (np.abs(missing_j) <= 1e-9 * scale_j).all()

    def test_stored_heat_is_the_enthalpy_of_the_end_state(
        self, network: Network
    ) -> None:
        """The books agree with the temperatures, node by node."""
        rows = heated(network, np.linspace(0.05, 0.8, COUNT))
        start = start_k(network, rows)
        phases = landing_phases(rows, PARKED_S)
        curve = cool(network, rows.variation, phases, start, np.zeros(0))
        mass_kg = Integrator(network, rows.variation).mass_kg
        stored_j = np.zeros(COUNT)
        for row, name in enumerate(network.materials):
            table = property_table(name)
            rise = table.enthalpy(curve.end_k[:, row]) - table.enthalpy(start[:, row])
            stored_j += mass_kg[row] * rise
        # A thousandth of a kelvin in the inverse tables is all that lies between.
        assert stored_j == pytest.approx(curve.stored_j, rel=1e-4)

    def test_nothing_gets_colder_than_the_coldest_around(
        self, network: Network
    ) -> None:
        """Cooling, with and without a fan, ends at the air and not below."""
        rows = replace(
            heated(network, np.linspace(0.05, 0.8, COUNT)),
            ambient_k=np.full((COUNT, 6), 270.0),
        )
        at_s = np.arange(-300.0, 4800.0 + 600.0, 60.0)
        curve = cool_rows(network, rows, day_phases(rows), at_s)
        assert curve.temperature_k.min() >= 270.0 - 1e-3
        assert curve.end_k.min() >= 270.0 - 1e-3

    def test_an_untouched_cold_brake_stays_as_it_is(self, network: Network) -> None:
        """Without heat and without differences nothing moves."""
        rows = rows_like(COUNT)
        curve = cool_rows(network, rows, landing_phases(rows, PARKED_S), AT_S)
        assert np.abs(curve.temperature_k - AIR_K).max() < 1e-3

    def test_more_heat_is_never_cooler(self, network: Network) -> None:
        """Stack, plug and indication rise with the heat of the landing at any time."""
        rows = heated(network, np.linspace(0.05, 0.8, COUNT))
        rows = replace(rows, stack_fraction=np.ones(COUNT))
        curve = cool_rows(network, rows, landing_phases(rows, PARKED_S), AT_S)
        for values in (curve.stack_k, curve.plug_k, curve.indicated_k, curve.hottest_k):
            assert np.diff(values, axis=0).min() > -1e-3

    def test_less_stack_is_never_cooler_at_its_peak(self, network: Network) -> None:
        """The same heat in a more worn stack peaks higher."""
        rows = heated(network, np.full(COUNT, 0.4))
        curve = cool_rows(network, rows, landing_phases(rows, PARKED_S), AT_S)
        assert np.diff(curve.stack_k.max(axis=1)).max() < 0.0

    def test_warmer_air_is_never_cooler(self, network: Network) -> None:
        """Ten kelvin more outside leave every node at least as hot, at any time."""
        rows = heated(network, np.linspace(0.05, 0.8, COUNT))
        cold, warm = (
            cool_rows(
                network,
                some,
                landing_phases(some, PARKED_S),
                AT_S,
                tolerance_k=SHARP_K,
            ).temperature_k
            for some in (rows, warmer(rows, 10.0))
        )
        assert (warm - cold).min() > -LEFT_K
        assert (warm - cold)[:, -1].min() > 5.0

    def test_less_wind_is_never_cooler(self, network: Network) -> None:
        """Calm leaves every node at least as hot as any wind, at any time."""
        rows = heated(network, np.full(COUNT, 0.4))
        wind = np.linspace(7.0, 0.0, COUNT)
        rows = replace(rows, stack_fraction=np.ones(COUNT), wind_m_per_s=wind)
        phases = landing_phases(rows, PARKED_S)
        curve = cool_rows(network, rows, phases, AT_S, tolerance_k=SHARP_K)
        assert np.diff(curve.temperature_k, axis=0).min() > -LEFT_K
        assert (np.diff(curve.plug_k[:, -1]) > 0.0).all()

    def test_fan_never_heats_stack_or_plug(self, network: Network) -> None:
        """From its start on, also long after its end, against still air."""
        rows = heated(network, np.linspace(0.2, 0.8, COUNT))
        at_s = np.arange(0.0, 9600.0, 60.0)
        begin = np.full(COUNT, 10.0)
        blown = (
            *arrival(rows),
            *parked(rows, 0.0, 600.0),
            *fan_job(rows, begin, begin + 30.0, np.full(COUNT, 6.0), 120.0),
        )
        fan, still = (
            cool_rows(network, rows, phases, at_s, tolerance_k=SHARP_K)
            for phases in (blown, landing_phases(rows, 9600.0))
        )
        for name in ("stack_k", "plug_k"):
            gain = getattr(fan, name) - getattr(still, name)
            assert gain.max() < LEFT_K
        end = int(2400.0 / 60.0)
        assert (fan.stack_k[:, end] < still.stack_k[:, end] - 20.0).all()

    def test_stronger_fan_cools_more(self, network: Network) -> None:
        """At the end of the job, air speed by air speed."""
        rows = heated(network, np.full(COUNT, 0.4))
        rows = replace(rows, stack_fraction=np.ones(COUNT))
        begin, speeds = np.full(COUNT, 10.0), np.linspace(2.0, 12.0, COUNT)
        blown = (
            *arrival(rows),
            *parked(rows, 0.0, 600.0),
            *fan_job(rows, begin, begin + 30.0, speeds, 1.0),
        )
        end_k = cool_rows(network, rows, blown, np.array([2400.0])).stack_k[:, 0]
        assert np.diff(end_k).max() < 0.0

    def test_entropy_never_falls(self, network: Network) -> None:
        """Brake and air together, from the stop on: second law.

        Every node's entropy is the integral of its specific heat over its temperature;
        the air at 20 °C gains the heat lost over its temperature.
        """
        rows = heated(network, np.linspace(0.2, 0.8, COUNT))
        begin = cool(
            network, rows.variation, arrival(rows), start_k(network, rows), np.zeros(0)
        ).end_k
        mass_kg = Integrator(network, rows.variation).mass_kg
        state, made = begin, [np.zeros(COUNT)]
        for phase in parked(rows, 0.0, PARKED_S):
            curve = cool(network, rows.variation, (phase,), state, np.zeros(0))
            change = curve.lost_j / AIR_K
            for row, name in enumerate(network.materials):
                entropy = mass_kg[row] * (
                    _entropy(name, curve.end_k[:, row]) - _entropy(name, state[:, row])
                )
                change = change + entropy
            made.append(change)
            state = curve.end_k
        assert len(made) > 2
        assert (np.array(made[1:]) > 0.0).all()

    def test_heat_flows_from_hot_to_cold(self, network: Network) -> None:
        """The hottest node only loses and the coldest below the air only gains."""
        curve = landed(network)
        integrator = Integrator(
            network, heated(network, np.linspace(0.05, 0.8, COUNT)).variation
        )
        rows = heated(network, np.linspace(0.05, 0.8, COUNT))
        integrator.begin(parked(rows, 0.0, 60.0)[0])
        for instant in range(0, AT_S.size, 10):
            temperature_k = np.ascontiguousarray(curve.temperature_k[:, instant].T)
            inflow_w = integrator.conductances.flows(temperature_k)[2]
            hottest = temperature_k.argmax(axis=0)
            assert (inflow_w[hottest, np.arange(COUNT)] < 0.0).all()


def _entropy(material: str, temperature_k: FloatArray) -> FloatArray:
    """Specific entropy above 200 K, by the trapezoid rule on the table's grid."""
    table = property_table(material)
    grid, heat = (
        table.temperature_k,
        table.specific_heat_j_per_kg_k / table.temperature_k,
    )
    whole = np.concatenate(
        [[0.0], np.cumsum(0.5 * (heat[1:] + heat[:-1]) * np.diff(grid))]
    )
    return np.interp(temperature_k, grid, whole)
