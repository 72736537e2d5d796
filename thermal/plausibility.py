"""Whether a brake's data make a brake: derived quantities within sane bands.

Enters: a `Brake` and the name of the file it comes from. Leaves: nothing, or one error
that lists everything that is off. Each dimension alone may lie within its own range and
the whole still be no brake: a kilogram of stack, a rim that the stack does not fit, a
limit at which steel melts. Bands are wide, since they catch slips of a unit or a digit;
all are engineering estimates unless a source stands beside them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.errors import ParameterError
from thermal.films import FILM_DELTA_K, film_table
from thermal.materials import property_table
from thermal.network import Network, build_network
from thermal.surfaces import OUTER
from thermal.timeline import Air
from thermal.units import MINUTE_S, ZERO_CELSIUS_K
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4 as SIGMA

LINEAR_AT_K = 400.0
_AIR = Air(ambient_k=293.15, pressure_pa=101325.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A derived quantity, its value, and the band it has to lie in."""

    what: str
    value: float
    low: float
    high: float
    unit: str

    @property
    def fault(self) -> str | None:
        """What is off, or None; NaN is off."""
        if self.low <= self.value <= self.high:
            return None
        expected = f"{self.low:g} to {self.high:g} {self.unit}".rstrip()
        return f"{self.what}: expected {expected}, got {self.value:.4g}"


# Stack mass in kg: 25 to 60 for carbon, 60 to 120 for steel on airliners, from memory;
# wider here, for commuters and the largest freighters. Then the hottest solid in °C.
_STACKS = {"carbon": ((8.0, 120.0), 1700.0), "steel": ((20.0, 250.0), 1000.0)}


def check_plausible(brake: Brake, where: str) -> None:
    """Refuse a brake whose derived quantities are out of all proportion.

    Parameters
    ----------
    where : str
        File that the brake comes from, named in the error.

    Raises
    ------
    ParameterError
        Naming the file and every quantity that is off.
    """
    faults = [fault for band in bands(brake) if (fault := band.fault) is not None]
    if faults:
        raise ParameterError(f"{where}: {'; '.join(faults)}")


@cache
def bands(brake: Brake) -> tuple[Band, ...]:
    """Every checked quantity of a brake with its band.

    Raises
    ------
    ParameterError
        If the stack is of no material that brakes are made of.
    """
    if brake.stack_material not in _STACKS:
        raise ParameterError.of(
            f"{brake.name}: stack_material",
            " or ".join(_STACKS),
            brake.stack_material,
        )
    return (
        *_stack_bands(brake),
        *_shield_bands(brake),
        *_limit_bands(brake),
        *_lag_bands(brake),
        *_time_bands(brake),
    )


def _stack_bands(brake: Brake) -> Iterator[Band]:
    (low_kg, high_kg), _ = _STACKS[brake.stack_material]
    table = property_table(brake.stack_material)
    capacity = brake.stack_mass_kg * float(table.specific_heat(LINEAR_AT_K))
    yield _band("stack mass", brake.stack_mass_kg, low_kg, high_kg, "kg")
    yield _band("stack heat capacity at 400 K", capacity / 1e3, 8.0, 150.0, "kJ/K")
    length = brake.stack_length_m / brake.rim_width_m
    yield _band("stack length against rim width", length, 0.25, 1.15, "")
    yield _band("worn_fraction", brake.worn_fraction, 0.55, 0.95, "")


def _shield_bands(brake: Brake) -> Iterator[Band]:
    """Heat shield in the gap between rotor and rim, clear of both."""
    gap_m = brake.rim_radius_m - brake.rotor_outer_radius_m
    place = (brake.shield_radius_m - brake.rotor_outer_radius_m) / max(gap_m, 1e-9)
    yield _band("gap between rotor and rim", 1e3 * gap_m, 4.0, 80.0, "mm")
    yield _band("heat shield's place from rotor (0) to rim (1)", place, 0.05, 0.95, "")


