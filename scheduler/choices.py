"""Everything a turnaround may choose, one by one, and what each choice breaks.

Enters: the day and its option tables. Leaves: one `Choices` per turnaround, in the
day's order, in integer minutes. Rules that concern one turnaround alone are kept
here, by leaving out what they forbid:

- off-block not before the target, nor before the earliest ready minute, nor after the
  horizon of the turnaround;
- take-off not earlier than five minutes before the CTOT, never inside a curfew, never
  within the runway spacing of an aircraft that has gone;
- a fan job inside the service hours, after in-block and, unless the fan is remote,
  not before the approach minute.

What may be broken at a price stays and carries its relaxations.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from scheduler import windows
from scheduler.day import Day, FanType, Turnaround
from scheduler.errors import DayError
from scheduler.options import Option, OptionTable
from scheduler.plan import FanJob, Relaxation

CTOT_LATE_MINUTES = 10
WEIGHT_OF = {
    Relaxation.HELD: 4,
    Relaxation.CURFEW: 4,
    Relaxation.CTOT: 1,
    Relaxation.STAND: 1,
}


def fan_jobs(option: Option) -> tuple[FanJob, ...]:
    """Fan job of an option; nothing in still air."""
    if option.fan is None or option.start_minute is None or option.end_minute is None:
        return ()
    job = FanJob(
        fan_type=option.fan,
        units=option.units,
        start_minute=option.start_minute,
        end_minute=option.end_minute,
    )
    return (job,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """A usable option with the minutes it binds.

    Off-block is possible from ``release_minute`` on. Fan units are taken from
    ``busy_from_minute`` to ``busy_to_minute`` (end excluded): set-up, air, removal
    and the move to the next aircraft. Still air takes none.
    """

    option: Option
    release_minute: int
    busy_from_minute: int = 0
    busy_to_minute: int = 0

    @property
    def effort(self) -> int:
        """Unit-minutes of air, and one for the job."""
        return self.option.fan_minutes + (self.option.fan is not None)

    @property
    def jobs(self) -> tuple[FanJob, ...]:
        """The fan job, if there is one."""
        return fan_jobs(self.option)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What one turnaround may choose.

    ``slots`` are the off-block minutes, rising; ``coolings`` the usable options, still
    air first where it has a ready minute. Both are empty where the aircraft can only
    be held, and where it has gone (``gone``). ``stand_minute`` is the last off-block
    that frees the stand in time, None where nobody follows.
    """

    turnaround: Turnaround
    still_air: Option
    runway: str
    spacing_minutes: int
    taxi_out_minutes: int
    gone: bool
    stand_minute: int | None
    held_as: Relaxation
    slots: tuple[int, ...]
    coolings: tuple[Cooling, ...]

    def relaxed(self, off_block_minute: int | None) -> tuple[Relaxation, ...]:
        """Rules that an off-block at this minute breaks; None is held."""
        if off_block_minute is None:
            stand = self.stand_minute is not None
            return (self.held_as, Relaxation.STAND) if stand else (self.held_as,)
        broken = []
        ctot = self.turnaround.departure.ctot_minute
        take_off = off_block_minute + self.taxi_out_minutes
        if not self.gone and ctot is not None and take_off > ctot + CTOT_LATE_MINUTES:
            broken.append(Relaxation.CTOT)
        if self.stand_minute is not None and off_block_minute > self.stand_minute:
            broken.append(Relaxation.STAND)
        return tuple(broken)

    def weight(self, off_block_minute: int | None) -> int:
        """Weight of the rules broken."""
        return sum(WEIGHT_OF[rule] for rule in self.relaxed(off_block_minute))

    @property
    def least_weight(self) -> int:
        """Weight that no plan can go below; it does not fall with later minutes."""
        if self.gone:
            return self.weight(self.turnaround.target_off_block_minute)
        held = self.weight(None)
        return min(held, self.weight(self.slots[0])) if self.slots else held


def choices_of(day: Day, tables: Iterable[OptionTable]) -> tuple[Choices, ...]:
    """List what each turnaround of the day may choose.

    Parameters
    ----------
    day : Day
        The day.
    tables : iterable of OptionTable
        One per turnaround; one that has gone needs none.

    Returns
    -------
    choices : tuple of Choices
        In the order of ``day.turnarounds``.

    Raises
    ------
    DayError
        If a turnaround that is still to depart has no table.
    """
    table_of = {table.turnaround_id: table for table in tables}
    stand_minutes = windows.stand_minutes(day)
    taken = windows.gone_take_offs(day)
    return tuple(
        _choices(day, one, table_of.get(one.id), stand_minutes[one.id], taken)
        for one in day.turnarounds
    )


def usable_options(
    day: Day, turnaround: Turnaround, table: OptionTable
) -> tuple[Option, ...]:
    """List the options that every rule of the turnaround alone lets happen."""
    return tuple(
        option
        for option in table.options
        if option.ready_minute is not None
        and (
            option.fan is None
            or _is_allowed(turnaround, table, day.fan(option.fan), option)
        )
    )


def _is_allowed(
    turnaround: Turnaround, table: OptionTable, fan: FanType, option: Option
) -> bool:
    """Whether a fan job keeps in-block, approach, service and removal rules."""
    start, end, ready = option.start_minute, option.end_minute, option.ready_minute
    if start is None or end is None or ready is None:
        return False
    person, away = start - fan.setup_minutes, end + fan.removal_minutes
    approach = person if fan.remote else table.approach_minute
    return (
        approach is not None
        and person >= max(turnaround.in_block_minute, approach, fan.from_minute)
        and away <= min(ready, fan.to_minute)
        and option.units <= fan.units
    )


def _choices(
    day: Day,
    turnaround: Turnaround,
    table: OptionTable | None,
    stand_minute: int | None,
    taken: dict[str, list[int]],
) -> Choices:
    gone = windows.is_gone(turnaround)
    if table is None and not gone:
        raise DayError.of("option tables", f"one for {turnaround.id}", "none")
    coolings: tuple[Cooling, ...] = ()
    if table is not None and not gone:
        options = usable_options(day, turnaround, table)
        coolings = tuple(_cooling(day, option) for option in options)
    runway = day.runway_of(turnaround)
    releases = [way.release_minute for way in coolings]
    minutes = windows.open_minutes(day, turnaround, releases)
    allowed = windows.outside_curfews(day, turnaround, minutes)
    slots = windows.clear_of_gone(day, turnaround, allowed, taken.get(runway.name, []))
    return Choices(
        turnaround=turnaround,
        still_air=_NO_HEAT if table is None else table.still_air,
        runway=runway.name,
        spacing_minutes=runway.spacing_minutes,
        taxi_out_minutes=day.taxi_out_minutes(turnaround),
        gone=gone,
        stand_minute=stand_minute,
        held_as=windows.held_as(minutes, allowed, releases),
        slots=slots,
        coolings=coolings if slots else (),
    )


_NO_HEAT = Option(ready_minute=None, binding=None)


def _cooling(day: Day, option: Option) -> Cooling:
    ready = option.ready_minute or 0
    if option.fan is None or option.start_minute is None or option.end_minute is None:
        return Cooling(option=option, release_minute=ready)
    fan = day.fan(option.fan)
    away = option.end_minute + fan.removal_minutes
    return Cooling(
        option=option,
        release_minute=ready,
        busy_from_minute=option.start_minute - fan.setup_minutes,
        busy_to_minute=away + fan.move_minutes,
    )
