r"""Least squares with priors: readings, catalogue ranges and heat of the landings.

Enters: a brake and its recorded cool-downs. Leaves: `Fit`.

Notes
-----
With :math:`u` the parameters and :math:`e` the heat of each landing, both in standard
deviations of their priors, the fit makes

.. math:: \sum_i \left(\frac{T_i(u, e) - r_i}{\sigma}\right)^2 + |u|^2 + |e|^2 + h(u)^2

least within the ranges of the catalogue, :math:`h` being the probe's touch on the
piston housing, which is what the other two leave. The spread is that of the linearised
problem at the fit (posterior of a Gaussian prior; Tarantola, Inverse Problem Theory,
SIAM 2005, doi 10.1137/1.9780898717921, from memory), widened where readings scatter
more than :math:`\sigma`. What the readings can tell are the singular values of the
Jacobian scaled by prior and :math:`\sigma`, the heat of the landings taken out as far
as it is unknown.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from thermal.arrays import FloatArray, check_range
from thermal.brake import Brake
from thermal.calibrate.cool_down import CoolDown
from thermal.calibrate.forward import indicated_k
from thermal.calibrate.parameters import (
    Parameter,
    Rest,
    brake_with,
    parameters_of,
    rest_of,
)
from thermal.calibrate.refusing import refusals
from thermal.calibrate.result import Direction, Fit, FittedParameter
from thermal.catalogue import load_brake
from thermal.errors import EstimationError

NOISE_K = 10.0
_STEP_SD = 0.25
_HEAT_STEP_SD = 0.5
_TOLERANCE = 2e-3
_MOST_EVALUATIONS = 25
_SHOWN_PARTS = 0.3
_AT_BOUND_SD = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What is fitted: brake, records, parameters, and the noise of a reading.

    ``seen`` keeps what was foretold for each set of unknowns.
    """

    brake: Brake
    records: tuple[CoolDown, ...]
    parameters: tuple[Parameter, ...]
    noise_k: float
    rest: Rest
    seen: dict[bytes, FloatArray] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """Number of parameters; the heat of each record comes behind them."""
        return len(self.parameters)

    @property
    def reading_k(self) -> FloatArray:
        """All readings, one record behind the other."""
        return np.concatenate([one.indicated_k for one in self.records])

    @property
    def record(self) -> FloatArray:
        """Number of each reading's record."""
        sizes = [one.time_s.size for one in self.records]
        return np.repeat(np.arange(len(sizes), dtype=np.float64), sizes)

    @property
    def bounds(self) -> tuple[FloatArray, FloatArray]:
        """Lowest and highest value of every unknown, in standard deviations."""
        ends = [(one.low, one.high) for one in self.parameters]
        middle = np.array([one.value for one in self.parameters])
        sd = np.array([one.sd for one in self.parameters])
        low, high = (np.array(column) for column in zip(*ends, strict=True))
        # A value that lies on an end of its range needs a little room to start from.
        low, high = (low - middle) / sd - 1e-6, (high - middle) / sd + 1e-6
        heat = np.full(len(self.records), 4.0)
        return np.concatenate([low, -heat]), np.concatenate([high, heat])

    def values(self, unknown: FloatArray) -> list[float]:
        """Parameters in their own units, within their ranges."""
        return [
            float(np.clip(one.value + one.sd * u, one.low, one.high))
            for one, u in zip(self.parameters, unknown, strict=False)
        ]

    def heat_factor(self, unknown: FloatArray) -> FloatArray:
        """Factor on the heat of each record."""
        sd = np.array([one.energy_sd_fraction for one in self.records])
        return 1.0 + sd * unknown[self.count :]

    def foretold_k(self, unknown: FloatArray) -> FloatArray:
        """Foretell what the indicator shows at every reading."""
        key = unknown.tobytes()
        if key not in self.seen:
            brake = brake_with(self.brake, self.parameters, self.values(unknown))
            heat = self.heat_factor(unknown)
            self.seen[key] = indicated_k(brake, self.records, heat)
        return self.seen[key]

    def residuals(self, unknown: FloatArray) -> FloatArray:
        """Misfit of readings and priors, in standard deviations."""
        misfit = (self.foretold_k(unknown) - self.reading_k) / self.noise_k
        rest = self.rest.begin + self.rest.slope @ unknown[: self.count]
        return np.concatenate([misfit, unknown, [rest]])

    def data_jacobian(self, unknown: FloatArray) -> FloatArray:
        """Change of the readings' misfit with each unknown, (reading, unknown).

        One more cooling per parameter; the heat of a record moves only its own
        readings, so that one cooling serves for all of them.
        """
        base = self.foretold_k(unknown)
        columns = []
        for place in range(self.count):
            step = -_STEP_SD if unknown[place] > 0.0 else _STEP_SD
            moved = unknown.copy()
            moved[place] += step
            columns.append((self.foretold_k(moved) - base) / step)
        warmer = unknown.copy()
        warmer[self.count :] += _HEAT_STEP_SD
        rise = (self.foretold_k(warmer) - base) / _HEAT_STEP_SD
        record = self.record
        columns += [
            np.where(record == number, rise, 0.0) for number in range(len(self.records))
        ]
        return np.stack(columns, axis=1) / self.noise_k

    def jacobian(self, unknown: FloatArray) -> FloatArray:
        """Change of all residuals with each unknown."""
        rest = np.zeros((1, unknown.size))
        rest[0, : self.count] = self.rest.slope
        return np.vstack([self.data_jacobian(unknown), np.eye(unknown.size), rest])

    @property
    def prior_precision(self) -> FloatArray:
        """Inverse covariance of the unknowns before any reading."""
        precision = np.eye(self.count + len(self.records))
        slope = self.rest.slope
        precision[: self.count, : self.count] += np.outer(slope, slope)
        return precision


