"""One turnaround while the log is gone through: what changes, its record at the end.

A `Turnaround` refuses times that contradict each other, so the times change here, one
entry at a time, and the record is built once.
"""

from dataclasses import dataclass, field, replace

from scheduler.day import (
    Basis,
    FanTime,
    Found,
    Pin,
    Pinned,
    RejectedTakeOff,
    Turnaround,
)


@dataclass(slots=True, kw_only=True)
class FanRun:
    """Fan units at one turnaround; ``is_cleared`` where off-block ended them."""

    fan: str
    units: int
    start_minute: int
    end_minute: int | None = None
    is_cleared: bool = False

    def is_on(self, minute: int) -> bool:
        """Whether the units blow at a minute."""
        return self.start_minute <= minute and (
            self.end_minute is None or minute < self.end_minute
        )


@dataclass(slots=True, kw_only=True)
class Stay:
    """Times and facts of one turnaround, as far as the log has been read.

    ``touchdown_minute`` is the logged landing; ``handling_minutes`` the planned time on
    the stand.
    """

    given: Turnaround
    stand: str
    in_block_minute: int
    in_block_basis: Basis
    target_minute: int
    off_block_basis: Basis
    taxi_in_minutes: int
    handling_minutes: int
    ctot_minute: int | None
    is_cancelled: bool
    touchdown_minute: int | None = None
    is_taxi_logged: bool = False
    airborne_minute: int | None = None
    fans: list[FanRun] = field(default_factory=list)
    pins: dict[Pinned, Pin] = field(default_factory=dict)
    wheels: dict[str, tuple[int, Found]] = field(default_factory=dict)
    rejected: list[RejectedTakeOff] = field(default_factory=list)
    target_is_assumed: bool = False

    @property
    def is_in_block(self) -> bool:
        """Whether in-block has happened."""
        return self.in_block_basis is Basis.ACTUAL

    @property
    def is_gone(self) -> bool:
        """Whether off-block has happened."""
        return self.off_block_basis is Basis.ACTUAL

    @property
    def landing_minute(self) -> int:
        """Touchdown: logged, else in-block of the arrival less taxi-in."""
        if self.touchdown_minute is not None:
            return self.touchdown_minute
        return self.in_block_minute - self.taxi_in_minutes

    @property
    def running(self) -> FanRun | None:
        """Fan that was switched on and not off."""
        on = [run for run in self.fans if run.end_minute is None]
        return on[-1] if on else None

    def arrive(self, minute: int, basis: Basis) -> None:
        """Set in-block; a target that it has passed moves on by the planned stay."""
        self.in_block_minute = minute
        self.in_block_basis = basis
        if self.target_minute <= minute and not self.is_gone:
            self.target_minute = minute + self.handling_minutes
            self.off_block_basis = Basis.ESTIMATED
            self.target_is_assumed = True

    def turnaround(self) -> Turnaround:
        """Record with all that was logged."""
        landing, departure = self.given.landing, self.given.departure
        if self.is_taxi_logged:
            landing = replace(landing, taxi_in_minutes=self.taxi_in_minutes)
        return replace(
            self.given,
            stand=self.stand,
            in_block_minute=self.in_block_minute,
            in_block_basis=self.in_block_basis,
            target_off_block_minute=self.target_minute,
            off_block_basis=self.off_block_basis,
            landing=landing,
            departure=replace(departure, ctot_minute=self.ctot_minute),
            cancelled=self.is_cancelled,
        )

    def fan_times(self) -> tuple[FanTime, ...]:
        """Fans that blew here, as the day holds them."""
        return tuple(
            FanTime(
                turnaround_id=self.given.id,
                fan=run.fan,
                units=run.units,
                start_minute=run.start_minute,
                end_minute=run.end_minute,
            )
            for run in self.fans
        )

    def pins_to_keep(self) -> tuple[Pin, ...]:
        """Pins of a flight that is still to go; a fan that has begun counts first."""
        if self.is_gone or self.is_cancelled:
            return ()
        begun = [run for run in self.fans if run.start_minute >= self.in_block_minute]
        if not begun:
            return tuple(self.pins.values())
        run = begun[-1]
        kept = [
            pin
            for kind, pin in self.pins.items()
            if kind not in {Pinned.FAN, Pinned.NO_FAN}
        ]
        started = Pin(
            turnaround_id=self.given.id,
            kind=Pinned.FAN,
            fan=run.fan,
            units=run.units,
            start_minute=run.start_minute,
            end_minute=run.end_minute,
            reason="has begun",
        )
        return (*kept, started)
