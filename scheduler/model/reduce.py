"""Smaller choices with the same best plan.

Enters and leaves: `Choices`. Two proofs are used:

- an option is not needed if another one of the same fan type (or still air) takes no
  more units, has its air inside the other's, binds the units no longer and releases
  the aircraft no later, where a release before the first off-block minute counts as
  that minute;
- where a plan is known in which every turnaround breaks the least it can break alone,
  minutes that break more are not needed.

Still air stays always, and so does the published fan job.
"""

from collections.abc import Container, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from scheduler.choices import Choices, Cooling
from scheduler.decisions import Decision
from scheduler.options import Option
from scheduler.plan import FanJob


def without_dominated(one: Choices, published: tuple[FanJob, ...] = ()) -> Choices:
    """Drop the options that another one replaces at no loss."""
    if not one.slots:
        return one
    coolings = one.coolings
    dominated = _dominated(coolings, one.slots[0])
    kept = tuple(
        way
        for way, out in zip(coolings, dominated, strict=True)
        if way.option.fan is None or not out or way.jobs == published
    )
    return replace(one, coolings=kept)


def at_least_weight(one: Choices) -> Choices:
    """Keep only the off-block minutes that break the least."""
    if not one.slots:
        return one
    least = one.least_weight
    slots = tuple(minute for minute in one.slots if one.weight(minute) == least)
    last = slots[-1] if slots else one.slots[0] - 1
    coolings = tuple(way for way in one.coolings if way.release_minute <= last)
    return replace(one, slots=slots, coolings=coolings if slots else ())


def only(one: Choices, slots: Container[int], options: Sequence[Option]) -> Choices:
    """Keep the given off-block minutes and options."""
    left = tuple(minute for minute in one.slots if minute in slots)
    ways = tuple(
        way for way in one.coolings if any(way.option is each for each in options)
    )
    return replace(one, slots=left, coolings=ways if left else ())


def fixed(one: Choices, decision: Decision) -> Choices:
    """Keep nothing but a decision."""
    minute = decision.off_block_minute
    return only(one, () if minute is None else (minute,), (decision.option,))


def _dominated(ways: Sequence[Cooling], first_minute: int) -> NDArray[np.bool_]:
    """Mark each option that another one replaces, shape (option,)."""
    still = [way.option.fan is None for way in ways]
    fan = [way.option.fan or "" for way in ways]
    same_or_none = np.equal.outer(fan, fan) | np.array(still)[:, None]
    columns = [_column(way, first_minute) for way in ways]
    table = np.array(columns)  # shape (option, 6)
    no_worse = (table[:, None, :] <= table[None, :, :]).all(axis=-1) & same_or_none
    strictly = (table[:, None, :] < table[None, :, :]).any(axis=-1)
    earlier = np.arange(len(ways))[:, None] < np.arange(len(ways))[None, :]
    replaces = no_worse & (strictly | earlier)
    np.fill_diagonal(replaces, val=False)
    return np.asarray(replaces.any(axis=0))


def _column(way: Cooling, first_minute: int) -> tuple[int, ...]:
    """Figures of an option, each the better the lower."""
    option = way.option
    release = max(way.release_minute, first_minute)
    if option.start_minute is None or option.end_minute is None:
        return 0, -_FAR, -_FAR, -_FAR, -_FAR, release
    return (
        option.units,
        -option.start_minute,
        -way.busy_from_minute,
        option.end_minute,
        way.busy_to_minute,
        release,
    )


_FAR = 10**6
