"""Probe and display behind the parts they touch: two first-order lags in a row.

Enters: what the probe sees over time. Leaves: what the display shows. The probe is so
light that it takes nothing noticeable from the brake, so that its lag can differ from
draw to draw without integrating the brake again.
"""

import numpy as np

from thermal.arrays import FloatArray


def lagged(
    time_s: FloatArray, source_k: FloatArray, lag_s: FloatArray, start_k: FloatArray
) -> FloatArray:
    """Follow a source that is straight between instants through a first-order lag.

    Parameters
    ----------
    time_s : array, shape (time,)
    source_k : array, shape (row, time)
    lag_s, start_k : array, shape (row,)

    Returns
    -------
    shown_k : array, shape (row, time)

    Notes
    -----
    Exact on each piece: with slope s, :math:`y = x - sL + (y_0 - x_0 + sL) e^{-t/L}`.
    """
    shown = np.empty_like(source_k)
    shown[:, 0] = start_k
    for k, step_s in enumerate(np.diff(time_s)):
        before, after = source_k[:, k], source_k[:, k + 1]
        behind = (after - before) / step_s * lag_s
        fades = np.exp(-step_s / lag_s)
        shown[:, k + 1] = after - behind + (shown[:, k] - before + behind) * fades
    return shown


def indication_k(
    time_s: FloatArray,
    sources_k: tuple[FloatArray, FloatArray, FloatArray],
    end_fraction: FloatArray,
    tube_fraction: FloatArray,
    lags_s: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """Give the indication of every row, before the display's step, shape (row, time).

    Parameters
    ----------
    sources_k : tuple of three arrays, shape (row, time)
        End stator, torque tube and piston housing.
    end_fraction, tube_fraction : array, shape (row,)
        Shares of the probe's coupling; the housing has the rest.
    lags_s : tuple of two arrays, shape (row,)
        Of the probe and of the display.
    """
    end, tube = end_fraction[:, None], tube_fraction[:, None]
    seen = end * sources_k[0] + tube * sources_k[1]
    seen += (1.0 - end - tube) * sources_k[2]
    # Both start where the unbraked parts are.
    start = sources_k[1][:, 0]
    return lagged(time_s, lagged(time_s, seen, lags_s[0], start), lags_s[1], start)
