"""Ways to cool that every rule of one turnaround alone lets happen.

A fan job keeps the service hours, in-block and, unless the fan is remote, the approach
rule; its removal is over at brake-ready. What has not begun does not begin in the past.
"""

from scheduler.choices.record import Cooling
from scheduler.day import Day, FanType, Pinned, Turnaround
from scheduler.options import Option, OptionTable


def usable_options(
    day: Day, turnaround: Turnaround, table: OptionTable
) -> tuple[Option, ...]:
    """List the options that the rules let happen."""
    return tuple(
        option
        for option in table.options
        if option.ready_minute is not None
        and _can_be_asked(day, table, option)
        and (
            option.fan is None
            or _is_allowed(day, turnaround, table, day.fan(option.fan), option)
        )
    )


def _can_be_asked(day: Day, table: OptionTable, option: Option) -> bool:
    """Whether the rollout is asked for, or there is time left to ask."""
    deadline, now = table.rollout_deadline_minute, day.now_minute
    if option.rollout is None or table.turnaround_id in day.asked_rollouts:
        return True
    return deadline is None or now is None or now <= deadline


def _is_allowed(
    day: Day, turnaround: Turnaround, table: OptionTable, fan: FanType, option: Option
) -> bool:
    start, end, ready = option.start_minute, option.end_minute, option.ready_minute
    if start is None or end is None or ready is None:
        return False
    person, away = start - fan.setup_minutes, end + fan.removal_minutes
    if not (away <= min(ready, fan.to_minute) and option.units <= fan.units):
        return False
    if _has_begun(day, turnaround, option):
        return True
    approach = person if fan.remote else table.approach_minute
    first = max(turnaround.in_block_minute, fan.from_minute, day.now_minute or 0)
    return approach is not None and person >= max(first, approach)


def _has_begun(day: Day, turnaround: Turnaround, option: Option) -> bool:
    """Whether this is a job that a pin holds and that began in the past."""
    now = day.now_minute
    return now is not None and any(
        pin.turnaround_id == turnaround.id
        and pin.kind is Pinned.FAN
        and (pin.fan, pin.units, pin.start_minute)
        == (option.fan, option.units, option.start_minute)
        and pin.start_minute is not None
        and pin.start_minute - day.fan(pin.fan or "").setup_minutes < now
        for pin in day.pins
    )


def cooling_of(day: Day, option: Option) -> Cooling:
    """Option with the minutes it binds."""
    ready = option.ready_minute or 0
    if option.fan is None or option.start_minute is None or option.end_minute is None:
        return Cooling(option=option, release_minute=ready)
    fan = day.fan(option.fan)
    away = option.end_minute + fan.removal_minutes
    moved = 0 if day.station.exact_moves else fan.move_minutes
    return Cooling(
        option=option,
        release_minute=ready,
        away_minute=away,
        busy_from_minute=option.start_minute - fan.setup_minutes,
        busy_to_minute=away + moved,
    )
