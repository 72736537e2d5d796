"""Conductances of a network's links and surfaces at given temperatures.

Enters: a `Network`, the samples' `Variation`, a `Phase`, temperatures. Leaves: link
and surface conductances and the net flow into each node. Radiation enters by its
secant conductance ``sigma R (Ti^2 + Tj^2) (Ti + Tj)``, bounded at any step.
"""

import numpy as np
from scipy.sparse import csr_array

from thermal.arrays import FloatArray
from thermal.films import FILM_DELTA_K, FILM_STEP_K, film_table
from thermal.links import FACE, JOINT, RIM
from thermal.materials import property_table
from thermal.network import Network
from thermal.surfaces import OUTER
from thermal.timeline import Phase
from thermal.units import STEFAN_BOLTZMANN_W_PER_M2_K4 as SIGMA
from thermal.variation import Variation

Flows = tuple[FloatArray, FloatArray, FloatArray]


def face_factor(network: Network, stack_fraction: FloatArray) -> FloatArray:
    """Conduction between touching discs against new ones, for thinner discs."""
    brake = network.brake
    solid = property_table(brake.stack_material)
    half_m = float(brake.disc_thickness_m.mean())
    halves = half_m / float(solid.conductivity(np.float64(700.0)))
    contact = 1.0 / brake.contact_w_per_m2_k
    return (halves + contact) / (halves * stack_fraction + contact)


class Conductances:
    """Links and surfaces of one network for a chunk of samples, phase by phase."""

    def __init__(self, network: Network, variation: Variation) -> None:
        self.network = network
        self.variation = variation
        links = np.arange(network.first.size)
        ends, twice = np.concatenate([network.first, network.second]), np.tile(links, 2)
        signs = np.repeat([1.0, -1.0], links.size)
        # Sparse products run on one thread and beat the dense ones at this size.
        shape = (len(network.nodes), links.size)
        self._incidence = csr_array((signs, (ends, twice)), shape)
        self._absolute = abs(self._incidence)
        # Joints come last, and last of them those that are the same at any temperature.
        changing = (network.conduction_released[:, 1:] != 0).any(axis=1)
        changing |= (network.conduction_set[:, 1:] != 0).any(axis=1)
        changing |= (network.radiation_released_m2 > 0) | (network.radiation_set_m2 > 0)
        self._changing = int(np.flatnonzero(changing)[-1]) + 1 if changing.any() else 0

    def begin(self, phase: Phase) -> None:
        """Take a phase's air, contacts and surfaces."""
        net, var = self.network, self.variation
        self.ambient_k = phase.ambient_k
        face = face_factor(net, var.stack_fraction) if phase.brakes_set else None
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
        steady = self._cond[self._changing :, 0, None]
        self._steady = steady * var.joint_factor
        blown = np.array([air.through_m_per_s > 0 for air in phase.air])
        areas = np.stack([net.still_area_m2, net.through_area_m2], axis=1)
        area = areas[:, blown[phase.air_index].astype(np.intp)]
        self._film_m2 = area * phase.convection_factor
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

    def flows(self, temperature_k: FloatArray) -> Flows:
        """Link and surface conductances and the net flow into each node.

        Returns
        -------
        link_w_per_k : array, shape (link, batch)
        surface_w_per_k : array, shape (node, batch)
        inflow_w : array, shape (node, batch)
        """
        net, ambient, few = self.network, self.ambient_k, self._changing
        warm, cool = temperature_k[net.first], temperature_k[net.second]
        drop = warm - cool
        hot, cold = warm[:few], cool[:few]
        total = hot + cold
        link = np.empty_like(drop)
        link[few:] = self._steady
        link[:few] = self._conduction(0.5 * total, few)
        hot *= hot
        cold *= cold
        hot += cold
        hot *= total
        hot *= self._links_m2[:few]
        link[:few] += hot
        above = temperature_k - ambient
        surface = self._surface(temperature_k, above)
        drop *= link
        inflow = np.asarray(self._incidence @ drop, dtype=np.float64)
        inflow += surface * above
        np.negative(inflow, out=inflow)
        return link, surface, inflow

    def row_sums(self, flows: Flows) -> FloatArray:
        """All conductances that meet at each node, shape (node, batch)."""
        sums = np.asarray(self._absolute @ flows[0], dtype=np.float64)
        sums += flows[1]
        return sums

    def _conduction(self, mean_k: FloatArray, rows: int) -> FloatArray:
        """Conduction of the first so many links at their mean temperatures."""
        first, second, third = (self._cond[:rows, k, None] for k in range(3))
        link = third * mean_k
        link += second
        link *= mean_k
        link += first
        for part, scale in self._scales:
            if scale is not None and part.start < rows:
                link[part.start : min(part.stop, rows)] *= scale
        return link

    def link_conduction_w_per_k(self, mean_k: FloatArray) -> FloatArray:
        """Conduction of a single sample's links over mean temperatures, (link, k)."""
        return self._conduction(mean_k[None], self.network.first.size)

    def link_radiation_m2(self) -> FloatArray:
        """Exchange areas of a single sample's links, shape (link,)."""
        areas: FloatArray = self._links_m2[:, 0] / SIGMA
        return areas

    def film_w_per_k(self, surface_k: FloatArray) -> FloatArray:
        """Convective conductance of a single sample's surfaces, shape (node, k)."""
        above = np.tile(surface_k - self.ambient_k, (len(self.network.nodes), 1))
        return self._film_part(above)

    def ambient_radiation_m2(self) -> FloatArray:
        """Exchange areas of a single sample with the surroundings, shape (node,)."""
        areas: FloatArray = self._sky_m2[:, 0] / SIGMA
        return areas

    def _film_part(self, above: FloatArray) -> FloatArray:
        place = (above - FILM_DELTA_K[0]) * (1.0 / FILM_STEP_K)
        cell = place.astype(np.intp)
        place -= cell
        cell += self._film_base
        film: FloatArray = self._film.take(cell)
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
