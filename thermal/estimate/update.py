"""Draws moved to the readings: each as far as its own random landing would be.

Enters: `Layout`, `Fitted`, readings. Leaves: vectors that the readings allow, each as
likely as any other, or the likeliest vector with its evidence.

Every draw is one landing with one random error in each reading; it is moved to the
likeliest vector given those, by Gauss-Newton steps. For a linear indicator and normal
draws that samples the posterior exactly (Oliver, He and Reynolds 1996, randomised
maximum likelihood; Chen and Oliver 2012, doi 10.1007/s11004-011-9376-z).
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.estimate.design import Fitted
from thermal.estimate.inputs import NAMES
from thermal.estimate.layout import INPUT_COUNT, Layout, brake_inputs, chain
from thermal.estimate.records import HOTTEST, Readings

READING_SD_K = 4.0
_STEPS = (0.7, 1.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Problem:
    """Readings of one aircraft and what foretells them.

    Attributes
    ----------
    instant : int array, shape (reading,)
        Output of ``fitted.shown`` that belongs to each reading.
    noise : array, shape (reading,)
        Variance of one reading apart from what brake and indicator share.
    """

    layout: Layout
    fitted: Fitted
    readings: Readings
    instant: np.ndarray
    noise: FloatArray

    @classmethod
    def of(cls, layout: Layout, fitted: Fitted, readings: Readings) -> "Problem":
        """Place the readings on the fitted instants."""
        instant = np.searchsorted(fitted.read_s, readings.time_s)
        step_k = layout.probe.display_step_k
        error = fitted.shown.error[instant]
        return cls(
            layout=layout,
            fitted=fitted,
            readings=readings,
            instant=instant,
            noise=READING_SD_K**2 + step_k**2 / 12.0 + error**2,
        )

    def select(self, which: np.ndarray) -> "Problem":
        """Keep some of the readings."""
        return Problem(
            layout=self.layout,
            fitted=self.fitted,
            readings=self.readings.select(which),
            instant=self.instant[which],
            noise=self.noise[which],
        )

    def relabelled(self, brake: np.ndarray) -> "Problem":
        """Put the same readings at other positions."""
        readings = Readings(
            time_s=self.readings.time_s, shown_k=self.readings.shown_k, brake=brake
        )
        return Problem(
            layout=self.layout,
            fitted=self.fitted,
            readings=readings,
            instant=self.instant,
            noise=self.noise,
        )

    def foretold(
        self, vectors: FloatArray, fixed: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Foretell indications and slopes by entry, (sample, reading[, entry])."""
        samples, count = vectors.shape[0], self.readings.count
        shown = np.full((samples, count), -np.inf)
        slopes = np.zeros((samples, count, vectors.shape[1]))
        open_ = self.readings.brake == HOTTEST
        for brake in range(self.layout.brakes):
            mine = np.flatnonzero((self.readings.brake == brake) | open_)
            if not mine.size:
                continue
            found, by_input = self._of_brake(vectors, fixed[:, brake], brake, mine)
            hotter = found > shown[:, mine]
            slope = chain(vectors, brake, by_input)
            shown[:, mine] = np.where(hotter, found, shown[:, mine])
            slopes[:, mine] = np.where(hotter[:, :, None], slope, slopes[:, mine])
        return shown, slopes

    def _of_brake(
        self, vectors: FloatArray, fixed: FloatArray, brake: int, mine: np.ndarray
    ) -> tuple[FloatArray, FloatArray]:
        inputs = brake_inputs(vectors, fixed, brake)
        gain, response = inputs[:, [INPUT_COUNT]], self.fitted.shown
        outputs = self.instant[mine]
        rise, slopes = response.with_slopes(inputs[:, :INPUT_COUNT], outputs)
        by_input = np.empty((*rise.shape, INPUT_COUNT + 1))
        by_input[:, :, :INPUT_COUNT] = gain[:, :, None] * slopes
        by_input[:, :, NAMES.index("ambient")] += 1.0
        by_input[:, :, INPUT_COUNT] = rise
        air = self.fitted.base.ambient_k + inputs[:, [NAMES.index("ambient")]]
        return air + gain * rise, by_input


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moved:
    """Vectors after the readings.

    Attributes
    ----------
    vectors : array, shape (sample, entry)
    evidence : array, shape (sample,)
        Logarithm of how likely the readings are, apart from a constant.
    distance : array, shape (sample,)
        Squared distance of the readings, in standard deviations.
    left_k : array, shape (sample, reading)
        Reading less indication.
    missed : array, shape (sample, reading)
        The same, of each reading against all others, in standard deviations.
    """

    vectors: FloatArray
    evidence: FloatArray
    distance: FloatArray
    left_k: FloatArray
    missed: FloatArray


def move(
    problem: Problem,
    start: FloatArray,
    variance: FloatArray,
    shown_k: FloatArray,
    fixed: FloatArray,
) -> Moved:
    """Move each vector to the likeliest one given its own readings.

    Parameters
    ----------
    start, variance : array, shape (sample, entry)
    shown_k : array, shape (sample, reading)
        What was read, with each sample's own error where draws are wanted.
    fixed : array, shape (sample, brake, 2)
    """
    vectors = start.copy()
    wide = variance[:, None, :]
    noise = np.diag(problem.noise)

    def linear() -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Covariance, what is missed at the start, its weights, the likeliest."""
        shown, slopes = problem.foretold(vectors, fixed)
        spread = slopes * wide
        covariance = spread @ slopes.transpose(0, 2, 1) + noise
        off = (vectors - start)[:, :, None]
        missed = shown_k - shown + (slopes @ off)[:, :, 0]
        solved = np.linalg.solve(covariance, missed[:, :, None])
        weighed = np.asarray(solved, dtype=np.float64)
        wanted = start + (spread.transpose(0, 2, 1) @ weighed)[:, :, 0]
        return covariance, missed, weighed[:, :, 0], wanted

    for part in _STEPS:
        vectors = vectors + part * (linear()[3] - vectors)
    covariance, missed, weighed, vectors = linear()
    shown, _ = problem.foretold(vectors, fixed)
    inverse = np.linalg.inv(covariance)
    size = np.linalg.slogdet(covariance)[1]
    distance = np.einsum("sr,sr->s", missed, weighed)
    return Moved(
        vectors=vectors,
        evidence=-0.5 * (distance + size),
        distance=distance,
        left_k=shown_k - shown,
        missed=weighed / np.sqrt(np.einsum("srr->sr", inverse)),
    )


def likeliest(problem: Problem, variance: FloatArray, shown_k: FloatArray) -> Moved:
    """Move the mean of all draws, once per row of ``shown_k`` or of ``variance``."""
    count = max(variance.shape[0], shown_k.shape[0])
    layout = problem.layout

    def full(values: FloatArray) -> FloatArray:
        return np.broadcast_to(values, (count, *values.shape[1:])).copy()

    return move(
        problem,
        full(layout.mean[None]),
        full(variance),
        full(shown_k),
        full(layout.fixed.mean(axis=0)[None]),
    )