def _limit_bands(brake: Brake) -> Iterator[Band]:
    """Limits against what the solid stands; plugs between boiling water and 2014's end.

    Release at 162 °C for a small jet (US Navy trainer courseware P-1260), 150 to 205 °C
    on transports from memory.
    """
    _, highest_c = _STACKS[brake.stack_material]
    table, limits = property_table(brake.stack_material), brake.limits
    top = float(table.enthalpy_j_per_kg[-1])
    held_k = table.temperature(min(limits.stack_j_per_kg, top))
    held_c, disc_c = float(held_k) - ZERO_CELSIUS_K, limits.disc_k - ZERO_CELSIUS_K
    yield _band("stack at stack_j_per_kg", held_c, 450.0, highest_c, "°C")
    # The hottest disc is no cooler than the mean, and a little may go beyond it.
    yield _band("disc_c", disc_c, held_c, highest_c + 100.0, "°C")
    release_c = brake.plug.release_k - ZERO_CELSIUS_K
    yield _band("plug release", release_c, 120.0, 230.0, "°C")


def _lag_bands(brake: Brake) -> Iterator[Band]:
    """Lags of indicator and plug: a steady reading takes fifteen minutes at most."""
    probe, plug = brake.probe, brake.plug
    yield _band("probe lag", probe.lag_s, 10.0, 600.0, "s")
    yield _band("display lag", probe.display_lag_s, 1.0, 120.0, "s")
    yield _band("plug lag", plug.lag_s, 10.0, 600.0, "s")
    valid_s = brake.limits.indicated_valid_after_s
    lags = valid_s / (probe.lag_s + probe.display_lag_s)
    yield _band("indicated_valid_after_s against the lags", lags, 1.0, 60.0, "")


def _time_bands(brake: Brake) -> Iterator[Band]:
    """Time constants about 400 K in still air: brakes set for the fastest."""
    network = build_network(brake)
    fastest_s = time_constants_s(network, brakes_set=True)[0]
    slowest_s = time_constants_s(network, brakes_set=False)[-1]
    yield _band("fastest time constant, brakes set", fastest_s, 0.5, 60.0, "s")
    yield _band(
        "slowest time constant, brakes released", slowest_s / MINUTE_S, 45, 480, "min"
    )


def time_constants_s(network: Network, *, brakes_set: bool) -> FloatArray:
    """Time constants of the network linearised at 400 K in still air of 20 °C.

    Returns
    -------
    time_s : array, shape (node,)
        Rising; the reciprocals of the eigenvalues of conductance over capacity.
    """
    capacity = network.mass_kg * [
        float(property_table(name).specific_heat(LINEAR_AT_K))
        for name in network.materials
    ]
    if brakes_set:
        conduction, exchange = network.conduction_set, network.radiation_set_m2
    else:
        conduction, exchange = (
            network.conduction_released,
            network.radiation_released_m2,
        )
    radiating = 4.0 * SIGMA * LINEAR_AT_K**3
    link = conduction @ (LINEAR_AT_K ** np.arange(3.0)) + radiating * exchange
    matrix = np.zeros((capacity.size, capacity.size))
    np.add.at(matrix, (network.first, network.second), -link)
    matrix += matrix.T
    surface = network.still_area_m2 * _film_w_per_m2_k(network)
    surface += radiating * network.ambient_radiation_m2
    np.fill_diagonal(matrix, surface - matrix.sum(axis=1))
    scale = np.sqrt(capacity)
    values = np.linalg.eigvalsh(matrix / scale / scale[:, None])
    return np.asarray(1.0 / values[::-1])


def _film_w_per_m2_k(network: Network) -> FloatArray:
    """Film coefficient of each node's surface at the linearisation."""
    brake = network.brake
    films = film_table(_AIR, 2 * brake.rim_radius_m, 2 * brake.rotor_outer_radius_m)
    above = LINEAR_AT_K - _AIR.ambient_k
    outer, inner = (float(np.interp(above, FILM_DELTA_K, row)) for row in films)
    return np.where(network.side == OUTER, outer, inner)


def _band(what: str, value: float, low: float, high: float, unit: str) -> Band:
    return Band(what=what, value=float(value), low=low, high=high, unit=unit)
