"""What truly happens to one aircraft on many sampled days, every brake followed.

Truths are plain random draws of a seed of their own, not the points of a plan. Curves
are integrated to the tolerance of a curve and not to that of a table, no brake is left
out, and the first minute is looked for by steps and halving alone.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from unittest.mock import patch

import numpy as np

from scheduler.cases import Case, network_of
from scheduler.readiness.carried import touchdown_k
from thermal.arrays import FloatArray
from thermal.cooling import cool
from thermal.departure import StandCurve, indication_valid_minute
from thermal.draws import Draws
from thermal.margins import departure_margins_k
from thermal.network import Network
from thermal.turnaround import Rows, arrival, arrival_s, fan_job, parked
from thermal.units import MINUTE_S

STEP_MINUTES = 16
AFTER_FAN_MINUTES = 180
LIMITS = ("stopping", "plug", "wheel well", "other", "indicated")
_FINE_UNTIL, _COARSE_STEP = 60, 5
_PLAIN = 0x5EED


def plain_draws(
    count: int,
    seed: Sequence[int],
    common_names: tuple[str, ...],
    per_brake_names: tuple[str, ...],
    brake_count: int,
) -> Draws:
    """Draw independent points, as many as are asked for."""
    generator = np.random.default_rng((_PLAIN, *seed))
    return Draws(
        seed=int(seed[0]),
        common_names=common_names,
        per_brake_names=per_brake_names,
        common=generator.random((count, len(common_names))),
        per_brake=generator.random((count, len(per_brake_names), brake_count)),
    )


@contextmanager
def plainly_drawn() -> Iterator[None]:
    """Let all cases be drawn plainly for a while."""
    with patch("scheduler.cases.inputs.draw", plain_draws):
        yield


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Air:
    """Air of a fan, minutes after in-block of each sample; ``reached`` by brake."""

    start: FloatArray
    end: FloatArray
    removal_minutes: int
    m_per_s: float
    reached: np.ndarray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Aircraft:
    """One aircraft at its stand: all brakes of all samples."""

    network: Network
    rows: Rows
    shape: tuple[int, int]
    still: StandCurve
    blown: StandCurve | None
    air: Air | None

    @classmethod
    def of(cls, case: Case, hold_minutes: int, air: Air | None = None) -> "Aircraft":
        """Follow it from touchdown on, and behind its fan from the air's start."""
        network, rows = network_of(case.aircraft.brake), case.rows
        still = _still(network, case, hold_minutes)
        blown = None if air is None else _blown(network, case, still, air)
        return cls(
            network=network,
            rows=rows,
            shape=case.shape,
            still=still,
            blown=blown,
            air=air,
        )

    def margins_k(self, samples: np.ndarray, minute: FloatArray) -> FloatArray:
        """Least margin of any brake by `LIMITS`, each sample at its own minute."""
        brakes = self.shape[1]
        which = (samples[:, None] * brakes + np.arange(brakes)).reshape(-1)
        at = np.repeat(minute, brakes)
        state_k = self._states(which, at)
        rows = self.rows.select(which)
        margins = departure_margins_k(self.network, rows, state_k, at)
        limit_k = self.network.brake.limits.indicated_k
        shown = limit_k - state_k[:, [self.network.index("indicator")]]
        every = np.concatenate([margins, shown], axis=1)
        return every.reshape(samples.size, brakes, -1).min(axis=1)

    def _states(self, which: np.ndarray, minute: FloatArray) -> FloatArray:
        last = self.still.minute[-1]
        state_k = self.still.at(which, np.minimum(minute, last))
        if self.blown is None or self.air is None:
            return state_k
        sample, brake = np.divmod(which, self.shape[1])
        since = minute - self.air.end[sample]
        behind = self.blown.at(which, np.minimum(since, float(AFTER_FAN_MINUTES)))
        use = self.air.reached[brake] & (since >= 0)
        return np.where(use[:, None], behind, state_k)

    @property
    def away_minute(self) -> FloatArray:
        """First minute without a fan at the aircraft, shape (sample,)."""
        if self.air is None:
            return np.zeros(self.shape[0])
        return np.ceil(self.air.end + self.air.removal_minutes)

    @property
    def shown_minute(self) -> FloatArray:
        """First minute at which the indication can be trusted, shape (sample,)."""
        brake = self.network.brake
        valid = indication_valid_minute(brake, self.rows).reshape(self.shape)
        least = np.ceil(valid.max(axis=1))
        if self.air is None:
            return least
        wait = brake.limits.fan_invalid_s / MINUTE_S
        return np.maximum(least, np.ceil(self.air.end + wait))

    def is_near_release(self, until: FloatArray) -> np.ndarray:
        """Whether a plug comes within its margin of release at the stand, (sample,)."""
        brakes = self.shape[1]
        brake, until = np.arange(self.rows.count) % brakes, np.repeat(until, brakes)
        if self.air is None or self.blown is None:
            peak_k = self._plug_peak_k(self.still, until)
        else:
            start, end = (
                np.repeat(it, brakes) for it in (self.air.start, self.air.end)
            )
            reached = self.air.reached[brake]
            alone = np.where(reached, np.minimum(until, start), until)
            behind_k = self._plug_peak_k(self.blown, until - end)
            peak_k = self._plug_peak_k(self.still, alone)
            peak_k = np.where(reached, np.maximum(peak_k, behind_k), peak_k)
        plug = self.network.brake.plug
        near = peak_k > plug.release_k - plug.margin_k
        return near.reshape(self.shape).any(axis=1)

    def _plug_peak_k(self, curve: StandCurve, until: FloatArray) -> FloatArray:
        plug_k = curve.state_k[:, :, self.network.index("plug")]
        return np.where(curve.minute <= until[:, None], plug_k, 0.0).max(axis=1)


