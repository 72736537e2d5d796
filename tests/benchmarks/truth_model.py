"""Landings as they really were: another model than the one that estimates.

Enters: rows of what happened (heat, air, factors), a random generator. Leaves: stack
temperature, indication and the minute from which the aircraft may go. Nothing of the
integrator, films or fits of `thermal` is used. It differs on purpose:

- two discs in the middle of the stack are one, the torque tube is two nodes;
- every joint, face and area has a factor of its own in every landing, masses too;
- natural convection after simplified formulas for air (Holman, Heat Transfer, from
  memory), forced after Hilpert 1933 (from memory), the larger of both instead of a
  blend; specific heat up to 2 % off, when cold up to 8 %, to either side: as far as
  public fits of graphite lie apart;
- temperatures by explicit steps of two stages (Heun);
- brakes of one aircraft share most of that, being of one kind;
- the display is a delay behind one lag instead of two lags; probe weights, lag, gain
  and noise differ from landing to landing.
"""

from dataclasses import dataclass

import numpy as np

from thermal.brake import Brake
from thermal.network import Network
from thermal.rows import Rows
from thermal.solids import (
    aluminium_specific_heat,
    carbon_specific_heat,
    rubber_specific_heat,
    stainless_specific_heat,
    steel_specific_heat,
    titanium_specific_heat,
)

