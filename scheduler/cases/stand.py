"""What the aircraft does at its stand: parking brake, and the fan it has on board.

Enters: the day and a turnaround. Leaves: settings for the rows of the heat, and what
had to be assumed for them.
"""

from dataclasses import dataclass

from scheduler.day import Day, Turnaround
from thermal.catalogue import load_brake
from thermal.units import MINUTE_S


@dataclass(frozen=True, slots=True, kw_only=True)
class StandSettings:
    """Parking brake set or released; air and running time of the onboard fan."""

    brakes_set: bool
    onboard_fan_m_per_s: float
    onboard_fan_minutes: int
    assumed: tuple[str, ...]

    @property
    def onboard_fan_s(self) -> float:
        """How long the onboard fan runs from in-block on."""
        return self.onboard_fan_minutes * MINUTE_S


def stand_settings(day: Day, turnaround: Turnaround) -> StandSettings:
    """Give the settings of one turnaround; a fan not used or out runs for no time."""
    station, assumed = day.station, []
    if station.parking_brake_set is None:
        assumed.append("parking brake: released after chocks")
    air = load_brake(day.aircraft_of(turnaround).brake).onboard_fan_m_per_s
    minutes = station.onboard_fan_minutes
    if day.tail_of(turnaround).onboard_fan_inoperative or air is None or minutes == 0:
        air, minutes = 0.0, 0
    else:
        assumed.append(f"onboard fan: runs for {minutes} minutes from in-block")
    return StandSettings(
        brakes_set=bool(station.parking_brake_set),
        onboard_fan_m_per_s=air,
        onboard_fan_minutes=minutes,
        assumed=tuple(assumed),
    )
