"""Readings of the indicator → a weight for every sample of the landing.

Enters: `StandHeat` of one case and the readings. Leaves: `Evidence`.

- Each sample foretells what the indicator shows, lag included, on its hottest brake.
- A weight falls with the distance to the reading as a normal distribution does, with
  10 K (or the display step) of the reading plus 15 K of the model, engineering
  estimates. Several readings share the model's error, so their squared distances are
  averaged, not added up.
- If fewer than 50 samples' worth of weight is left, the distribution is widened until
  50 are: the reading lies at the edge of what the inputs allow.
- Readings more than 60 K outside all that is foretold are not used.
- Where no sample comes within 60 K of every reading, the readings contradict each
  other: only the one furthest above what is foretold counts.
- Readings above all that is foretold: the landing is drawn again with more heat than
  computed, since the brakes plainly hold more.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case
from scheduler.day import Reading
from scheduler.readiness.limits import minutely
from scheduler.readiness.stand import StandHeat, stand_heat
from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.errors import ThermalError
from thermal.turnaround import arrival, arrival_s, parked, start_k
from thermal.units import MINUTE_S

READING_K = 10.0
MODEL_K = 15.0
LEAST_COUNT = 50.0
OUTSIDE_K = 60.0
MOST_HEAT = 3.0
_WIDER = 1.25
_OVERSHOOT_K = 100.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """What the readings say about the samples.

    Attributes
    ----------
    weight : array, shape (sample,)
        Sums to one; even where no reading is used.
    used : bool
        Whether there are readings and they count.
    above_k : float
        How far the readings lie above all that was foretold from the inputs as
        given; negative below the highest, zero without readings.
    below_k : float
        The same below the lowest.
    foretold_k : tuple of two float
        Lowest and highest indication foretold for the last reading from the inputs
        as given.
    sd_k : float
        Standard deviation that the weights used.
    at_edge : bool
        Whether it had to be widened.
    contradict : bool
        Whether no one landing explains all readings, so that only the hottest counts.
    more_heat : tuple of two float or None
        Range (5 to 95 %) of the factor on the heat of braking, where the readings ask
        for more than the inputs allow.
    """

    weight: FloatArray
    used: bool = False
    above_k: float = 0.0
    below_k: float = 0.0
    foretold_k: tuple[float, float] = (0.0, 0.0)
    sd_k: float = 0.0
    at_edge: bool = False
    contradict: bool = False
    more_heat: tuple[float, float] | None = None

    @property
    def too_hot(self) -> bool:
        """Whether the readings are hotter than can be followed."""
        return not self.used and self.above_k > 0

    @property
    def effective_count(self) -> float:
        """How many samples of equal weight would say as much."""
        return effective_count(self.weight)


def effective_count(weight: FloatArray) -> float:
    """Square of the sum over the sum of squares (Kish 1965, Survey Sampling)."""
    return float(weight.sum() ** 2 / (weight**2).sum())


def weigh(heat: StandHeat, readings: tuple[Reading, ...]) -> tuple[StandHeat, Evidence]:
    """Weights of all samples, and the heat they belong to.

    Parameters
    ----------
    heat : StandHeat
        Of one case.
    readings : tuple of Reading
        After touchdown, within the hours that the heat covers.

    Returns
    -------
    heat : StandHeat
        As given, or drawn again with more heat.
    evidence : Evidence
    """
    given, count = heat, heat.cases[0].shape[0]
    even = np.full(count, 1.0 / count)
    if not readings:
        return heat, Evidence(weight=even)
    shown_k = np.array([item.indicated_k for item in readings])
    foretold_k = indications_k(heat, readings)
    hottest = int((shown_k - foretold_k.max(axis=0)).argmax())
    above_k = float((shown_k - foretold_k.max(axis=0)).mean())
    below_k = float((foretold_k.min(axis=0) - shown_k).mean())
    last = foretold_k[:, int(np.argmax([item.minute for item in readings]))]
    factor = None
    if above_k > 0:
        hotter, factor = _with_more_heat(heat, shown_k, foretold_k)
        if hotter is not None:
            heat, foretold_k = hotter, indications_k(hotter, readings)
    evidence = Evidence(
        weight=even,
        above_k=above_k,
        below_k=below_k,
        foretold_k=(float(last.min()), float(last.max())),
    )
    still_above_k = float((shown_k - foretold_k.max(axis=0)).mean())
    if max(still_above_k, below_k) > OUTSIDE_K:
        return heat, evidence
    if np.abs(shown_k - foretold_k).max(axis=1).min() > OUTSIDE_K and len(readings) > 1:
        heat, alone = weigh(given, (readings[hottest],))
        return heat, replace(alone, foretold_k=evidence.foretold_k, contradict=True)
    step_k = heat.network.brake.probe.display_step_k
    weight, sd_k, at_edge = weights(
        shown_k, foretold_k, max(READING_K, step_k) + MODEL_K
    )
    return heat, replace(
        evidence,
        weight=weight,
        used=True,
        sd_k=sd_k,
        at_edge=at_edge,
        more_heat=None if factor is None else spread(factor, weight),
    )


def weights(
    shown_k: FloatArray, foretold_k: FloatArray, sd_k: float
) -> tuple[FloatArray, float, bool]:
    """Weights, the standard deviation used, and whether it was widened.

    Parameters
    ----------
    shown_k : array, shape (reading,)
    foretold_k : array, shape (sample, reading)
    sd_k : float
        Standard deviation to begin with.
    """
    squares = ((shown_k - foretold_k) ** 2).mean(axis=1)
    squares = squares - squares.min()
    at_edge = False
    least = min(LEAST_COUNT, 0.9 * squares.size)
    while True:
        weight = np.exp(-0.5 * squares / sd_k**2)
        if effective_count(weight) >= least:
            return weight / weight.sum(), sd_k, at_edge
        sd_k, at_edge = sd_k * _WIDER, True


def spread(values: FloatArray, weight: FloatArray) -> tuple[float, float]:
    """Weighted 5 % and 95 % points of values, both of shape (sample,)."""
    order = np.argsort(values)
    share = np.cumsum(weight[order]) / weight.sum()
    low, high = np.searchsorted(share, (0.05, 0.95))
    return float(values[order[low]]), float(values[order[min(high, order.size - 1)]])


def indications_k(heat: StandHeat, readings: tuple[Reading, ...]) -> FloatArray:
    """Highest indication of each sample at each reading, shape (sample, reading)."""
    case = heat.cases[0]
    minute = np.array(
        [float(item.minute - case.turnaround.in_block_minute) for item in readings]
    )
    shown = np.empty((heat.rows.count, minute.size))
    parked_at = minute >= 0
    shown[:, parked_at] = minutely(
        heat.minute, heat.curve.indicated_k, minute[parked_at]
    )
    if not parked_at.all():
        shown[:, ~parked_at] = _before_in_block_k(heat, minute[~parked_at])
    highest = np.full((case.shape[0], minute.size), -np.inf)
    np.maximum.at(highest, heat.rows.sample, shown)
    return highest


def _before_in_block_k(heat: StandHeat, minute: FloatArray) -> FloatArray:
    """Follow the indication while rolling and taxiing in, shape (row, reading)."""
    rows, network = heat.rows, heat.network
    at_s, back = np.unique(minute * MINUTE_S, return_inverse=True)
    begin = -arrival_s(rows)
    curve = cool(
        network,
        rows.variation,
        (*arrival(rows), *parked(rows, 0.0, MINUTE_S)),
        start_k(network, rows),
        np.maximum(at_s, begin.max()),
        start_s=begin,
        nodes=("indicator",),
    )
    return curve.indicated_k[:, back]


def _with_more_heat(
    heat: StandHeat, shown_k: FloatArray, foretold_k: FloatArray
) -> tuple[StandHeat | None, FloatArray]:
    """Draw the case again with its heat of braking raised by a factor from one up.

    The factor reaches past what lifts the middle sample to the readings; None where
    that is beyond what the materials stand.
    """
    case = heat.cases[0]
    air_k = float(case.rows.ambient_k[:, 0].mean())
    rise_k = np.maximum(np.median(foretold_k, axis=0) - air_k, 5.0)
    reach = float(((shown_k + _OVERSHOOT_K - air_k) / rise_k).max())
    top = min(max(reach, 1.2), MOST_HEAT)
    count = case.shape[0]
    places = np.random.default_rng(count).permutation(count)
    factor = 1.0 + (top - 1.0) * (places + 0.5) / count
    try:
        return stand_heat((_heated(case, factor),), heat.hold_minutes), factor
    except ThermalError:
        return None, factor


def _heated(case: Case, factor: FloatArray) -> Case:
    rows = case.rows
    rows = replace(rows, roll_power_w=rows.roll_power_w * factor[rows.sample, None])
    return replace(case, rows=rows, energy_j=rows.arrival_j.reshape(case.shape))
