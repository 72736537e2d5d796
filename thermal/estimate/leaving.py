"""When draws let the aircraft go, by margins fitted at some off-block minutes.

Enters: network, draws, their inputs. Leaves: `Leaving`, from which the first minute of
thousands of draws follows without integrating each. Between the minutes fitted margins
are straight. For plans the minutes are found by departures, not by this.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.draws import draw
from thermal.estimate.design import TOLERANCE_K, history
from thermal.estimate.inputs import HEAT, NAMES, Base, rows_with, within_limits
from thermal.estimate.records import FanSpan
from thermal.estimate.response import Response
from thermal.margins import Margin, departure_margins_k
from thermal.network import Network
from thermal.rows import Rows
from thermal.turnaround import arrival_s, start_k
from thermal.units import MINUTE_S

MINUTES = np.concatenate(
    [
        [0.0, 4.0, 8.0, 12.0, 17.0, 23.0, 30.0, 38.0, 47.0, 57.0, 70.0, 85.0],
        [105.0, 130.0, 160.0, 200.0, 250.0, 310.0],
    ]
)
DEPARTURE = ("stop_j", "taxi_out_j", "well_warmer_k")
_COUNT = 512
_PADDED = 0.35
_FAR_K = 1e3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Leaving:
    """Margins at `MINUTES`, one output per minute and limit."""

    base: Base
    response: Response

    def ready_minute(self, rows: Rows, inputs: FloatArray) -> FloatArray:
        """First minute after in-block from which every limit holds, shape (row,).

        Infinite where one fails at the last minute.

        Parameters
        ----------
        rows : Rows
            For what the departure takes.
        inputs : array, shape (row, input)
        """
        columns = np.concatenate([inputs, _departure_inputs(rows)], axis=1)
        margin = self.response(columns).reshape(rows.count, MINUTES.size, len(Margin))
        ready = np.zeros(rows.count)
        for limit in range(len(Margin)):
            ready = np.maximum(ready, _holds_from(margin[:, :, limit]))
        return ready


def _holds_from(margin: FloatArray) -> FloatArray:
    """Minute from which straight lines between margins stay above zero."""
    below = margin < 0.0
    last = MINUTES.size - 1 - below[:, ::-1].argmax(axis=1)
    after = np.minimum(last + 1, MINUTES.size - 1)
    row = np.arange(margin.shape[0])
    low, high = margin[row, last], margin[row, after]
    part = -low / np.where(high > low, high - low, 1.0)
    found = MINUTES[last] + part * (MINUTES[after] - MINUTES[last])
    found = np.where(last == MINUTES.size - 1, np.inf, found)
    return np.where(below.any(axis=1), found, 0.0)


def _departure_inputs(rows: Rows) -> FloatArray:
    return np.stack([getattr(rows, name) for name in DEPARTURE], axis=1)


def leaving(
    network: Network,
    base: Base,
    rows: Rows,
    inputs: FloatArray,
    most_heat: float,
    fans: tuple[FanSpan, ...] = (),
    count: int = _COUNT,
) -> Leaving:
    """Fit the margins of departures around the draws.

    Parameters
    ----------
    rows : Rows
        The draws, for the range of what departures take.
    inputs : array, shape (row, input)
        Of the draws.
    most_heat : float
        Heat factor up to which to fit.
    """
    columns = np.concatenate([inputs, _departure_inputs(rows)], axis=1)
    low, high = columns.min(axis=0), columns.max(axis=0)
    free = ~np.isin((*NAMES, *DEPARTURE), ("stack_fraction", "wind_m_per_s"))
    pad = np.where(free, _PADDED * (high - low), 0.0)
    low, high = low - pad, high + pad
    low[HEAT], high[HEAT] = 0.3 * float(inputs[:, HEAT].min()), most_heat
    drawn = draw(count, (20, 2), (*NAMES, *DEPARTURE), (), 1).common
    places = low + (high - low) * drawn
    thermal = within_limits(places[:, : len(NAMES)])
    some = rows_with(base.row.select(np.zeros(count, dtype=np.intp)), base, thermal)
    own = dict(zip(DEPARTURE, places[:, len(NAMES) :].T, strict=True))
    some = replace(
        some,
        stack_fraction=thermal[:, NAMES.index("stack_fraction")],
        wind_m_per_s=thermal[:, NAMES.index("wind_m_per_s")],
        **own,
    )
    until = float(MINUTES[-1]) * MINUTE_S
    curve = cool(
        network,
        some.variation,
        history(some, fans, until),
        start_k(network, some),
        MINUTES * MINUTE_S,
        start_s=-arrival_s(some),
        tolerance_k=TOLERANCE_K,
    )
    every = np.repeat(np.arange(count), MINUTES.size)
    state_k = curve.temperature_k.reshape(every.size, -1)
    margin = departure_margins_k(
        network,
        some.select(every),
        state_k,
        np.tile(MINUTES, count),
        tolerance_k=TOLERANCE_K,
    )
    margin = np.minimum(margin, _FAR_K).reshape(count, -1)
    fitted = np.concatenate([thermal, places[:, len(NAMES) :]], axis=1)
    return Leaving(base=base, response=Response.fitted(fitted, margin))
