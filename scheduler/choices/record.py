"""Records of what one turnaround may choose."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scheduler.choices.weights import (
    CTOT_LATE_MINUTES,
    REQUEST_EFFORT,
    weight_of,
)
from scheduler.day import Curfew, Duty, Pin, Pinned, Turnaround
from scheduler.options import Option
from scheduler.plan import FanJob, PlannedDuty, Relaxation


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

    Off-block is possible from ``release_minute`` on. People or machines are at the
    aircraft until ``away_minute``. Fan units are taken from ``busy_from_minute`` to
    ``busy_to_minute`` (end excluded): set-up, air, removal and the move to the next
    aircraft. Still air takes none.
    """

    option: Option
    release_minute: int
    away_minute: int = 0
    busy_from_minute: int = 0
    busy_to_minute: int = 0

    @property
    def effort(self) -> int:
        """Unit-minutes of air, one for the job, and the request of a rollout."""
        asked = REQUEST_EFFORT if self.option.rollout is not None else 0
        return self.option.fan_minutes + (self.option.fan is not None) + asked

    @property
    def jobs(self) -> tuple[FanJob, ...]:
        """The fan job, if there is one."""
        return fan_jobs(self.option)


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyWays:
    """Work on a turnaround with the starts it may have, earliest first.

    ``starts`` pairs a crew's name with a minute; the crew is None where the station
    names none for the task. Work ``by_option`` is done only with options that need the
    plug check.
    """

    duty: Duty
    starts: tuple[tuple[str | None, int], ...]
    by_option: bool = False

    def end(self, start_minute: int) -> int:
        """Minute at which the work is done."""
        return start_minute + self.duty.minutes

    @property
    def first_end(self) -> int:
        """Earliest minute at which the work can be done."""
        return self.end(min(minute for _, minute in self.starts))

    def planned(self, crew: str | None, minute: int) -> PlannedDuty:
        """Work done by a crew from a minute on."""
        return PlannedDuty(
            task=self.duty.task,
            crew=crew,
            start_minute=minute,
            end_minute=self.end(minute),
            reason=self.duty.reason,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What one turnaround may choose.

    ``slots`` are the off-block minutes, rising; ``coolings`` the usable options, still
    air first where it has a ready minute. Both are empty where the aircraft can only
    be held, and where it has gone or is cancelled (``fixed``). ``stand_minute`` is the
    last off-block that frees the stand in time, None where nobody follows;
    ``tow_minute`` when a tow away from it has to begin, None where it cannot be towed.
    ``rotation_minute`` is the last off-block that brings the tail back in time.
    """

    turnaround: Turnaround
    still_air: Option
    runway: str
    wake: str | None
    taxi_out_minutes: int
    gone: bool
    stand_minute: int | None
    held_as: Relaxation
    slots: tuple[int, ...]
    coolings: tuple[Cooling, ...]
    tow_minute: int | None = None
    rotation_minute: int | None = None
    duties: tuple[DutyWays, ...] = ()
    pins: tuple[Pin, ...] = ()
    soft_curfews: tuple[Curfew, ...] = ()

    @property
    def fixed(self) -> bool:
        """Whether there is nothing to decide: gone, or not to depart at all."""
        return self.gone or self.turnaround.cancelled

    def relaxed(
        self,
        off_block_minute: int | None,
        option: Option | None = None,
        *,
        towed: bool = False,
    ) -> tuple[Relaxation, ...]:
        """Rules that an off-block at this minute breaks; None is held.

        Pins on fans are judged only where the option is given.
        """
        if self.turnaround.cancelled:
            return ()
        broken = list(self._by_minute(off_block_minute))
        if self.overstays(off_block_minute) and not towed:
            broken.append(Relaxation.STAND)
        chosen = option if off_block_minute is not None else None
        kept = self.keeps_minute(off_block_minute, chosen)
        if option is not None or off_block_minute is None:
            kept = kept and self.keeps_option(chosen)
        if not (kept or self.gone):
            broken.append(Relaxation.PIN)
        return tuple(broken)

    def _by_minute(self, minute: int | None) -> Iterator[Relaxation]:
        departure = self.turnaround.departure
        if minute is None:
            yield self.held_as
        elif not self.gone:
            ctot, limit = departure.ctot_minute, departure.crew_limit_minute
            take_off = minute + self.taxi_out_minutes
            if any(curfew.forbids(minute, take_off) for curfew in self.soft_curfews):
                yield Relaxation.CURFEW_BROKEN
            if ctot is not None and take_off > ctot + CTOT_LATE_MINUTES:
                yield Relaxation.CTOT
            if limit is not None and take_off > limit:
                yield Relaxation.CREW
        back = self.rotation_minute
        if back is not None and (minute is None or minute > back):
            yield Relaxation.ROTATION

    def overstays(self, minute: int | None) -> bool:
        """Whether the aircraft is still on its stand when the next one comes."""
        stand = self.stand_minute
        return stand is not None and (minute is None or minute > stand)

    def keeps_minute(self, minute: int | None, option: Option | None = None) -> bool:
        """Whether an off-block keeps the pins on it.

        A pin that yields is kept, too, with an option that is ready after its minute.
        """
        return all(
            pin_keeps(pin, minute) or gives_way(pin, option) for pin in self.pins
        )

    def keeps_option(self, option: Option | None) -> bool:
        """Whether a way to cool keeps the pins on fans; None is no fan."""
        return all(_keeps(pin, option) for pin in self.pins)

    @property
    def first_broken_minute(self) -> float:
        """First off-block that can break a rule; minus infinity where any can."""
        if self.pins or self.soft_curfews:
            return -math.inf
        departure, taxi = self.turnaround.departure, self.taxi_out_minutes
        ctot, limit = departure.ctot_minute, departure.crew_limit_minute
        last = (
            None if ctot is None else ctot + CTOT_LATE_MINUTES - taxi,
            None if limit is None else limit - taxi,
            self.stand_minute,
            self.rotation_minute,
        )
        return min(
            (minute + 1 for minute in last if minute is not None), default=math.inf
        )

    def weight(self, off_block_minute: int | None) -> int:
        """Weight of the rules that this off-block breaks at the least."""
        can_tow = self.tow_minute is not None and not self.gone
        relaxed = self.relaxed(off_block_minute, towed=can_tow)
        if off_block_minute is None or self.gone or not self.pins:
            return weight_of(relaxed)
        others = weight_of(rule for rule in relaxed if rule is not Relaxation.PIN)
        can_keep = any(
            self.keeps_minute(off_block_minute, way.option)
            and self.keeps_option(way.option)
            for way in self.coolings
        )
        return others if can_keep else others + weight_of([Relaxation.PIN])

    @property
    def least_weight(self) -> int:
        """Weight that no plan can go below."""
        if self.fixed:
            return self.weight(self._only_minute)
        if self.slots and self.slots[0] < self.first_broken_minute:
            return 0
        held = self.weight(None)
        return min([held, *(self.weight(minute) for minute in self.slots)])

    @property
    def _only_minute(self) -> int | None:
        return self.turnaround.target_off_block_minute if self.gone else None

    def bad_for_tow(self) -> Sequence[Cooling]:
        """Options that keep people or fans at the aircraft when a tow must begin."""
        tow = self.tow_minute
        return [way for way in self.coolings if tow is None or way.away_minute > tow]


def pin_keeps(pin: Pin, minute: int | None) -> bool:
    """Whether an off-block keeps one pin on minutes."""
    if pin.kind is Pinned.OFF_BLOCK:
        return minute == pin.minute
    if pin.kind is Pinned.NOT_BEFORE:
        return minute is None or minute >= (pin.minute or 0)
    return True


def gives_way(pin: Pin, option: Option | None) -> bool:
    """Whether a pin yields to an option that is ready after its minute."""
    if not pin.yields or option is None or pin.minute is None:
        return False
    return option.ready_minute is None or option.ready_minute > pin.minute


def _keeps(pin: Pin, option: Option | None) -> bool:
    if pin.kind is Pinned.NO_FAN:
        return option is None or option.fan is None
    if pin.kind is not Pinned.FAN:
        return True
    return (
        option is not None
        and option.fan == pin.fan
        and option.units == pin.units
        and option.start_minute == pin.start_minute
        and pin.end_minute in (None, option.end_minute)
    )
