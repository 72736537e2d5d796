"""Fan jobs worth looking at, by start, length and units.

Enters: day, turnaround, when people may approach, brake-ready in still air. Leaves:
`Job` records in minutes after in-block.
"""

from dataclasses import dataclass
from itertools import product

import numpy as np

from scheduler.cases import stand_settings
from scheduler.cases.reach import reached_brakes
from scheduler.clock import later_minute
from scheduler.day import Day, FanType, Pinned, Turnaround

LENGTHS = (10, 20, 35)
START_STEP = 5
LATEST_START = 60
WORTH_MINUTES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A fan job of one case, minutes after in-block."""

    case: int
    fan: FanType
    start: int
    end: int
    units: int = 1


def candidate_jobs(
    day: Day,
    turnaround: Turnaround,
    case: int,
    approach_minute: float,
    still_ready_minute: float,
) -> list[Job]:
    """Jobs that cool every brake and could bring a turnaround forward.

    By start and length; none begins while the aircraft's own fan is still running.
    Jobs that are pinned, because they have begun or people want them, come first.
    """
    begun = begun_jobs(day, turnaround, case)
    if not is_worth_cooling(turnaround, still_ready_minute):
        return begun
    return begun + [
        Job(case=case, fan=fan, start=start, end=end, units=units)
        for fan in day.station.fans
        for units in fan.sets_for(len(day.tail_of(turnaround).positions))
        if reached_brakes(day, turnaround, fan, units).all()
        for start, end in job_windows(
            day, turnaround, fan, approach_minute, still_ready_minute
        )
    ]


def begun_jobs(day: Day, turnaround: Turnaround, case: int) -> list[Job]:
    """Jobs that a pin holds; one whose end is open gets several."""
    in_block, now = turnaround.in_block_minute, day.now_minute or 0
    jobs = []
    for pin in day.pins:
        if pin.turnaround_id != turnaround.id or pin.kind is not Pinned.FAN:
            continue
        if pin.fan is None or pin.start_minute is None:
            continue
        start = pin.start_minute - in_block
        ends = [pin.end_minute] if pin.end_minute is not None else []
        if pin.end_minute is None:
            lengths = {*LENGTHS, *range(10, 2 * max(LENGTHS) + 1, START_STEP)}
            ends = [pin.start_minute + length for length in sorted(lengths)]
            ends = [end for end in ends if end >= now]
        jobs += [
            Job(
                case=case,
                fan=day.fan(pin.fan),
                start=start,
                end=end - in_block,
                units=pin.units,
            )
            for end in ends
            if 0 <= start < end - in_block < day.station.hold_minutes
        ]
    return jobs


def is_worth_cooling(turnaround: Turnaround, still_ready_minute: float) -> bool:
    """Whether the brakes hold a turnaround up by so many minutes in still air."""
    target = turnaround.target_off_block_minute - turnaround.in_block_minute
    return still_ready_minute >= target + WORTH_MINUTES


def job_windows(
    day: Day,
    turnaround: Turnaround,
    fan: FanType,
    approach_minute: float,
    still_ready_minute: float,
) -> list[tuple[int, int]]:
    """List starts and ends of air by one fan type, minutes after in-block."""
    in_block = turnaround.in_block_minute
    approach = 0.0 if fan.remote else approach_minute
    first = max(approach, 0.0, fan.from_minute - in_block) + fan.setup_minutes
    first = max(first, stand_settings(day, turnaround).onboard_fan_minutes)
    last = fan.to_minute - in_block - fan.removal_minutes
    if not np.isfinite(first):
        return []
    begin = later_minute(first)
    starts = range(begin, begin + LATEST_START + 1, START_STEP)
    return [
        (start, start + length)
        for start, length in product(starts, LENGTHS)
        if start + length <= last
        and start + length + fan.removal_minutes < still_ready_minute
        and start + length < day.station.hold_minutes
    ]
