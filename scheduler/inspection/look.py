"""One turnaround that is looked at, and how its items are made."""

from dataclasses import dataclass

from scheduler.day import Basis, Day, RejectedTakeOff, Task, Turnaround
from scheduler.inspection.figures import Figures
from scheduler.inspection.item import BrakeHistory, Item, Reason, Thresholds
from thermal.brake import Brake
from thermal.catalogue import load_brake


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One turnaround that is looked at."""

    day: Day
    turnaround: Turnaround
    figures: Figures
    histories: tuple[BrakeHistory, ...]
    thresholds: Thresholds

    @property
    def brake(self) -> Brake:
        """Brake of its type."""
        return load_brake(self.day.aircraft_of(self.turnaround).brake)

    @property
    def events(self) -> tuple[RejectedTakeOff, ...]:
        """Take-offs that it rejected, in order."""
        mine = [one for one in self.day.rejected if one.turnaround_id == self.id]
        return tuple(sorted(mine, key=lambda one: one.minute))

    @property
    def id(self) -> str:
        """Id of the turnaround."""
        return self.turnaround.id

    @property
    def since_minute(self) -> int:
        """End of the last stop: what was found before it says nothing of it."""
        if self.events:
            return self.events[-1].minute
        return self.day.landing_minute(self.turnaround)

    @property
    def has_left(self) -> bool:
        """Whether its off-block is logged."""
        return self.turnaround.off_block_basis is Basis.ACTUAL

    @property
    def serving(self) -> tuple[int, ...]:
        """Places of the brakes that are not locked out."""
        out = self.day.tail_of(self.turnaround).inoperative
        names = self.figures.positions
        return tuple(place for place, name in enumerate(names) if name not in out)

    def item(
        self,
        position: str,
        reason: Reason,
        evidence: str,
        probability: float,
        *,
        before: bool,
    ) -> Item:
        """One item of this turnaround."""
        task = Task.PLUG_CHECK if reason.is_of_the_plug else Task.INSPECTION
        if reason is Reason.PLUG_RELEASED:
            task = Task.WHEEL_CHANGE
        station = self.day.station
        minutes = {
            Task.PLUG_CHECK: station.plug_check_minutes,
            Task.WHEEL_CHANGE: station.wheel_change_minutes,
            Task.INSPECTION: station.inspection_minutes,
        }
        since, has_left = self.since_minute, self.has_left
        if reason.is_of_the_plug:
            since = max(since, self.figures.plug_peak_minute)
        return Item(
            turnaround_id=self.id,
            tail=self.turnaround.tail,
            stand=self.turnaround.stand,
            position=position,
            reason=reason,
            evidence=evidence,
            probability=probability,
            is_before_departure=before and not has_left,
            task=task,
            minutes=minutes[task],
            approach_minute=self.figures.approach_minute,
            since_minute=since,
            is_expected=self.turnaround.in_block_basis is not Basis.ACTUAL,
            has_left=has_left,
        )
