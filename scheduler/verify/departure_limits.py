"""The departure limits on one witness, by the brake's own figures.

Enters: a `Witness` and its brake. Leaves: one `Broken` per limit that does not hold.

- stopping: mean enthalpy of the stack at line-up plus the accelerate-stop's share, and
  the hottest disc likewise
- plug: from off-block to two hours after retraction below release less margin
- wheel well: the hottest disc at retraction
- housing, bead and wheel over the same time, where the brake data limit them
- indicated: at off-block, within its limit and past the lag and a fan's disturbance
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from scheduler.plan import FanJob
from scheduler.verify.witness import Witness
from thermal.brake import Brake
from thermal.units import MINUTE_S, celsius

TOLERANCE_K = 2.0
_OTHER = (
    ("housing_k", ("piston housing",)),
    ("bead_k", ("tyre bead",)),
    ("wheel_k", ("wheel inboard", "wheel outboard")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """A limit that does not hold: which, what was expected, what was found."""

    limit: str
    expected: str
    got: str

    @classmethod
    def above(cls, limit: str, limit_k: float, found_k: float) -> "Broken":
        """Tell a temperature above its limit."""
        return cls(
            limit=limit,
            expected=f"at most {float(celsius(limit_k)):.0f} °C",
            got=f"{float(celsius(found_k)):.1f} °C",
        )


def broken_limits(
    brake: Brake, witness: Witness, jobs: tuple[FanJob, ...]
) -> tuple[Broken, ...]:
    """Every departure limit that a witness breaks by more than `TOLERANCE_K`.

    Two kelvin are allowed because brake-ready comes from straight lines between
    curves that are kept every five minutes and integrated to one kelvin a step; the
    two integrators differ by less than half a kelvin. A cooling stack passes two
    kelvin in about a minute, and brake-ready is rounded to the later minute.
    """
    found = (
        *_stopping(brake, witness),
        *_after_off_block(brake, witness),
    )
    above = tuple(
        Broken.above(limit, limit_k, found_k)
        for limit, limit_k, found_k in found
        if not found_k <= limit_k + TOLERANCE_K
    )
    return (*above, *_indication_valid(brake, witness, jobs))


def _stopping(brake: Brake, witness: Witness) -> Iterator[tuple[str, float, float]]:
    history, at, limits = witness.history, witness.line_up, brake.limits
    after = history.stack_j_per_kg[at] + witness.stop_j_per_kg
    yield (
        "stack after an accelerate-stop",
        float(history.stack_at_k(limits.stack_j_per_kg)),
        float(history.stack_at_k(after)),
    )
    hottest = history.enthalpy(history.hottest_k[at]) + witness.stop_j_per_kg
    yield (
        "hottest disc after an accelerate-stop",
        limits.disc_k,
        float(history.stack_at_k(hottest)),
    )


def _after_off_block(
    brake: Brake, witness: Witness
) -> Iterator[tuple[str, float, float]]:
    history, limits, plug = witness.history, brake.limits, brake.plug
    leaving = slice(witness.off_block, None)
    peak_k = float(history.node_k("plug")[leaving].max())
    yield "fuse plug", plug.release_k - plug.margin_k, peak_k
    well_k = float(history.hottest_k[witness.retraction])
    yield "hottest disc at retraction", limits.wheel_well_k, well_k
    for name, nodes in _OTHER:
        limit_k = getattr(limits, name)
        if limit_k is not None:
            hottest = [history.node_k(node)[leaving].max() for node in nodes]
            yield " and ".join(nodes), limit_k, float(np.max(hottest))
    shown_k = float(history.node_k("indicator")[witness.off_block])
    yield "indication at off-block", limits.indicated_k, shown_k


def _indication_valid(
    brake: Brake, witness: Witness, jobs: tuple[FanJob, ...]
) -> Iterator[Broken]:
    """Look whether the indicator had its time since the stop and since each fan."""
    limits, off_block = brake.limits, float(witness.off_block)
    lag = limits.indicated_valid_after_s / MINUTE_S - witness.taxi_in_minutes
    waits = [("in-block", off_block, lag)]
    if witness.onboard_fan_minutes > 0:
        after = off_block - witness.onboard_fan_minutes
        waits.append(("the onboard fan's end", after, limits.fan_invalid_s / MINUTE_S))
    waits += [
        (
            "the fan's end",
            off_block + witness.in_block_minute - job.end_minute,
            limits.fan_invalid_s / MINUTE_S,
        )
        for job in jobs
    ]
    for since, minutes, wait in waits:
        if not minutes >= wait:
            yield Broken(
                limit="indication at off-block",
                expected=f"valid, {wait:.1f} minutes after {since}",
                got=f"{minutes:.0f} minutes",
            )