SIGMA = 5.670374419e-8
STEP_S = 5.0
GRID_K = np.arange(200.0, 2601.0, 2.0)
LINK_SCATTER, MASS_SCATTER, AREA_SCATTER = 0.10, 0.02, 0.08
LAG_SCATTER, FRACTION_SD, NOISE_K = 0.15, 0.03, 2.0
# Tolerance of common thermocouples, 0.75 %: IEC 60584 class 2, from memory.
GAIN_SD = 0.0075
# Share of the torque tube that is its foot.
FOOT = 0.3
# For so long the indication can be looked at.
TRACED_MINUTES = 60
_HEATS = {
    "carbon": carbon_specific_heat,
    "steel": steel_specific_heat,
    "aluminium": aluminium_specific_heat,
    "stainless": stainless_specific_heat,
    "titanium": titanium_specific_heat,
    "rubber": rubber_specific_heat,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """What a phase does to every landing: air, contact, heat."""

    outer: float | np.ndarray
    through: float | np.ndarray
    ambient_k: np.ndarray
    density: float = 1.0
    enclosed: float = 1.0
    is_set: bool = False


class Truth:
    """One brake of many landings, each with a structure slightly its own."""

    def __init__(
        self,
        network: Network,
        rows: Rows,
        generator: np.random.Generator,
        aircraft: np.ndarray | None = None,
    ) -> None:
        self.brake: Brake = network.brake
        self.rows, self.generator = rows, generator
        self.aircraft = np.arange(rows.count) if aircraft is None else aircraft
        self._nodes(network)
        self._links(network)
        self._surfaces(network)
        self._heat_tables(network)

    def _scatter(self, sd: float, *shape: int) -> np.ndarray:
        return np.exp(sd * self.normal(*shape))

    def normal(self, *shape: int) -> np.ndarray:
        """Standard normal draws, a tenth of the variance the brake's own."""
        draw = self.generator.standard_normal
        kind = draw((*shape, int(self.aircraft.max()) + 1))[..., self.aircraft]
        return np.sqrt(0.9) * kind + np.sqrt(0.1) * draw((*shape, self.rows.count))

    def _nodes(self, network: Network) -> None:
        discs = network.disc_count
        middle = discs // 2
        kept = [
            name
            for k, name in enumerate(network.nodes)
            if name not in ("probe", "indicator") and k != middle
        ]
        self.names = [*kept, "tube foot"]
        merged = network.nodes[middle + 1]
        self.place = {name: k for k, name in enumerate(self.names)}
        self.place[network.nodes[middle]] = self.place[merged]
        self.discs = discs - 1
        mass = np.zeros((len(self.names), self.rows.count))
        stack = self.rows.stack_fraction
        for k, name in enumerate(network.nodes):
            if name in self.place:
                thin = stack if k < discs else 1.0
                mass[self.place[name]] += network.mass_kg[k] * thin
        tube = self.place["torque tube"]
        mass[-1] = FOOT * mass[tube]
        mass[tube] *= 1.0 - FOOT
        self.mass = mass * self._scatter(MASS_SCATTER, len(self.names))
        share = np.zeros(len(self.names))
        for k in range(discs):
            share[self.place[network.nodes[k]]] += network.heat_fraction[k]
        self.share = share[:, None]

    def _links(self, network: Network) -> None:
        foot, first, second, cond, rad, group = len(self.names) - 1, [], [], [], [], []
        tube = network.index("torque tube")
        for k in range(network.first.size):
            ends = [int(network.first[k]), int(network.second[k])]
            names = [network.nodes[end] for end in ends]
            if not all(name in self.place for name in names):
                continue
            at = [self.place[name] for name in names]
            if at[0] == at[1]:
                continue
            if tube in ends and min(ends) >= network.disc_count:
                at[ends.index(tube)] = foot
            first.append(at[0])
            second.append(at[1])
            cond.append((network.conduction_set[k], network.conduction_released[k]))
            rad.append((network.radiation_set_m2[k], network.radiation_released_m2[k]))
            group.append(int(network.group[k]))
        along = (
            12.0 * self.brake.tube_wall_m * 2 * np.pi * self.brake.tube_outer_radius_m
        )
        first.append(self.place["torque tube"])
        second.append(foot)
        steady = np.array([along / (0.5 * self.brake.tube_length_m), 0.0, 0.0])
        cond.append((steady, steady))
        rad.append((0.0, 0.0))
        group.append(2)
        self.first, self.second = np.array(first), np.array(second)
        self.cond = np.array(cond)
        self.rad = np.array(rad)
        rows, kind = self.rows, np.array(group)
        own = self._scatter(LINK_SCATTER, kind.size)
        joint = np.where((kind == 2)[:, None], rows.joint_factor, 1.0)
        rim = np.where((kind == 1)[:, None], rows.stack_fraction, 1.0)
        self.cond_factor, self.rad_factor = (
            own * joint * rim,
            rim * rows.radiation_factor,
        )
        self.onto = np.zeros((len(self.names), kind.size))
        self.onto[self.first, np.arange(kind.size)] -= 1.0
        self.onto[self.second, np.arange(kind.size)] += 1.0

    def _surfaces(self, network: Network) -> None:
        count = len(self.names)
        self.still, self.through = np.zeros(count), np.zeros(count)
        self.sky, self.outside = np.zeros(count), np.zeros(count, dtype=bool)
        for k, name in enumerate(network.nodes):
            if name in self.place:
                at = self.place[name]
                self.still[at] += network.still_area_m2[k]
                self.through[at] += network.through_area_m2[k]
                self.sky[at] += network.ambient_radiation_m2[k]
                self.outside[at] = network.side[k] == 0
        tube = self.place["torque tube"]
        self.through[-1] = FOOT * self.through[tube]
        self.through[tube] *= 1.0 - FOOT
        self.area = self._scatter(AREA_SCATTER, count)
        self.diameter = np.where(
            self.outside,
            2 * self.brake.rim_radius_m,
            2 * self.brake.rotor_outer_radius_m,
        )[:, None]

    def _heat_tables(self, network: Network) -> None:
        """Enthalpy over temperature of each node's material."""
        tables = {}
        for name, heat in _HEATS.items():
            tables[name] = heat(GRID_K)
        named = dict(zip(network.nodes, network.materials, strict=True))
        named["tube foot"] = named["torque tube"]
        self.heat = np.array([tables[named[name]] for name in self.names])
        self.side = self.generator.uniform(-1.0, 1.0, self.rows.count)[self.aircraft]
        cold = np.exp(-np.maximum(GRID_K - 300.0, 0.0) / 70.0)
        self.off = 0.02 + 0.06 * cold
        stack = tables[named[self.names[0]]]
        self._enthalpy = _from_20_c(stack)
        self._more_enthalpy = _from_20_c(stack * self.off)
        self.row_of = np.arange(len(self.names))[:, None]

    def _specific_heat(self, temperature: np.ndarray) -> np.ndarray:
        place = (temperature - GRID_K[0]) * 0.5
        cell = np.clip(place.astype(int), 0, GRID_K.size - 2)
        low = self.heat[self.row_of, cell]
        found = low + (place - cell) * (self.heat[self.row_of, cell + 1] - low)
        found[: self.discs] *= 1.0 + self.side * self.off[cell[: self.discs]]
        return found

    def enthalpy(self, temperature: np.ndarray) -> np.ndarray:
        """Enthalpy of the stack's material in each landing, landings last."""
        plain = np.interp(temperature, GRID_K, self._enthalpy)
        return plain + self.side * np.interp(temperature, GRID_K, self._more_enthalpy)

    def temperature(self, enthalpy: np.ndarray) -> np.ndarray:
        """The inverse, by what the other side adds."""
        found = np.interp(enthalpy, self._enthalpy, GRID_K)
        for _ in range(6):
            more = self.side * np.interp(found, GRID_K, self._more_enthalpy)
            found = np.interp(enthalpy - more, self._enthalpy, GRID_K)
        return found

    def rates(self, temperature: np.ndarray, air: Air, power: np.ndarray) -> np.ndarray:
        """Kelvin per second of every node, shape (node, landing)."""
        warm, cool = temperature[self.first], temperature[self.second]
        mean = 0.5 * (warm + cool)
        kind = 0 if air.is_set else 1
        a, b, c = (self.cond[:, kind, k, None] for k in range(3))
        flow = (a + mean * (b + mean * c)) * self.cond_factor * (warm - cool)
        squares = warm * warm + cool * cool
        secant = squares * (warm + cool) * (warm - cool)
        flow += SIGMA * self.rad[:, kind, None] * self.rad_factor * secant
        above = temperature - air.ambient_k
        lost = self._film(temperature, above, air) * above
        fourth = temperature**4 - air.ambient_k**4
        lost += SIGMA * self.sky[:, None] * self.rows.radiation_factor * fourth
        gained = self.onto @ flow - lost + self.share * power
        return gained / (self.mass * self._specific_heat(temperature))

    def _film(self, temperature: np.ndarray, above: np.ndarray, air: Air) -> np.ndarray:
        size = np.abs(above) + 0.1
        natural = np.maximum(
            1.32 * (size / self.diameter) ** 0.25, 1.24 * np.cbrt(size)
        ) * np.sqrt(air.density)
        speed = np.where(self.outside[:, None], air.outer, air.through)
        film_k = np.maximum(0.5 * (temperature + air.ambient_k), 220.0)
        viscosity = 1.57e-5 * (film_k / 300.0) ** 1.7 / air.density
        conductivity = 0.0263 * (film_k / 300.0) ** 0.8
        reynolds = speed * self.diameter / viscosity
        hilpert = np.where(
            reynolds < 4e4, 0.193 * reynolds**0.618, 0.027 * reynolds**0.805
        )
        forced = hilpert * 0.89 * conductivity / self.diameter
        blown = np.asarray(air.through) > 0
        area = np.where(blown, self.through[:, None], self.still[:, None]) * self.area
        film = np.maximum(natural, forced) * air.enclosed
        return film * area * self.rows.convection_factor

    def step(
        self, temperature: np.ndarray, air: Air, power: np.ndarray, step_s: np.ndarray
    ) -> np.ndarray:
        """One step of two stages; each landing has a length of its own."""
        first = self.rates(temperature, air, power)
        second = self.rates(temperature + step_s * first, air, power)
        return temperature + 0.5 * step_s * (first + second)


def _from_20_c(heat: np.ndarray) -> np.ndarray:
    """Integral of a specific heat over `GRID_K`, zero at 20 °C."""
    cells = 0.5 * (heat[1:] + heat[:-1]) * np.diff(GRID_K)
    whole = np.concatenate([[0.0], np.cumsum(cells)])
    return whole - np.interp(293.15, GRID_K, whole)


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """What happened; arrays of shape (landing, time) on ``minute`` after in-block."""

    minute: np.ndarray
    stack_k: np.ndarray
    states: np.ndarray
    before_s: np.ndarray
    sources: np.ndarray


class _Trace:
    """What the probe sees, at every step from touchdown on."""

    def __init__(self, truth: Truth, begin_s: np.ndarray) -> None:
        self.truth, self.now_s = truth, begin_s
        self.clock: list[np.ndarray] = []
        self.sources: list[np.ndarray] = []

    def follow(self, temperature: np.ndarray, step_s: np.ndarray | float = 0.0) -> None:
        place, last = self.truth.place, self.truth.names[self.truth.discs - 1]
        self.now_s = self.now_s + step_s
        tube = temperature[place["torque tube"]]
        tube = tube + FOOT * (temperature[-1] - tube)
        seen = [temperature[place[last]], tube, temperature[place["piston housing"]]]
        self.clock.append(self.now_s)
        self.sources.append(np.stack(seen))


def happened(truth: Truth, until_minutes: int) -> Landings:
    """Touchdown to so many minutes at the stand; states on every whole minute."""
    rows = truth.rows
    ambient = rows.ambient_k[:, 0]
    density = float(rows.pressure_pa[0]) / 101325.0
    temperature = np.broadcast_to(
        0.5 * (ambient + rows.residual_k), (len(truth.names), rows.count)
    ).copy()
    temperature[: truth.discs] = rows.residual_k
    roll = Air(outer=20.0, through=4.0, ambient_k=ambient, density=density, is_set=True)
    taxi = Air(outer=4.0, through=0.5, ambient_k=ambient, density=density)
    stand = Air(outer=0.0, through=0.0, ambient_k=ambient, density=density)
    trace = _Trace(truth, -(rows.roll_s + rows.taxi_in_s))
    trace.follow(temperature)
    knots, count = rows.roll_power_w.shape[1] - 1, 40
    for k in range(count):
        place = (k + 0.5) / count * knots
        cell = int(place)
        low, high = rows.roll_power_w[:, cell], rows.roll_power_w[:, cell + 1]
        power = low + (place - cell) * (high - low)
        temperature = truth.step(temperature, roll, power, rows.roll_s / count)
        trace.follow(temperature, rows.roll_s / count)
    for _ in range(60):
        power = rows.taxi_in_j / rows.taxi_in_s
        temperature = truth.step(temperature, taxi, power, rows.taxi_in_s / 60)
        trace.follow(temperature, rows.taxi_in_s / 60)
    nothing, five = np.zeros(rows.count), np.full(rows.count, STEP_S)
    states = [temperature]
    for minute in range(until_minutes):
        for _ in range(round(60 / STEP_S)):
            temperature = truth.step(temperature, stand, nothing, five)
            if minute < TRACED_MINUTES:
                trace.follow(temperature, five)
        states.append(temperature)
    kept = np.array(states)
    mass = truth.mass[: truth.discs]
    enthalpy = truth.enthalpy(kept[:, : truth.discs])
    mean = (enthalpy * mass).sum(axis=1) / mass.sum(axis=0)
    stack = truth.temperature(mean)
    return Landings(
        minute=np.arange(until_minutes + 1.0),
        stack_k=stack.T,
        states=kept,
        before_s=np.array(trace.clock),
        sources=np.array(trace.sources),
    )


def shown_k(truth: Truth, landings: Landings, at_s: np.ndarray) -> np.ndarray:
    """Indication as displayed, shape (landing, time), at instants after in-block."""
    draw, probe, count = truth.generator, truth.brake.probe, truth.rows.count
    end = probe.end_stator_fraction + FRACTION_SD * truth.normal()
    tube = probe.tube_fraction + FRACTION_SD * truth.normal()
    weights = np.stack([end, tube, 1.0 - end - tube])
    seen = (landings.sources * weights).sum(axis=1)
    lag = probe.lag_s * np.exp(LAG_SCATTER * truth.normal())
    delay = probe.display_lag_s * draw.uniform(0.6, 1.4, count)
    gain = 1.0 + GAIN_SD * draw.standard_normal(count)
    probe_k = np.empty_like(seen)
    probe_k[0] = landings.sources[0, 1]
    for k in range(1, seen.shape[0]):
        step = landings.before_s[k] - landings.before_s[k - 1]
        fades = np.exp(-step / lag)
        mean = 0.5 * (seen[k] + seen[k - 1])
        probe_k[k] = mean + (probe_k[k - 1] - mean) * fades
    out = np.empty((count, at_s.size))
    for row in range(count):
        out[row] = np.interp(
            at_s - delay[row], landings.before_s[:, row], probe_k[:, row]
        )
    ambient = truth.rows.ambient_k[:, :1]
    out = ambient + gain[:, None] * (out - ambient)
    out += NOISE_K * draw.standard_normal(out.shape)
    step = probe.display_step_k
    return 273.15 + step * np.round((out - 273.15) / step)
