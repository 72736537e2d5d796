"""Every catalogue aircraft after a normal landing, new, half worn and fully worn.

The bands are common practice and the figures of US Navy trainer courseware P-1260 (plug
peak after more than 25 minutes may be seen) and NAVEDTRA 14018 (45 to 60 minutes to
cool in still air); the indicator is generally said to need 10 to 15 minutes to read
true. ``pytest -s`` prints the table.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from tests.brake_days import (
    AIR_K,
    TAXI_S,
    aircraft_and_network,
    cool_rows,
    landing_phases,
    normal_landing,
)
from thermal.arrays import FloatArray
from thermal.catalogue import known_aircraft
from thermal.cooling import CoolingCurve
from thermal.departure import Margin
from thermal.margins import margins_k
from thermal.materials import property_table
from thermal.network import Network
from thermal.rows import Rows

AIRCRAFT = known_aircraft()
WEAR = np.array([0.0, 0.5, 1.0])
PARKED_S = 3 * 3600.0
IN_BLOCK = int(TAXI_S / 30.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class Landing:
    """Curves of one aircraft from the stop on, one row per wear."""

    network: Network
    rows: Rows
    curve: CoolingCurve

    @property
    def rise_k(self) -> FloatArray:
        """Highest mean of the stack above the air."""
        return self.curve.stack_k.max(axis=1) - AIR_K

    def peak_minute(self, node: str) -> FloatArray:
        """Minutes from the stop to the peak of a node."""
        at_s = self.curve.time_s[self.curve.node_k(node).argmax(axis=1)]
        return (at_s + TAXI_S) / 60.0

    @property
    def half_minute(self) -> FloatArray:
        """Minutes from the stop until half of the stack's rise is gone."""
        above = self.curve.stack_k - AIR_K > 0.5 * self.rise_k[:, None]
        last = above.shape[1] - above[:, ::-1].argmax(axis=1)
        return (self.curve.time_s[last] + TAXI_S) / 60.0

    def stopping_margin_k(self, instant: int) -> FloatArray:
        """Stopping margin if the take-off were rejected at an instant of the curve."""
        part = CoolingCurve(
            network=self.network,
            time_s=self.curve.time_s[instant : instant + 1],
            nodes=self.curve.nodes,
            temperature_k=self.curve.temperature_k[:, instant : instant + 1],
            stack_j_per_kg=self.curve.stack_j_per_kg[:, instant : instant + 1],
            hottest_k=self.curve.hottest_k[:, instant : instant + 1],
            end_k=self.curve.end_k,
            input_j=self.curve.input_j,
            lost_j=self.curve.lost_j,
            stored_j=self.curve.stored_j,
            step_count=self.curve.step_count,
        )
        retraction = np.zeros(WEAR.size, dtype=np.intp)
        found = margins_k(self.network.brake, self.rows, part, retraction=retraction)
        return found[:, Margin.STOPPING]


@cache
def landing(name: str) -> Landing:
    """Land once, cool for three hours."""
    aircraft, network = aircraft_and_network(name)
    rows = normal_landing(aircraft, WEAR)
    at_s = np.arange(-TAXI_S, PARKED_S, 30.0)
    curve = cool_rows(network, rows, landing_phases(rows, PARKED_S), at_s)
    return Landing(network=network, rows=rows, curve=curve)


@pytest.fixture(params=AIRCRAFT)
def after(request: pytest.FixtureRequest) -> Landing:
    """Each aircraft in turn."""
    return landing(request.param)


def test_new_stack_rises_by_200_to_450_kelvin(after: Landing) -> None:
    """A normal landing heats a new stack as the trade reports."""
    assert 200.0 < after.rise_k[0] < 450.0


def test_more_worn_stacks_get_hotter(after: Landing) -> None:
    """The same heat in less mass: each step of wear adds temperature."""
    assert (np.diff(after.rise_k) > 5.0).all()


def test_wheel_peaks_a_quarter_to_a_full_hour_after_the_stop(after: Landing) -> None:
    """The wheel half with the plugs is hottest long after the aircraft has parked."""
    minute = after.peak_minute("wheel inboard")
    assert ((minute >= 15.0) & (minute <= 60.0)).all()


def test_plugs_keep_their_margin(after: Landing) -> None:
    """No normal landing brings a plug near its release, whatever the wear."""
    plug = after.network.brake.plug
    assert (after.curve.plug_k.max(axis=1) < plug.release_k - plug.margin_k).all()


def test_half_of_the_rise_is_gone_after_25_to_75_minutes(after: Landing) -> None:
    """Still air alone takes the better part of an hour."""
    minute = after.half_minute
    assert ((minute >= 25.0) & (minute <= 75.0)).all()


def test_indicator_peaks_5_to_20_minutes_after_the_stop(after: Landing) -> None:
    """The indication lags, and its peak is below the stack's."""
    minute = after.peak_minute("indicator")
    assert ((minute >= 5.0) & (minute <= 20.0)).all()
    peak_k = after.curve.indicated_k.max(axis=1)
    assert (peak_k < after.curve.stack_k.max(axis=1)).all()


def test_cold_brakes_stop_any_rejected_take_off(after: Landing) -> None:
    """Even fully worn, a stack at 20 °C takes the stop from V1 at maximum weight."""
    brake = after.network.brake
    limits, mass_kg = brake.limits, brake.stack_mass_kg * after.rows.stack_fraction
    assert limits.stack_initial_k == pytest.approx(AIR_K)
    table = property_table(brake.stack_material)
    ceiling_j_per_kg = min(limits.stack_j_per_kg, float(table.enthalpy(limits.disc_k)))
    assert (after.rows.stop_j / mass_kg < ceiling_j_per_kg).all()


def test_hot_brakes_do_not_stop_a_rejected_take_off(after: Landing) -> None:
    """Right after the landing, at in-block, the stop would be too much, new or worn."""
    assert after.curve.time_s[IN_BLOCK] == 0.0
    assert (after.stopping_margin_k(IN_BLOCK) < 0.0).all()


def test_brakes_that_have_cooled_for_three_hours_stop_it_again(after: Landing) -> None:
    """Waiting long enough brings the stopping limit back."""
    assert (after.stopping_margin_k(after.curve.time_s.size - 1) > 0.0).all()


def test_print_the_table() -> None:
    """One line per aircraft and wear, for people (``pytest -s``)."""
    print("\naircraft      wear  rise K  plug °C  wheel  half  indicator (minutes)")
    for name in AIRCRAFT:
        found = landing(name)
        columns = (
            found.rise_k,
            found.curve.plug_k.max(axis=1) - 273.15,
            found.peak_minute("wheel inboard"),
            found.half_minute,
            found.peak_minute("indicator"),
        )
        for row, wear in enumerate(WEAR):
            cells = "  ".join(f"{column[row]:6.0f}" for column in columns)
            print(f"{name:<13} {wear:4.1f}  {cells}")
    assert len(AIRCRAFT) == 5
