"""Rows integrated once, spread over all inputs, and the responses fitted to them.

Enters: the draws of one aircraft, its network, when fans blew, when was read. Leaves:
`Fitted`: indication at each reading, stack and plug over time, for any inputs. All
brakes of an aircraft differ in inputs only, so that one set of rows serves them all.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.draws import draw
from thermal.estimate.inputs import HEAT, NAMES, Base, rows_with, within_limits
from thermal.estimate.lag import indication_k
from thermal.estimate.records import FanSpan
from thermal.estimate.response import Response
from thermal.materials import property_table
from thermal.network import Network
from thermal.rows import Rows
from thermal.timeline import Phase
from thermal.turnaround import arrival, arrival_s, fan_job, parked, start_k
from thermal.units import MINUTE_S

DESIGN_COUNT = 256
TOLERANCE_K = 1.5
INDICATOR = ("lag", "display", "end_fraction", "tube_fraction")
LAG_RANGE = (0.4, 2.2)
SHARE_REACH = 0.2
HORIZON_MINUTES = 180.0
_CURVE_MINUTES = np.concatenate(
    [
        np.arange(0.0, 10.0, 2.0),
        [10.0, 13.0, 16.0],
        np.arange(20.0, 60.0, 5.0),
        np.arange(60.0, 90.0, 10.0),
        [90.0, 105.0, 120.0, 150.0, HORIZON_MINUTES],
    ]
)
_PADDED = 0.35
_HOTTEST_MEAN_K = 2000.0
_MOST_HEAT = 4.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fitted:
    """Responses of one aircraft's brakes.

    Attributes
    ----------
    names : tuple of str
        Inputs in order: those of the rows, then those of the indicator.
    shown : Response
        Indication above the air, one output per instant of ``read_s``.
    curves : Response
        Mean stack, then plug, above the air, at ``minute`` each.
    """

    base: Base
    names: tuple[str, ...]
    read_s: FloatArray
    minute: FloatArray
    shown: Response
    curves: Response

    def stack_and_plug_k(self, inputs: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Curves of rows with inputs of shape (row, input), each (row, time)."""
        ambient = self.base.ambient_k + inputs[:, [NAMES.index("ambient")]]
        found = self.curves(inputs[:, : len(NAMES)]) + ambient
        return found[:, : self.minute.size], found[:, self.minute.size :]


def history(rows: Rows, fans: tuple[FanSpan, ...], until_s: float) -> tuple[Phase, ...]:
    """Phases from touchdown on, with the fans that blew."""
    phases, at = list(arrival(rows)), 0.0
    for fan in sorted(fans, key=lambda one: one.start_minute):
        begin, end = (m * MINUTE_S for m in (fan.start_minute, fan.end_minute))
        begin, end = max(begin, at), min(end, until_s)
        if end <= begin:
            continue
        if begin > at:
            phases.extend(parked(rows, at, begin))
        one = np.ones(rows.count)
        phases.extend(
            fan_job(
                rows,
                begin / MINUTE_S * one,
                end / MINUTE_S * one,
                fan.air_m_per_s * one,
                0.0,
            )
        )
        at = end
    return (*phases, *parked(rows, at, until_s))


