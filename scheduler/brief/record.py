"""What an arrival brief says: options side by side, and what each change costs.

Result records: numbers as people read them (°C, MJ, kt, m), minutes of the day.
"""

from dataclasses import dataclass

from scheduler.day import Day, Reverse, Turnaround
from scheduler.options import Limit
from scheduler.plan import FanJob


@dataclass(frozen=True, slots=True, kw_only=True)
class RolloutOption:
    """One way to land and roll out; number 0 is the one that is planned.

    None stands for what the planned landing leaves open, and for what is not computed
    of an option that is not available.

    Attributes
    ----------
    automatic_braking_off_kt : float or None
        Ground speed at which pedals take over; None where it is held to the exit.
    heat_mj_per_brake : float
        Heat of rollout and taxi-in in the hottest brake, safe bound of the samples.
    stack_peak_c, plug_peak_c : float or None
        At the stand, safe bounds.
    brake_ready_minute, brake_ready_fan_minute : int or None
        Earliest off-block in still air and behind ``fan_job``; None where no off-block
        within the time looked at meets the limits.
    ground_minutes_against_planned : int or None
        Brake-ready in still air less that of the planned landing; below zero is won.
    runway_seconds : float
        From touchdown to the turn off the runway, safe bound.
    stop_margin_m : float
        `thermal.stop_margin`, safe bound; minus infinity where it does not stop.
    reason : str or None
        Why it is not available.
    agree_with : tuple of str
        Who has to agree to it.
    """

    number: int
    label: str
    exit_id: str | None
    target_speed_additive_kt: float | None
    touchdown_m: float | None
    reverse: Reverse | None
    deceleration_m_per_s2: float | None
    automatic_braking_off_kt: float | None
    heat_mj_per_brake: float
    runway_seconds: float
    stop_margin_m: float
    available: bool
    reason: str | None
    agree_with: tuple[str, ...]
    stack_peak_c: float | None = None
    plug_peak_c: float | None = None
    plug_release_probability: float | None = None
    brake_ready_minute: int | None = None
    binding: Limit | None = None
    brake_ready_fan_minute: int | None = None
    fan_job: FanJob | None = None
    ground_minutes_against_planned: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What one change of the chosen option costs; minutes None where it has no end."""

    label: str
    extra_heat_mj_per_brake: float
    extra_ground_minutes: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """The brief of one arrival.

    Attributes
    ----------
    options : tuple of RolloutOption
        The planned one first.
    chosen : int or None
        Number of the available option that is ready first; None if none is available.
    base : int
        Number of the option that ``changes`` refer to.
    landed : bool
        The aircraft is in block: the options are a comparison.
    valid_until_minute : int
        After that it has to be computed again.
    """

    day: Day
    turnaround: Turnaround
    options: tuple[RolloutOption, ...]
    chosen: int | None
    base: int
    changes: tuple[Change, ...]
    landed: bool
    touchdown_minute: int
    valid_until_minute: int
    assumed: tuple[str, ...]
    sample_count: int
    seed: int

    def option(self, number: int) -> RolloutOption:
        """Option of a number.

        Raises
        ------
        LookupError
            If there is none.
        """
        for one in self.options:
            if one.number == number:
                return one
        raise LookupError(number)