def calibrate(
    brake: str, records: Sequence[CoolDown], *, noise_k: float = NOISE_K
) -> Fit:
    """Fit a brake's uncertain parameters to recorded cool-downs.

    Parameters
    ----------
    brake : str
        A brake of the catalogue, or the path of a brake file.
    records : sequence of CoolDown
    noise_k : float
        Standard deviation of one reading: probe, display step, model.

    Raises
    ------
    EstimationError
        If there are no records.
    ParameterError
        If the brake is not known.
    """
    from scipy.optimize import least_squares

    if not records:
        raise EstimationError("cool-downs: expected at least one, got none")
    check_range("noise_k", noise_k, 0.5, 100.0, "K")
    parameters = parameters_of(brake)
    problem = Problem(
        brake=load_brake(brake),
        records=tuple(records),
        parameters=parameters,
        noise_k=noise_k,
        rest=rest_of(brake, parameters),
    )
    found = least_squares(
        problem.residuals,
        np.zeros(problem.count + len(records)),
        jac=problem.jacobian,
        bounds=problem.bounds,
        xtol=_TOLERANCE,
        ftol=_TOLERANCE,
        gtol=1e-4,
        max_nfev=_MOST_EVALUATIONS,
    )
    jacobian = np.asarray(found.jac)[: problem.reading_k.size]
    return _fit(problem, np.asarray(found.x), jacobian)


def _fit(problem: Problem, unknown: FloatArray, data: FloatArray) -> Fit:
    """Everything there is to say about the solution and the Jacobian there."""
    foretold = problem.foretold_k(unknown)
    misfit = (foretold - problem.reading_k) / problem.noise_k
    scatter = max(1.0, float((misfit**2).mean()))
    before = problem.prior_precision
    after = np.linalg.inv(data.T @ data / scatter + before)
    sd = np.sqrt(np.diag(after))[: problem.count]
    remaining = sd / np.sqrt(np.diag(np.linalg.inv(before)))[: problem.count]
    values, (low, high) = problem.values(unknown), problem.bounds
    parameters = tuple(
        FittedParameter(
            prior=one,
            value=value,
            sd=float(own * one.sd),
            remaining=float(left),
            at_bound=bool(min(u - lowest, highest - u) < _AT_BOUND_SD),
        )
        for one, value, own, left, u, lowest, highest in zip(
            problem.parameters, values, sd, remaining, unknown, low, high, strict=False
        )
    )
    directions = _directions(problem, data)
    return Fit(
        brake=brake_with(problem.brake, problem.parameters, values),
        parameters=parameters,
        directions=directions,
        record=problem.record,
        time_s=np.concatenate([one.time_s for one in problem.records]),
        reading_k=problem.reading_k,
        foretold_k=foretold,
        heat_factor=problem.heat_factor(unknown),
        noise_k=problem.noise_k,
        refusals=refusals(problem.records, misfit, parameters, directions),
    )


def _directions(problem: Problem, data: FloatArray) -> tuple[Direction, ...]:
    """Singular directions of the parameters, with the heat unknown as stated."""
    inner, heat = data[:, : problem.count], data[:, problem.count :]
    known = np.linalg.inv(np.eye(heat.shape[1]) + heat.T @ heat)
    told = inner.T @ inner - inner.T @ heat @ known @ heat.T @ inner
    half = np.linalg.cholesky(problem.prior_precision)[: problem.count, : problem.count]
    white = np.linalg.inv(half)
    values, vectors = np.linalg.eigh(white @ told @ white.T)
    vectors = white.T @ vectors
    vectors /= np.linalg.norm(vectors, axis=0)
    return tuple(
        Direction(
            strength=float(np.sqrt(max(values[place], 0.0))),
            parts=_parts(problem.parameters, vectors[:, place]),
        )
        for place in np.argsort(-values)
    )


def _parts(
    parameters: tuple[Parameter, ...], vector: FloatArray
) -> tuple[tuple[str, float], ...]:
    """Parameters that a direction is mostly made of, the heaviest first, positive."""
    order = np.argsort(-np.abs(vector))
    sign = 1.0 if vector[order[0]] > 0.0 else -1.0
    return tuple(
        (parameters[place].key, round(float(sign * vector[place]), 2))
        for place in order
        if abs(vector[place]) >= _SHOWN_PARTS
    )