def _grid(end: float) -> FloatArray:
    fine = np.arange(min(_FINE_UNTIL, end))
    coarse = np.arange(_FINE_UNTIL, end, _COARSE_STEP)
    return np.concatenate([fine, coarse, [end]]).astype(np.float64)


def _still(network: Network, case: Case, hold_minutes: int) -> StandCurve:
    rows, minutes = case.rows, _grid(float(hold_minutes))
    curve = cool(
        network,
        rows.variation,
        (*arrival(rows), *parked(rows, 0.0, hold_minutes * MINUTE_S)),
        touchdown_k(network, case, np.arange(rows.count)),
        minutes * MINUTE_S,
        start_s=-arrival_s(rows),
    )
    return StandCurve.of(curve)


def _blown(network: Network, case: Case, still: StandCurve, air: Air) -> StandCurve:
    """States by minutes after the air's end, every brake as if it were reached."""
    rows, brakes = case.rows, case.shape[1]
    start, end = (np.repeat(one, brakes) for one in (air.start, air.end))
    curve = cool(
        network,
        rows.variation,
        fan_job(rows, start, end, np.full(rows.count, air.m_per_s), AFTER_FAN_MINUTES),
        still.at(np.arange(rows.count), start),
        _grid(float(AFTER_FAN_MINUTES)) * MINUTE_S,
        start_s=-(end - start) * MINUTE_S,
    )
    return StandCurve.of(curve)


def true_minutes(
    aircraft: Aircraft, samples: np.ndarray, begin: float, last: float
) -> FloatArray:
    """First minute after in-block from which everything holds; infinite after ``last``.

    From ``begin`` up in steps while something fails, else down in steps to the first
    that fails, then halved to the minute. What holds only in between two steps and
    fails again before the later is not seen; limits that hold do so for longer.
    """
    least = aircraft.away_minute[samples]

    def holds(which: np.ndarray, minute: FloatArray) -> np.ndarray:
        return (aircraft.margins_k(samples[which], minute[which]) >= 0).all(axis=1)

    high = np.maximum(np.full(samples.size, begin), least)
    low = least - 1.0
    every = np.arange(samples.size)
    good = holds(every, high)
    up, down = every[~good], every[good]
    while up.size:
        low[up] = high[up]
        beyond = low[up] >= last
        high[up] = np.where(beyond, np.inf, np.minimum(low[up] + STEP_MINUTES, last))
        up = up[~beyond]
        if up.size:
            up = up[~holds(up, high)]
    down = down[high[down] > low[down] + 1]
    while down.size:
        look = high.copy()
        look[down] = np.maximum(high[down] - STEP_MINUTES, low[down] + 1)
        passes = holds(down, look)
        low[down[~passes]] = look[down[~passes]]
        down = down[passes]
        high[down] = look[down]
        down = down[high[down] > low[down] + 1]
    while (wide := np.flatnonzero(np.isfinite(high) & (high - low > 1))).size:
        look = high.copy()
        look[wide] = np.floor(0.5 * (low[wide] + high[wide]))
        passes = holds(wide, look)
        high[wide[passes]] = look[wide[passes]]
        low[wide[~passes]] = look[wide[~passes]]
    return high
