"""Motion of a braked aircraft: time, distance, brake power and the work of each force.

In: the forces of `Ground` and a speed to start from. Out: `Motion`, phase by phase.

- Phases that end at a time step through it; phases that end at a speed are quadratures
  over speed, since braking forces depend on speed alone. Where another law sets the
  forces (the brakes come in, the friction is used up, reverse thrust fades) the
  quadrature is cut.
- Work done over a step is mean force times distance, so the balance closes to rounding.
"""

from dataclasses import dataclass, replace

import numpy as np

from thermal.arrays import FloatArray, FloatLike
from thermal.ground_forces import BRAKE, BoolArray, Ground, IntArray

_TIMED_STEPS = 8
_PARTS, _PANELS, _HALVINGS = 4, 3, 20
_REGULAR = np.linspace(0.0, 1.0, _PARTS + 1)
# Parts of a span, a hair inside it: at its ends another law may begin.
_INSIDE = 3e-7
_NODES = np.clip(np.linspace(0.0, 1.0, 2 * _PANELS + 1), _INSIDE, 1.0 - _INSIDE)
_WEIGHTS = np.array([1.0, 4.0, 2.0, 4.0, 2.0, 4.0, 1.0]) / (6.0 * _PANELS)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Motion:
    """State of a roll so far: scalars (batch, 1), works (6, batch, 1), node traces."""

    speed_m_per_s: FloatArray
    time_s: FloatArray
    distance_m: FloatArray
    works_j: FloatArray
    beyond_friction: BoolArray
    times_s: tuple[FloatArray, ...] = ()
    powers_w: tuple[FloatArray, ...] = ()

    @classmethod
    def at(cls, speed_m_per_s: FloatArray) -> "Motion":
        """Start of a roll at a ground speed, shape (batch, 1)."""
        still = np.zeros_like(speed_m_per_s)
        return cls(
            speed_m_per_s=speed_m_per_s,
            time_s=still,
            distance_m=still,
            works_j=np.zeros((6, *still.shape)),
            beyond_friction=np.zeros(still.shape[:-1], dtype=bool),
        )


def timed_phase(
    ground: Ground,
    motion: Motion,
    until_s: FloatArray,
    end_speed_m_per_s: FloatArray,
    brakes: FloatLike,
    reverse: FloatLike,
    stow_m_per_s: FloatLike = 0.0,
) -> Motion:
    """Roll until a time, or until the end speed if that comes first (midpoint rule)."""
    step_s = np.maximum(until_s - motion.time_s, 0.0) / _TIMED_STEPS
    for _ in range(_TIMED_STEPS):
        motion = _timed_step(
            ground, motion, step_s, end_speed_m_per_s, brakes, reverse, stow_m_per_s
        )
    return motion


def _timed_step(
    ground: Ground,
    motion: Motion,
    step_s: FloatArray,
    end_speed_m_per_s: FloatArray,
    brakes: FloatLike,
    reverse: FloatLike,
    stow_m_per_s: FloatLike,
) -> Motion:
    """One midpoint step, cut where the end speed is reached."""
    speed, inertia = motion.speed_m_per_s, ground.inertia_kg
    on = np.asarray(reverse) * (speed > np.asarray(stow_m_per_s, dtype=np.float64))
    first, _ = ground.forces_n(speed, brakes, on)
    middle = speed - 0.5 * step_s * first.sum(axis=0) / inertia
    middle = np.maximum(middle, end_speed_m_per_s)
    forces, beyond = ground.forces_n(middle, brakes, on)
    slowing = forces.sum(axis=0) / inertia
    left_s = (speed - end_speed_m_per_s) / np.maximum(slowing, 1e-9)
    taken_s = np.minimum(step_s, np.where(slowing > 0, left_s, np.inf))
    after = speed - taken_s * slowing
    metres = taken_s * 0.5 * (speed + after)
    time_s, power_w = motion.time_s + taken_s, forces[BRAKE]
    return Motion(
        speed_m_per_s=after,
        time_s=time_s,
        distance_m=motion.distance_m + metres,
        works_j=motion.works_j + forces * metres,
        beyond_friction=motion.beyond_friction | (beyond & (taken_s > 0)[..., 0]),
        times_s=(*motion.times_s, motion.time_s, time_s),
        powers_w=(*motion.powers_w, power_w * speed, power_w * after),
    )


