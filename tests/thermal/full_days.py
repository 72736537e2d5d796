"""Whole days of one brake, touchdown to wheel well, for comparison of integrators."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.brake_days import SEA_LEVEL_PA, cool_rows, rows_like
from thermal.arrays import FloatArray
from thermal.export import event_times_s, export_network
from thermal.network import Network
from thermal.rows import Rows
from thermal.timeline import Air, Heat, Phase, PhaseKind, phase
from thermal.turnaround import (
    arrival,
    arrival_s,
    departure,
    fan_job,
    parked,
    start_k,
)
from thermal.units import celsius

MINUTE_S = 60.0
SAMPLE_S = 30.0


@dataclass(frozen=True, kw_only=True, eq=False)
class FullDay:
    """Rows of one, and the phases that follow each other."""

    network: Network
    rows: Rows
    phases: tuple[Phase, ...]

    @property
    def start_s(self) -> float:
        """Touchdown, before in-block."""
        return -float(arrival_s(self.rows)[0])

    @property
    def events_s(self) -> FloatArray:
        """Instants at which something jumps."""
        return np.array(event_times_s(self.phases, self.start_s))

    @property
    def at_s(self) -> FloatArray:
        """Instants to compare at: even ones, during braking, and after each event."""
        events = self.events_s
        even = np.arange(events[0], events[-1], SAMPLE_S)
        braking = events[0] + np.linspace(0.0, 1.0, 24) * self.rows.roll_s[0]
        after = (events[:, None] + [5.0, 15.0, 60.0]).ravel()
        at_s = np.unique(np.concatenate([even, braking, after]))
        return at_s[at_s <= events[-1]]

    @property
    def settled(self) -> np.ndarray:
        """Which of these lie a minute or more after the last event."""
        since = self.at_s[:, None] - self.events_s
        return np.where(since >= 0.0, since, np.inf).min(axis=1) >= MINUTE_S - 1e-6

    def exported(self) -> dict[str, Any]:
        """The tables that another tool gets."""
        start = start_k(self.network, self.rows)[0]
        return export_network(
            self.network,
            self.rows.variation,
            self.phases,
            start,
            start_s=self.start_s,
        )

    def ours_c(self) -> FloatArray:
        """Our curves with the default tolerance, shape (time, node)."""
        curve = cool_rows(self.network, self.rows, self.phases, self.at_s)
        return celsius(curve.temperature_k[0])


def day_of(
    network: Network,
    rows: Rows,
    *,
    fan_m_per_s: float = 6.0,
    fan_minutes: tuple[float, float] = (30.0, 55.0),
    clamped_s: float = 0.0,
) -> FullDay:
    """Arrival, clamped or free, a fan job, half an hour of still air, departure."""
    begin, end = (np.array([minute]) for minute in fan_minutes)
    still = parked(rows, clamped_s, float(begin[0]) * MINUTE_S)
    return FullDay(
        network=network,
        rows=rows,
        phases=(
            *arrival(rows),
            *([_clamped(rows, clamped_s)] if clamped_s else []),
            *still,
            *fan_job(rows, begin, end, np.array([fan_m_per_s]), 30.0),
            *departure(rows, end + 30.0),
        ),
    )


def _clamped(rows: Rows, duration_s: float) -> Phase:
    """Parked with the parking brake set."""
    air = Air(ambient_k=float(rows.ambient_k[0, 0]), pressure_pa=SEA_LEVEL_PA)
    return phase(PhaseKind.PARKED, duration_s, air, batch=1, brakes_set=True)


def stop_rows(network: Network, heat_j: float, **given: float) -> Rows:
    """One stop that puts the heat into the brake while the speed falls evenly."""
    roll_s = given.pop("roll_s", 25.0)
    power_w = heat_j / roll_s * np.linspace(1.6, 0.4, 33)[None]
    assert Heat(power_w=power_w).energy_j(np.array([roll_s])) / heat_j - 1.0 < 1e-9
    return rows_like(1, roll_s=roll_s, roll_power_w=power_w, **given)


def random_day(network: Network, generator: np.random.Generator) -> FullDay:
    """A day within and beyond what a station meets."""
    brake, draw = network.brake, generator.uniform
    fraction = float(brake.stack_fraction(draw(0.0, 1.0)))
    full_j = fraction * brake.limits.stack_j_per_kg * brake.stack_mass_kg
    heat_j = full_j * draw(0.2, 0.95)
    roll_s = draw(15.0, 45.0)
    jagged = np.linspace(1.3, 0.7, 33) * (1.0 + 0.3 * draw(-1.0, 1.0, 33))
    rows = rows_like(
        1,
        stack_fraction=fraction,
        radiation_factor=draw(0.85, 1.15),
        joint_factor=draw(0.7, 1.3),
        convection_factor=draw(0.8, 1.2),
        roll_s=roll_s,
        roll_power_w=(heat_j / roll_s * jagged)[None],
        taxi_in_s=draw(120.0, 900.0),
        taxi_in_j=draw(0.0, 0.1) * heat_j,
        taxi_out_j=draw(0.0, 0.1) * heat_j,
        gear_down_s=generator.choice([0.0, 300.0]),
        ambient_k=np.full((1, 8), draw(255.0, 315.0)),
        residual_k=draw(270.0, 450.0),
        well_warmer_k=draw(0.0, 20.0),
    )
    begin = draw(10.0, 60.0)
    return day_of(
        network,
        rows,
        fan_m_per_s=draw(2.0, 10.0),
        fan_minutes=(begin, begin + draw(10.0, 60.0)),
        clamped_s=generator.choice([0.0, 300.0]),
    )
