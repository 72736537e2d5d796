"""What the readings say and do not say yet, in one plain sentence."""

import numpy as np

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.units import MINUTE_S

_FAR_OFF = 2.5
_MUCH, _LITTLE = 0.5, 0.85


def sentence(
    brake: Brake,
    last_s: float | None,
    narrowing: FloatArray,
    misfit: float,
    *,
    beside_fan: bool,
) -> str:
    """Say it.

    Parameters
    ----------
    last_s : float or None
        Time from the stop to the last reading that counts; None without one.
    narrowing : array, shape (brake,)
        Spread of the heat after the readings as a share of before.
    beside_fan : bool
        Whether a fan ran at the last reading or shortly before.
    """
    if last_s is None:
        return "No reading counts; the figures are those of the landing alone."
    minutes = round(last_s / MINUTE_S)
    left = round(100 * float(np.median(narrowing)))
    said = f"The readings leave {left} % of the spread in brake heat"
    if misfit > _FAR_OFF:
        return (
            f"{said}, but no landing as described explains them well: check the "
            "entries and read again."
        )
    if beside_fan:
        return (
            f"{said}; a fan cools the probe first, so a reading without it says more."
        )
    if last_s < brake.limits.indicated_valid_after_s:
        return (
            f"{said}, but {minutes} minutes after the stop the indicator still lags: "
            "how fast the brake cools is not in them yet, and later ones say more."
        )
    return said + _by_narrowing(float(np.median(narrowing)))


def _by_narrowing(part: float) -> str:
    if part > _LITTLE:
        return ": they agree with what the landing foretold and add little."
    if part > _MUCH:
        return "; a second reading ten minutes later says how fast it cools."
    return "; how fast it cools is known as far as the readings reach."