def braked_phase(
    ground: Ground,
    motion: Motion,
    end_speed_m_per_s: FloatArray,
    reverse: FloatLike,
) -> Motion:
    """Brake to an end speed: Simpson quadrature over speed, as forces depend on it.

    It is cut at the speeds at which another law sets the forces: where the brakes come
    in below drag and reverse, or reach the friction there is.
    """
    start = motion.speed_m_per_s
    end = np.minimum(end_speed_m_per_s, start)
    lattice = _Lattice.regular(ground, start, end, reverse)
    lattice = lattice.cut_at_bends(ground, reverse)
    spans = lattice.cuts[..., :-1] - lattice.cuts[..., 1:]
    forces = lattice.forces_n
    seconds_per_speed = ground.inertia_kg / forces.sum(axis=0)
    times = motion.time_s + _running(spans, seconds_per_speed)
    metres_per_speed = seconds_per_speed * lattice.speeds
    powers = (forces[BRAKE] * lattice.speeds).reshape(*spans.shape, -1)[..., ::2]
    return Motion(
        speed_m_per_s=end,
        time_s=times[..., -1:],
        distance_m=motion.distance_m + _total(spans, metres_per_speed),
        works_j=motion.works_j + _total(spans, forces * metres_per_speed),
        beyond_friction=motion.beyond_friction
        | (lattice.beyond & (start > end)[..., 0]),
        times_s=(*motion.times_s, times),
        powers_w=(*motion.powers_w, powers.reshape(times.shape)),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Lattice:
    """Speeds of a quadrature, the same number in each part, and the forces at them.

    ``cuts`` (batch, part + 1) falls from start to end; ``speeds`` and ``law`` have
    shape (batch, part x node), ``forces_n`` (6, batch, part x node).
    """

    cuts: FloatArray
    speeds: FloatArray
    forces_n: FloatArray
    beyond: BoolArray
    law: IntArray

    @classmethod
    def regular(
        cls, ground: Ground, start: FloatArray, end: FloatArray, reverse: FloatLike
    ) -> "_Lattice":
        """Parts of one length."""
        return cls.of(ground, start - (start - end) * _REGULAR, reverse)

    @classmethod
    def of(cls, ground: Ground, cuts: FloatArray, reverse: FloatLike) -> "_Lattice":
        """Parts between given cuts."""
        spans = cuts[..., :-1, None] - cuts[..., 1:, None]
        speeds = (cuts[..., :-1, None] - spans * _NODES).reshape(*cuts.shape[:-1], -1)
        forces, beyond, law = ground.braked(speeds, reverse)
        return cls(cuts=cuts, speeds=speeds, forces_n=forces, beyond=beyond, law=law)

    def cut_at_bends(self, ground: Ground, reverse: FloatLike) -> "_Lattice":
        """Cut where another law sets in, for the samples where one does."""

        def flat(values: FloatArray) -> FloatArray:
            return np.ascontiguousarray(values).reshape(-1, values.shape[-1])

        changes = np.diff(self.law, axis=-1).reshape(-1, self.law.shape[-1] - 1)
        row, cell = np.nonzero(changes)
        if not row.size:
            return self
        shape = self.cuts.shape[:-1]
        reversing = flat(np.broadcast_to(np.asarray(reverse), (*shape, 1)))
        cuts, speeds = flat(self.cuts), flat(self.speeds)
        bend = _bisected(
            ground.picked(row, shape),
            speeds[row, cell],
            speeds[row, cell + 1],
            reversing[row],
        )
        rows, sample = np.unique(row, return_inverse=True)
        bent = _with_bends(cuts[rows][:, [0, -1]], sample, bend)
        some = _Lattice.of(ground.picked(rows, shape), bent, reversing[rows])
        forces, beyond = (
            self.forces_n.reshape(6, *speeds.shape),
            self.beyond.reshape(-1),
        )
        cuts[rows], speeds[rows] = some.cuts, some.speeds
        forces[:, rows], beyond[rows] = some.forces_n, some.beyond
        return replace(
            self,
            cuts=cuts.reshape(self.cuts.shape),
            speeds=speeds.reshape(self.speeds.shape),
            forces_n=forces.reshape(self.forces_n.shape),
            beyond=beyond.reshape(self.beyond.shape),
        )


def _bisected(
    ground: Ground, high: FloatArray, low: FloatArray, reverse: FloatArray
) -> FloatArray:
    """Speed between two at which another law sets in, shape (row,)."""
    high, low = high[:, None], low[:, None]
    _forces, _beyond, law = ground.braked(high, reverse)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        same = ground.braked(middle, reverse)[2] == law
        high, low = np.where(same, middle, high), np.where(same, low, middle)
    return np.asarray(0.5 * (low + high)[:, 0])


def _with_bends(ends: FloatArray, sample: np.ndarray, bend: FloatArray) -> FloatArray:
    """Cuts at up to three bends of each sample, the longest parts halved otherwise."""
    cuts = np.repeat(ends[:, 1:], _PARTS + 1, axis=1)
    cuts[:, 0] = ends[:, 0]
    first = np.concatenate(([True], np.diff(sample) > 0))
    number = np.arange(sample.size) - np.maximum.accumulate(
        np.where(first, np.arange(sample.size), 0)
    )
    kept = number < _PARTS - 1
    cuts[sample[kept], 1 + number[kept]] = bend[kept]
    every, count = np.arange(ends.shape[0]), np.bincount(sample[kept])
    for place in range(1, _PARTS):
        free = every[count < place]
        longest = (cuts[free, :-1] - cuts[free, 1:]).argmax(axis=1)
        middle = 0.5 * (cuts[free, longest] + cuts[free, longest + 1])
        cuts[free, -1] = middle
        cuts[free] = -np.sort(-cuts[free], axis=1)
        cuts[free, -1] = ends[free, 1]
    return cuts


def _running(spans: FloatArray, values: FloatArray) -> FloatArray:
    """Integral up to every panel end of every part, shape (..., part x panel ends)."""
    by_part = values.reshape(*spans.shape, -1)
    panels = by_part[..., :-2:2] + 4.0 * by_part[..., 1:-1:2] + by_part[..., 2::2]
    inside = np.cumsum(panels, axis=-1) * (spans / (6.0 * _PANELS))[..., None]
    after = np.cumsum(inside[..., -1], axis=-1)
    before = np.concatenate((np.zeros_like(after[..., :1]), after[..., :-1]), axis=-1)
    found = np.concatenate((np.zeros_like(spans)[..., None], inside), axis=-1)
    found += before[..., None]
    return np.asarray(found.reshape(*spans.shape[:-1], -1))


def _total(spans: FloatArray, values: FloatArray) -> FloatArray:
    """Integral over all parts, shape (..., 1)."""
    weights = (spans[..., None] * _WEIGHTS).reshape(*spans.shape[:-1], -1)
    return np.asarray((values * weights).sum(axis=-1, keepdims=True))
