"""Rules that one row keeps or breaks alone.

- A departed aircraft stays as it left; no fan is given to it.
- A cancelled departure has no off-block and no delay.
- Off-block not before the target, not before brake-ready, not after the horizon.
- Brake-ready not before the operator's table; without a fan or another rollout it is
  the still-air one.
- Take-off and delay follow from off-block.
- Take-off not before the slot opens; no departure inside a curfew that is not soft.
"""

from collections.abc import Iterator

from scheduler.day import CurfewEvent, Day
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation

CTOT_EARLY_MINUTES = 5


def row_violations(day: Day, matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Every rule of this module on every row."""
    for match in matches:
        yield from _arithmetic(day, match)
        if match.is_cancelled:
            continue
        if match.is_departed:
            yield from _departed(day, match)
            continue
        yield from _table(day, match)
        yield from _still_air(day, match)
        if match.is_planned:
            yield from _window(day, match)
            yield from _slot_opens(day, match)
            yield from _curfew(day, match)


def _show(day: Day, minute: int | None) -> str:
    return "none" if minute is None else day.clock.short(minute)


def _departed(day: Day, match: Match) -> Iterator[Violation]:
    left, row = match.given.target_off_block_minute, match.row
    if row.off_block_minute != left:
        yield match.fault(
            Code.DEPARTED,
            "off-block",
            f"{day.clock.short(left)}, when it left",
            _show(day, row.off_block_minute),
        )
    if row.fan_jobs:
        yield match.fault(
            Code.DEPARTED, "fan jobs", "none once it has left", len(row.fan_jobs)
        )


def _arithmetic(day: Day, match: Match) -> Iterator[Violation]:
    row, off_block = match.row, match.row.off_block_minute
    take_off = delay = None
    if off_block is not None:
        take_off = off_block + day.taxi_out_minutes(match.given)
        delay = off_block - match.given.target_off_block_minute
    if row.take_off_minute != take_off:
        yield match.fault(
            Code.ARITHMETIC,
            "take-off",
            _show(day, take_off),
            _show(day, row.take_off_minute),
        )
    if row.delay_minutes != delay:
        yield match.fault(
            Code.ARITHMETIC, "delay", f"{delay} minutes", f"{row.delay_minutes}"
        )


def _window(day: Day, match: Match) -> Iterator[Violation]:
    off_block = match.off_block_minute or 0
    target, ready = match.given.target_off_block_minute, match.row.brake_ready_minute
    last = day.last_minute(match.given)
    got = day.clock.short(off_block)
    if not off_block >= target:
        expected = f"{day.clock.short(target)} or later"
        yield match.fault(Code.TARGET, "off-block", expected, got)
    if ready is None or not off_block >= ready:
        expected = (
            "no departure before the brakes are ready"
            if ready is None
            else f"{day.clock.short(ready)} or later"
        )
        yield match.fault(Code.BRAKE_READY, "off-block", expected, got)
    if not off_block <= last:
        expected = f"{day.clock.short(last)} or earlier"
        yield match.fault(Code.HORIZON, "off-block", expected, got)


def _table(day: Day, match: Match) -> Iterator[Violation]:
    minutes, row = match.given.departure.table_minutes, match.row
    if minutes is None:
        return
    earliest = match.given.in_block_minute + minutes
    readies = (row.brake_ready_minute, row.brake_ready_still_air_minute)
    ready = min((one for one in readies if one is not None), default=earliest)
    if not ready >= earliest:
        yield match.fault(
            Code.TABLE,
            "brake-ready",
            f"{day.clock.short(earliest)} or later",
            day.clock.short(ready),
        )


def _still_air(day: Day, match: Match) -> Iterator[Violation]:
    row = match.row
    is_helped = row.fan_jobs or row.rollout is not None
    if is_helped or row.brake_ready_minute == row.brake_ready_still_air_minute:
        return
    yield match.fault(
        Code.STILL_AIR,
        "brake-ready",
        f"{_show(day, row.brake_ready_still_air_minute)}, as in still air",
        _show(day, row.brake_ready_minute),
    )


def _slot_opens(day: Day, match: Match) -> Iterator[Violation]:
    ctot, take_off = match.given.departure.ctot_minute, match.take_off_minute
    if ctot is None or take_off is None:
        return
    if not take_off >= ctot - CTOT_EARLY_MINUTES:
        yield match.fault(
            Code.CTOT_EARLY,
            "take-off",
            f"{day.clock.short(ctot - CTOT_EARLY_MINUTES)} or later",
            day.clock.short(take_off),
        )


def _curfew(day: Day, match: Match) -> Iterator[Violation]:
    for curfew in [one for one in day.station.curfews if not one.soft]:
        at_off_block = curfew.event is CurfewEvent.OFF_BLOCK
        minute = match.off_block_minute if at_off_block else match.take_off_minute
        if minute in range(curfew.from_minute, curfew.to_minute):
            start, end = map(day.clock.short, (curfew.from_minute, curfew.to_minute))
            yield match.fault(
                Code.CURFEW,
                "off-block" if at_off_block else "take-off",
                f"before {start} or from {end} on",
                _show(day, minute),
            )
