"""What the readings move, as one vector: common factors, then those of each brake.

Enters: the draws of one aircraft. Leaves: one vector per draw, and what a brake is for
any vector. Beside the drawn inputs it holds what is not known of the indicator.

The standard deviations below are engineering estimates, held against landings of
another model (docs/estimate.md).
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Probe
from thermal.estimate.inputs import COMMON, HEAT, NAMES, within_limits

# Heat that the landing's inputs do not explain, and what cooling factors miss.
HEAT_SD = 0.03
COOLING_SD = {
    "convection_factor": 0.08,
    "radiation_factor": 0.045,
    "joint_factor": 0.07,
}
LAG_SD, DISPLAY_SD = 0.16, 0.25
FRACTION_SD = 0.03
GAIN_SD = 0.01
BRAKE_GAIN_SD = 0.015
BRAKE_LAG_SD = 0.08
ODD_SHARE_SD = 0.45
INDICATOR_SD = (
    ("lag", LAG_SD),
    ("display", DISPLAY_SD),
    ("end_fraction", FRACTION_SD),
    ("tube_fraction", FRACTION_SD),
    ("gain", GAIN_SD),
)
OF_A_BRAKE = ("share", "lag", "gain")
COMMON_COUNT = len(COMMON) + len(INDICATOR_SD)
INPUT_COUNT = len(NAMES) + 4
_LEAST_LAG = 0.4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """Vectors of one aircraft's draws.

    Attributes
    ----------
    vectors : array, shape (sample, entry)
        Common entries, then share, lag and gain of the first brake, and so on.
    mean, variance : array, shape (entry,)
    fixed : array, shape (sample, brake, 2)
        Stack fraction and wind of each row.
    centre : array, shape (brake, 2)
        Their means.
    """

    vectors: FloatArray
    mean: FloatArray
    variance: FloatArray
    fixed: FloatArray
    probe: Probe

    @property
    def brakes(self) -> int:
        """Number of brakes."""
        return int(self.fixed.shape[1])

    def share_entry(self, brake: int) -> int:
        """Place of a brake's share in the vector."""
        return COMMON_COUNT + len(OF_A_BRAKE) * brake


def layout(
    inputs: FloatArray, brakes: int, probe: Probe, generator: np.random.Generator
) -> Layout:
    """Vectors of draws whose inputs have shape (sample * brake, input)."""
    by_brake = inputs.reshape(-1, brakes, len(NAMES))
    samples = by_brake.shape[0]
    heat = by_brake[:, :, HEAT]
    takes = heat.mean(axis=0) > 0
    mean_heat = heat[:, takes].mean(axis=1)
    normal = generator.standard_normal
    common = by_brake[:, int(np.argmax(takes)), : len(COMMON)].copy()
    common[:, HEAT] = mean_heat * np.maximum(1.0 + HEAT_SD * normal(samples), 0.5)
    for name, sd in COOLING_SD.items():
        common[:, COMMON.index(name)] += sd * normal(samples)
    centre = {
        "lag": 1.0,
        "display": 1.0,
        "end_fraction": probe.end_stator_fraction,
        "tube_fraction": probe.tube_fraction,
        "gain": 1.0,
    }
    indicator = np.stack(
        [centre[name] + sd * normal(samples) for name, sd in INDICATOR_SD], axis=1
    )
    own = np.empty((samples, brakes, len(OF_A_BRAKE)))
    own[:, :, 0] = heat / mean_heat[:, None]
    own[:, :, 1] = 1.0 + BRAKE_LAG_SD * normal((samples, brakes))
    own[:, :, 2] = 1.0 + BRAKE_GAIN_SD * normal((samples, brakes))
    vectors = np.concatenate([common, indicator, own.reshape(samples, -1)], axis=1)
    return Layout(
        vectors=vectors,
        mean=vectors.mean(axis=0),
        variance=vectors.var(axis=0),
        fixed=by_brake[:, :, len(COMMON) :],
        probe=probe,
    )


def brake_inputs(vectors: FloatArray, fixed: FloatArray, brake: int) -> FloatArray:
    """Give the inputs of one brake, then its gain, shape (sample, input + 1).

    Parameters
    ----------
    vectors : array, shape (sample, entry)
    fixed : array, shape (sample, 2)
        Stack fraction and wind of this brake.
    """
    common = vectors[:, :COMMON_COUNT]
    at = COMMON_COUNT + len(OF_A_BRAKE) * brake
    share, lag, gain = vectors[:, at : at + len(OF_A_BRAKE)].T
    thermal = np.concatenate([common[:, : len(COMMON)], fixed], axis=1)
    thermal[:, HEAT] *= np.maximum(share, 0.0)
    indicator = common[:, len(COMMON) :].copy()
    indicator[:, 0] *= lag
    indicator[:, :2] = np.maximum(indicator[:, :2], _LEAST_LAG)
    indicator[:, 4] *= gain
    return np.concatenate([within_limits(thermal), indicator], axis=1)


def chain(vectors: FloatArray, brake: int, by_input: FloatArray) -> FloatArray:
    """Slopes by vector entry from slopes by input, shape (sample, output, entry).

    Parameters
    ----------
    by_input : array, shape (sample, output, input + 1)
        The last input is the gain.
    """
    slopes = np.zeros((*by_input.shape[:2], vectors.shape[1]))
    slopes[:, :, : len(COMMON)] = by_input[:, :, : len(COMMON)]
    slopes[:, :, len(COMMON) : COMMON_COUNT] = by_input[:, :, len(NAMES) :]
    at = COMMON_COUNT + len(OF_A_BRAKE) * brake
    share, lag, gain = (vectors[:, at + k, None] for k in range(3))
    heat, common_lag = vectors[:, HEAT, None], vectors[:, len(COMMON), None]
    common_gain = vectors[:, COMMON_COUNT - 1, None]
    by_heat = slopes[:, :, HEAT].copy()
    slopes[:, :, HEAT] = by_heat * np.maximum(share, 0.0)
    slopes[:, :, at] = by_heat * heat
    by_lag = slopes[:, :, len(COMMON)].copy()
    slopes[:, :, len(COMMON)] = by_lag * lag
    slopes[:, :, at + 1] = by_lag * common_lag
    by_gain = slopes[:, :, COMMON_COUNT - 1].copy()
    slopes[:, :, COMMON_COUNT - 1] = by_gain * gain
    slopes[:, :, at + 2] = by_gain * common_gain
    return slopes
