"""What the brakes say of weight and time; result records, kg and minutes of the day."""

from dataclasses import dataclass

from scheduler.day import Day, Turnaround
from scheduler.options import Limit
from scheduler.plan import FanJob


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A take-off weight and from when on the brakes allow it; None: not in time."""

    take_off_weight_kg: float
    earliest_off_block_minute: int | None
    binding_limit: Limit | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """What leaving at a minute takes.

    Attributes
    ----------
    weight_kg : float or None
        Greatest take-off weight, rounded down to the load step; None where no weight
        down to the empty aircraft's lets it go then.
    off_kg : float or None
        What has to come off the planned weight, 0 where nothing has to.
    binding_limit : Limit or None
        What holds it at the planned weight.
    """

    off_block_minute: int
    weight_kg: float | None
    off_kg: float | None
    binding_limit: Limit | None
    within_removable: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightCurve:
    """Earliest off-block over take-off weight.

    Attributes
    ----------
    planned : Point or None
        At the planned weight; None where none is given.
    planned_minute : int or None
        Brake-ready of the plan.
    points : tuple of Point
        By rising weight; minutes never fall.
    fan_job : FanJob or None
        The job that is planned; still air without one.
    rollout : str or None
        Rollout that the plan asks for; None where it lands as planned.
    step_kg : float
        In which load comes off.
    """

    day: Day
    turnaround: Turnaround
    planned: Point | None
    planned_minute: int | None
    points: tuple[Point, ...]
    fan_job: FanJob | None
    rollout: str | None
    step_kg: float
    assumed: tuple[str, ...]
    sample_count: int
    seed: int