def fitted(
    network: Network,
    base: Base,
    inputs: FloatArray,
    read_s: FloatArray,
    fans: tuple[FanSpan, ...],
    count: int = DESIGN_COUNT,
) -> Fitted:
    """Integrate a design around the draws and fit it.

    Parameters
    ----------
    inputs : array, shape (row, input)
        Of the draws; the design reaches a third further, in heat from nothing to a
        multiple.
    read_s : array, shape (time,)
        Distinct instants of readings, rising.
    """
    places = _places(network, base, inputs, count)
    thermal = within_limits(places[:, : len(NAMES)])
    some = base.row.select(np.zeros(count, dtype=np.intp))
    some = _replaced(some, base, thermal)
    begin = float(arrival_s(some).max())
    until = HORIZON_MINUTES * MINUTE_S
    until = max(until, float(read_s.max(initial=0.0)) + MINUTE_S)
    minute = _CURVE_MINUTES
    at_s = _instants(-begin, until, read_s, minute * MINUTE_S)
    nodes = (f"stator {network.disc_count // 2 + 1}", "torque tube", "piston housing")
    curve = cool(
        network,
        some.variation,
        history(some, fans, until),
        start_k(network, some),
        at_s,
        start_s=-arrival_s(some),
        nodes=(*nodes, "plug"),
        tolerance_k=TOLERANCE_K,
    )
    probe = network.brake.probe
    extra = dict(zip(INDICATOR, places[:, len(NAMES) :].T, strict=True))
    last = int(np.searchsorted(at_s, read_s.max(initial=0.0))) + 1
    end, tube, housing = (curve.node_k(node)[:, :last] for node in nodes)
    shown = indication_k(
        at_s[:last],
        (end, tube, housing),
        extra["end_fraction"],
        extra["tube_fraction"],
        (extra["lag"] * probe.lag_s, extra["display"] * probe.display_lag_s),
    )
    air = some.ambient_k[:, :1]
    kept = np.searchsorted(at_s, minute * MINUTE_S)
    hot = np.concatenate([curve.stack_k[:, kept], curve.plug_k[:, kept]], axis=1)
    at_reading = np.searchsorted(at_s, read_s)
    return Fitted(
        base=base,
        names=(*NAMES, *INDICATOR),
        read_s=read_s,
        minute=minute,
        shown=Response.fitted(
            np.concatenate([thermal, places[:, len(NAMES) :]], axis=1),
            shown[:, at_reading] - air,
        ),
        curves=Response.fitted(thermal, hot - air),
    )


def _replaced(some: Rows, base: Base, thermal: FloatArray) -> Rows:
    """Rows of the design; wear and wind are inputs here too."""
    named = dict(zip(NAMES, thermal.T, strict=True))
    return replace(
        rows_with(some, base, thermal),
        stack_fraction=named["stack_fraction"],
        wind_m_per_s=named["wind_m_per_s"],
    )


def _places(network: Network, base: Base, inputs: FloatArray, count: int) -> FloatArray:
    """Spread the inputs of the design evenly, shape (row, input)."""
    low, high = inputs.min(axis=0), inputs.max(axis=0)
    pad = _PADDED * (high - low)
    fixed = np.isin(NAMES, ("stack_fraction", "wind_m_per_s"))
    low, high = low - np.where(fixed, 0.0, pad), high + np.where(fixed, 0.0, pad)
    low[HEAT], high[HEAT] = 0.0, _most_heat(network, base, inputs)
    probe = network.brake.probe
    low = np.concatenate(
        [
            low,
            [LAG_RANGE[0]] * 2,
            [
                max(probe.end_stator_fraction - SHARE_REACH, 0.02),
                max(probe.tube_fraction - SHARE_REACH, 0.02),
            ],
        ]
    )
    top = probe.end_stator_fraction + SHARE_REACH, probe.tube_fraction + SHARE_REACH
    high = np.concatenate([high, [LAG_RANGE[1]] * 2, top])
    names = (*NAMES, *INDICATOR)
    drawn = draw(count, (20, 1), names, (), 1).common
    return np.asarray(low + (high - low) * drawn)


def _most_heat(network: Network, base: Base, inputs: FloatArray) -> float:
    """Heat factor up to which the design reaches: within what the stack stands."""
    table = property_table(network.brake.stack_material)
    most_j = float(table.enthalpy(np.float64(_HOTTEST_MEAN_K)))
    thinnest = float(inputs[:, NAMES.index("stack_fraction")].min())
    bearable = most_j * network.brake.stack_mass_kg * thinnest / base.heat_j
    wanted = max(2.2 * float(inputs[:, HEAT].max()), 2.0)
    return min(wanted, bearable, _MOST_HEAT)


def _instants(
    begin: float, until: float, read_s: FloatArray, curve_s: FloatArray
) -> FloatArray:
    """Close together at first, since the indication is followed along them."""
    fine = np.arange(begin, min(begin + 2400.0, until), 20.0)
    coarse = np.arange(begin + 2400.0, until, 120.0)
    every = np.concatenate([fine, coarse, read_s, curve_s[curve_s <= until], [until]])
    return np.unique(every[(every >= begin) & (every <= until)])
