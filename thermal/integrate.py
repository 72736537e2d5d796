"""One batched, linearly implicit step in enthalpy, and its step control.

Enters: a `Network`, the samples' `Variation`, a `Phase` and the enthalpies at its
start. Leaves: the enthalpies at its end, the steps taken, and the heat lost.

- A step solves ``(C + dt L) delta = dt f(T) + E`` with conductances frozen at the
  start, radiation by its secant conductance, and books ``C delta`` as enthalpy: what
  one node loses another gains, so the balance closes to rounding.
- Two half steps and one whole step are extrapolated to second order; where the
  extrapolation leaves the range of temperatures around it, the half steps stand.
- All samples share the fractions of the phase at which steps end, so that a sample's
  result depends on its neighbours in the batch within the tolerance.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.sparse import csr_array

from thermal.arrays import FloatArray, check_range
from thermal.convection import film_coefficient_w_per_m2_k
from thermal.elimination import Elimination
from thermal.errors import IntegrationError, ParameterError
from thermal.materials import PropertyTable, property_table
from thermal.network import FACE, JOINT, OUTER, RIM, Network
from thermal.timeline import Air, Phase
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4 as SIGMA

FILM_DELTA_K = np.arange(-150.0, 1850.1, 5.0)
_FILM_STEP_K = 5.0
FIRST_STEP_S = 0.5
_GROWTH, _SHRINK, _SAFETY = 2.5, 0.35, 0.85


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Variation:
    """How the samples differ, every array of shape (batch,).

    ``stack_fraction`` is the disc mass left (wear); the factors scale all radiation
    and all joints of a sample.
    """

    stack_fraction: FloatArray
    radiation_factor: FloatArray
    joint_factor: FloatArray

    def __post_init__(self) -> None:
        """Refuse factors that are not positive and batches that differ."""
        check_range("stack_fraction", self.stack_fraction, 0.3, 1.0, "")
        check_range("radiation_factor", self.radiation_factor, 0.1, 3.0, "")
        check_range("joint_factor", self.joint_factor, 0.05, 10.0, "")
        shapes = {self.radiation_factor.shape, self.joint_factor.shape}
        if shapes != {self.stack_fraction.shape}:
            raise ParameterError.of("variation", "one batch shape", shapes)

    @property
    def batch(self) -> int:
        """Number of samples."""
        return int(self.stack_fraction.size)

    @classmethod
    def nominal(cls, batch: int = 1, stack_fraction: float = 1.0) -> "Variation":
        """Samples that do not differ."""
        one = np.ones(batch)
        return cls(
            stack_fraction=stack_fraction * one, radiation_factor=one, joint_factor=one
        )

    def select(self, rows: np.ndarray | slice) -> "Variation":
        """The same for some of the samples."""
        return Variation(
            stack_fraction=self.stack_fraction[rows],
            radiation_factor=self.radiation_factor[rows],
            joint_factor=self.joint_factor[rows],
        )


@cache
def film_table(
    air: Air, outer_diameter_m: float, inner_diameter_m: float
) -> FloatArray:
    """Film coefficients over ``FILM_DELTA_K``, shape (2, delta): outside, through."""
    rows = [
        film_coefficient_w_per_m2_k(
            air.ambient_k + np.maximum(FILM_DELTA_K, 190.0 - air.ambient_k),
            air.ambient_k,
            speed,
            diameter,
            air.pressure_pa,
        )
        * air.contact_fraction
        for speed, diameter in (
            (air.outer_m_per_s, outer_diameter_m),
            (air.through_m_per_s, inner_diameter_m),
        )
    ]
    return np.array(rows)


def face_factor(network: Network, stack_fraction: FloatArray) -> FloatArray:
    """Conduction between touching discs against new ones, for thinner discs."""
    brake = network.brake
    solid = property_table(brake.stack_material)
    half_m = float(brake.disc_thickness_m.mean())
    halves = half_m / float(solid.conductivity(np.float64(700.0)))
    contact = 1.0 / brake.contact_w_per_m2_k
    return (halves + contact) / (halves * stack_fraction + contact)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class State:
    """Where a chunk is: arrays of shape (node, batch), and the flows there."""

    enthalpy: FloatArray
    temperature_k: FloatArray
    capacity: FloatArray
    flows: tuple[FloatArray, FloatArray, FloatArray]


class Integrator:
    """A network and a chunk of samples, with the work arrays for stepping them."""

    def __init__(self, network: Network, variation: Variation) -> None:
        self.network = network
        self.variation = variation
        self._elimination = Elimination(network.first, network.second, network.order)
        batch, nodes = variation.batch, len(network.nodes)
        mass = np.repeat(network.mass_kg[:, None], batch, axis=1)
        mass[: network.disc_count] *= variation.stack_fraction
        self.mass_kg = mass
        self.last_step_s = FIRST_STEP_S
        self._work = self._elimination.workspace(nodes, batch)
        self._tables = _EnthalpyTables(network.materials)
        links = np.arange(network.first.size)
        ends, twice = np.concatenate([network.first, network.second]), np.tile(links, 2)
        signs = np.repeat([1.0, -1.0], links.size)
        # Sparse products run on one thread and beat the dense ones at this size.
        self._incidence = csr_array((signs, (ends, twice)), (nodes, links.size))
        self._absolute = abs(self._incidence)
        pairs = (self._elimination.link_pair, links)
        shape = (self._elimination.linked_pair_count, links.size)
        self._pair_sum = csr_array((np.ones(links.size), pairs), shape)

    def enthalpy(self, temperature_k: FloatArray) -> FloatArray:
        """Specific enthalpy of each node, shape (node, batch)."""
        rows = [
            property_table(name).enthalpy(row)
            for name, row in zip(self.network.materials, temperature_k, strict=True)
        ]
        return np.array(rows)

    def temperature(self, enthalpy: FloatArray) -> FloatArray:
        """Temperature of each node, shape (node, batch)."""
        return self._tables.look_up(enthalpy)[0]

    def begin(self, phase: Phase) -> None:
        """Take a phase's air, contacts and surfaces."""
        net, var = self.network, self.variation
        self.ambient_k = phase.ambient_k
        self.phase = phase
        face = face_factor(net, var.stack_fraction) if phase.brakes_set else 1.0
        self._cond = net.conduction_set if phase.brakes_set else net.conduction_released
        exchange = (
            net.radiation_set_m2 if phase.brakes_set else net.radiation_released_m2
        )
        self._links_m2 = (SIGMA * exchange)[:, None] * var.radiation_factor
        self._links_m2[net.group == RIM] *= var.stack_fraction
        self._scales = [
            (slice(*np.searchsorted(net.group, (group, group + 1))), scale)
            for group, scale in (
                (FACE, face),
                (RIM, var.stack_fraction),
                (JOINT, var.joint_factor),
            )
        ]
        through = any(air.through_m_per_s > 0 for air in phase.air)
        area = net.through_area_m2 if through else net.still_area_m2
        self._film_m2 = area[:, None] * phase.convection_factor
        self._sky_m2 = (SIGMA * net.ambient_radiation_m2)[
            :, None
        ] * var.radiation_factor
        brake = net.brake
        tables = [
            film_table(air, 2 * brake.rim_radius_m, 2 * brake.rotor_outer_radius_m)
            for air in phase.air
        ]
        self._film = np.array(tables).ravel()
        size = FILM_DELTA_K.size
        self._film_base = (
            phase.air_index * (2 * size) + np.where(net.side == OUTER, 0, size)[:, None]
        )

    def flows(
        self, temperature_k: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Link and surface conductances and the net flow into each node.

        Returns
        -------
        link_w_per_k : array, shape (link, batch)
        surface_w_per_k : array, shape (node, batch)
        inflow_w : array, shape (node, batch)
        """
        net, ambient = self.network, self.ambient_k
        warm, cool = temperature_k[net.first], temperature_k[net.second]
        total = warm + cool
        link = self._conduction(0.5 * total)
        drop = warm - cool
        warm *= warm
        cool *= cool
        warm += cool
        warm *= total
        warm *= self._links_m2
        link += warm
        above = temperature_k - ambient
        surface = self._surface(temperature_k, above)
        drop *= link
        inflow = self._incidence @ drop
        inflow += surface * above
        np.negative(inflow, out=inflow)
        return link, surface, inflow

    def _conduction(self, mean_k: FloatArray) -> FloatArray:
        link = self._cond[:, 2, None] * mean_k
        link += self._cond[:, 1, None]
        link *= mean_k
        link += self._cond[:, 0, None]
        for rows, scale in self._scales:
            link[rows] *= scale
        return link

    def link_conduction_w_per_k(self, mean_k: FloatArray) -> FloatArray:
        """Conduction of a single sample's links over mean temperatures, (link, k)."""
        return np.hstack([self._conduction(mean[None]) for mean in mean_k])

    def link_radiation_m2(self) -> FloatArray:
        """Exchange areas of a single sample's links, shape (link,)."""
        return self._links_m2[:, 0] / SIGMA

    def film_w_per_k(self, surface_k: FloatArray) -> FloatArray:
        """Convective conductance of a single sample's surfaces, shape (node, k)."""
        nodes = len(self.network.nodes)
        rows = [
            self._film_part(np.full((nodes, 1), k) - self.ambient_k) for k in surface_k
        ]
        return np.hstack(rows)

    def sky_w_per_k4(self) -> FloatArray:
        """Sigma times exchange area with the surroundings, shape (node, batch)."""
        return self._sky_m2

    def _film_part(self, above: FloatArray) -> FloatArray:
        place = (above - FILM_DELTA_K[0]) * (1.0 / _FILM_STEP_K)
        cell = place.astype(np.intp)
        place -= cell
        cell += self._film_base
        film = self._film.take(cell)
        cell += 1
        after = self._film.take(cell)
        after -= film
        after *= place
        film += after
        film *= self._film_m2
        return film

    def _surface(self, temperature_k: FloatArray, above: FloatArray) -> FloatArray:
        film, ambient = self._film_part(above), self.ambient_k
        sky = temperature_k * temperature_k
        sky += ambient * ambient
        sky *= temperature_k + ambient
        sky *= self._sky_m2
        film += sky
        return film

    def solve(
        self,
        duration_s: FloatArray,
        capacity: FloatArray,
        flows: tuple[FloatArray, FloatArray, FloatArray],
        heat_j: FloatArray | None,
    ) -> FloatArray:
        """Temperature change of one implicit step, shape (node, batch)."""
        link, surface, inflow = flows
        work = self._work
        np.add(self._absolute @ link, surface, out=work.diagonal)
        work.diagonal *= duration_s
        work.diagonal += capacity
        pairs = work.conductance[: self._elimination.linked_pair_count]
        np.multiply(self._pair_sum @ link, duration_s, out=pairs)
        np.multiply(inflow, duration_s, out=work.right)
        if heat_j is not None:
            work.right += heat_j
        return work.solve().copy()

    def step(
        self,
        enthalpy: FloatArray,
        state: State,
        duration_s: FloatArray,
        heat_j: tuple[FloatArray, FloatArray] | None,
    ) -> tuple[FloatArray, FloatArray, float]:
        """One extrapolated step: new enthalpy, heat lost, error estimate in kelvin."""
        half_s = 0.5 * duration_s
        first_j = None if heat_j is None else heat_j[0]
        whole_j = None if heat_j is None else heat_j[0] + heat_j[1]
        second_j = None if heat_j is None else heat_j[1]
        whole = self.solve(duration_s, state.capacity, state.flows, whole_j)
        early = self.solve(half_s, state.capacity, state.flows, first_j)
        gain = state.capacity * early
        middle = self.state(enthalpy + gain / self.mass_kg)
        late = self.solve(half_s, middle.capacity, middle.flows, second_j)
        gain += middle.capacity * late
        coarse = state.capacity * whole
        difference = gain - coarse
        error = float(np.max(np.abs(difference) / state.capacity))
        ambient = self.ambient_k
        above = state.temperature_k - ambient
        lost_coarse = duration_s * (state.flows[1] * (above + whole)).sum(axis=0)
        lost = half_s * (
            (state.flows[1] * (above + early)).sum(axis=0)
            + (middle.flows[1] * (middle.temperature_k - ambient + late)).sum(axis=0)
        )
        use = np.ones(duration_s.size)
        if heat_j is None:
            use = self._trusted(state, gain + difference)
        gain += difference * use
        lost += (lost - lost_coarse) * use
        return enthalpy + gain / self.mass_kg, lost, error

    def _trusted(self, state: State, gain: FloatArray) -> FloatArray:
        """1 where the extrapolation stays between the temperatures around, else 0."""
        reach = state.temperature_k + gain / state.capacity
        low = np.minimum(state.temperature_k.min(axis=0), self.ambient_k) - 1e-3
        high = np.maximum(state.temperature_k.max(axis=0), self.ambient_k) + 1e-3
        inside = (reach >= low) & (reach <= high)
        return inside.all(axis=0).astype(np.float64)

    def state(self, enthalpy: FloatArray) -> State:
        """Temperature, capacity and flows at an enthalpy."""
        temperature_k, inverse_heat = self._tables.look_up(enthalpy)
        return State(
            enthalpy=enthalpy,
            temperature_k=temperature_k,
            capacity=self.mass_kg / inverse_heat,
            flows=self.flows(temperature_k),
        )


class _EnthalpyTables:
    """Inverse tables of all materials in one flat array, by equal enthalpy steps."""

    def __init__(self, materials: tuple[str, ...]) -> None:
        names = sorted(set(materials))
        tables = [property_table(name) for name in names]
        flat = np.concatenate([table.inverse_k for table in tables])
        self._flat = flat
        place = [names.index(name) for name in materials]
        size = tables[0].inverse_k.size
        self._top = size - 1
        self._offset = (np.array(place) * size)[:, None]
        self._zero = np.array([_low(tables[p]) for p in place])[:, None]
        step = np.array([_step(tables[p]) for p in place])[:, None]
        self._per_step = 1.0 / step

    def look_up(self, enthalpy: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Temperature and its slope over enthalpy, shape (node, batch)."""
        place = (enthalpy - self._zero) * self._per_step
        if not (place.min() >= 0 and place.max() < self._top):
            raise IntegrationError("a node left the range of the material tables")
        cell = place.astype(np.intp)
        place -= cell
        cell += self._offset
        low = self._flat.take(cell)
        cell += 1
        rise = self._flat.take(cell)
        rise -= low
        place *= rise
        place += low
        rise *= self._per_step
        return place, rise


def _low(table: PropertyTable) -> float:
    return float(table.enthalpy_j_per_kg[0])


def _step(table: PropertyTable) -> float:
    span = float(table.enthalpy_j_per_kg[-1] - table.enthalpy_j_per_kg[0])
    return span / (table.inverse_k.size - 1)


Recorder = Callable[[FloatArray, State, FloatArray | None], None]


def integrate_phase(
    integrator: Integrator,
    phase: Phase,
    enthalpy: FloatArray,
    *,
    tolerance_k: float,
    record: Recorder,
) -> tuple[FloatArray, FloatArray]:
    """March one phase; returns the enthalpies at its end and the heat lost.

    ``record`` is called at the start of each step with the seconds since the start
    of the phase, shape (batch,), the state there, and the friction power into each
    node, shape (node, batch), or None.
    """
    integrator.begin(phase)
    longest = float(phase.duration_s.max())
    lost = np.zeros(phase.duration_s.size)
    if longest == 0.0:
        return enthalpy, lost
    fraction = 0.0
    first_s = integrator.last_step_s if phase.continues else FIRST_STEP_S
    width = min(first_s / longest, 1.0)
    if phase.heat is not None:
        width = min(width, 1.0 / (phase.heat.power_w.shape[1] - 1))
    split = integrator.network.heat_fraction[:, None]
    state = integrator.state(enthalpy)
    while fraction < 1.0:
        power_w = None if phase.heat is None else split * phase.heat.at(fraction)
        record(fraction * phase.duration_s, state, power_w)
        while True:
            end = 1.0 if fraction + 1.3 * width > 1.0 else fraction + width
            duration_s = (end - fraction) * phase.duration_s
            heat_j = _heat(phase, fraction, end, split)
            after, drop, error = integrator.step(enthalpy, state, duration_s, heat_j)
            grow = _SAFETY * np.sqrt(tolerance_k / max(error, 1e-9))
            if error <= 2.0 * tolerance_k:
                break
            width = (end - fraction) * max(grow, _SHRINK)
            if width * longest < 1e-6:
                raise IntegrationError("step below a microsecond")
        width = (end - fraction) * min(max(grow, _SHRINK), _GROWTH)
        if end < 1.0:
            integrator.last_step_s = width * longest
        fraction, enthalpy = end, after
        lost += drop
        state = integrator.state(enthalpy)
    return enthalpy, lost


def _heat(
    phase: Phase, start: float, end: float, split: FloatArray
) -> tuple[FloatArray, FloatArray] | None:
    if phase.heat is None:
        return None
    before = phase.heat.until(start)
    middle = phase.heat.until(0.5 * (start + end))
    after = phase.heat.until(end)
    scale = split * phase.duration_s
    return scale * (middle - before), scale * (after - middle)
