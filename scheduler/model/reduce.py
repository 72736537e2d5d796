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
        if not out
        or (way.option.fan is None and way.option.rollout is None)
        or way.jobs == published
        or (one.pins and one.keeps_option(way.option))
    )
    return replace(one, coolings=kept)


def at_least_weight(one: Choices) -> Choices:
    """Keep only the off-block minutes that break the least."""
    if not one.slots:
        return one
    least, first = one.least_weight, one.first_broken_minute
    slots = tuple(
        minute
        for minute in one.slots
        if (0 if minute < first else one.weight(minute)) == least
    )
    last = slots[-1] if slots else one.slots[0] - 1
    coolings = tuple(way for way in one.coolings if way.release_minute <= last)
    return _with(one, slots, coolings)


def only(one: Choices, slots: Container[int], options: Sequence[Option]) -> Choices:
    """Keep the given off-block minutes and options."""
    left = tuple(minute for minute in one.slots if minute in slots)
    ways = tuple(
        way for way in one.coolings if any(way.option is each for each in options)
    )
    return _with(one, left, ways)


def _with(
    one: Choices, slots: tuple[int, ...], coolings: tuple[Cooling, ...]
) -> Choices:
    """Fewer minutes and options, and the work that they leave room for."""
    if not slots:
        return replace(one, slots=(), coolings=(), duties=())
    duties = tuple(
        replace(
            way,
            starts=tuple(at for at in way.starts if way.end(at[1]) <= slots[-1]),
        )
        for way in one.duties
    )
    return replace(one, slots=slots, coolings=coolings, duties=duties)


def fixed(one: Choices, decision: Decision) -> Choices:
    """Keep nothing but a decision."""
    minute = decision.off_block_minute
    chosen = only(one, () if minute is None else (minute,), (decision.option,))
    starts = [
        (duty.task, duty.crew, duty.start_minute, duty.end_minute)
        for duty in decision.duties
    ]
    return replace(
        chosen,
        duties=tuple(
            replace(
                way,
                starts=tuple(
                    (crew, at)
                    for crew, at in way.starts
                    if (way.duty.task, crew, at, way.end(at)) in starts
                ),
            )
            for way in chosen.duties
        ),
    )


def _dominated(ways: Sequence[Cooling], first_minute: int) -> NDArray[np.bool_]:
    """Mark each option that another one replaces, shape (option,)."""
    still = [way.option.fan is None for way in ways]
    fan = [way.option.fan or "" for way in ways]
    same_or_none = np.equal.outer(fan, fan) | np.array(still)[:, None]
    rollout = [way.option.rollout or "" for way in ways]
    planned = np.array([way.option.rollout is None for way in ways])
    same_or_none &= np.equal.outer(rollout, rollout) | planned[:, None]
    columns = [_column(way, first_minute) for way in ways]
    table = np.array(columns)  # shape (option, 7)
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
        return 0, -_FAR, -_FAR, -_FAR, -_FAR, release, int(option.needs_check)
    return (
        option.units,
        -option.start_minute,
        -way.busy_from_minute,
        option.end_minute,
        way.busy_to_minute,
        release,
        int(option.needs_check),
    )


_FAR = 10**6
