"""Which landings stop with the margin that is asked for; why others are not offered.

Enters: a landing of every sample. Leaves: its stop margin, safe bound, and a reason
where it is not available. Stopping comes first: no heat is looked at here.
"""

from dataclasses import dataclass, fields, replace

import numpy as np

from scheduler.cases.landing import Roll
from scheduler.day import Day, Turnaround
from thermal.arrays import FloatArray
from thermal.friction import RunwayCondition
from thermal.rollout import LandingRoll
from thermal.rollout_heat import RolloutHeat
from thermal.stop_margin import stop_margin_m

# Samples looked at of each order: only those that come nearest to the end count.
_WORST = 12
_HARD_M_PER_S2 = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Stop margin of a rollout, and why it is not available; None where it is."""

    stop_margin_m: float
    reason: str | None


def stop_verdict(
    day: Day,
    turnaround: Turnaround,
    level: float | None,
    planned: Roll,
    heat: RolloutHeat,
    above: int,
) -> Verdict:
    """Judge a landing by its stop.

    Parameters
    ----------
    turnaround : Turnaround
        As it lands.
    level : float or None
        Deceleration that is set; None where pedals brake from the start or it is not
        given.
    heat : RolloutHeat
        Of ``planned``.
    above : int
        How many samples may lie beyond the safe bound.
    """
    found = stops(day, turnaround, level, planned, above)
    missed = int((~heat.makes_exit).sum())
    if found.reason is None and missed > above:
        return replace(found, reason="the exit is missed at this setting")
    return found


def stops(
    day: Day, turnaround: Turnaround, level: float | None, planned: Roll, above: int
) -> Verdict:
    """Judge whether a landing stops, whatever exit it makes; see `stop_verdict`."""
    margin_m = _margin_m(day, turnaround, planned, above)
    reason = _ruled_out(day, turnaround, level) or _short(day, margin_m)
    return Verdict(stop_margin_m=margin_m, reason=reason)


def _ruled_out(day: Day, turnaround: Turnaround, level: float | None) -> str | None:
    """Say which rule takes a rollout away whatever its margin."""
    aircraft = day.aircraft_of(turnaround)
    condition = day.runway_of(turnaround).condition
    if condition is RunwayCondition.CODE_0:
        return "braking action nil: no landing on this runway"
    usual = aircraft.default_deceleration_m_per_s2
    if level is None or level >= usual:
        return None
    why = defect_of(day, turnaround)
    if not condition.is_dry:
        word = condition.value
        why = "wet runway" if word == "wet" else f"runway condition {word}"
    return None if why is None else f"{why}: not less than {usual:g} m/s²"


def defect_of(day: Day, turnaround: Turnaround) -> str | None:
    """Name a defect of the aircraft that asks for more braking; None without one."""
    tail = day.tail_of(turnaround)
    defects = (
        (bool(tail.inoperative), "brake inoperative"),
        (tail.anti_skid_inoperative, "anti-skid inoperative"),
        (tail.reverser_inoperative, "reverser inoperative"),
        (tail.automatic_braking_inoperative, "automatic braking inoperative"),
    )
    return next((name for given, name in defects if given), None)


def _short(day: Day, margin_m: float) -> str | None:
    """Say how much runway is missing; None where there is enough."""
    if margin_m >= 0.0:
        return None
    if not np.isfinite(margin_m):
        return "the brakes cannot stop it on this runway"
    missing = int(np.ceil(-margin_m))
    return f"stop margin {missing} m short (factor {day.station.stop_factor:g})"


def _margin_m(day: Day, turnaround: Turnaround, planned: Roll, above: int) -> float:
    """Safe bound of the margin over the samples."""
    roll, begin_m = planned.roll, planned.touchdown_m
    shape = np.broadcast_shapes(
        *(np.shape(getattr(roll, field.name)) for field in fields(roll)), begin_m.shape
    )
    worst = _worst(roll, begin_m, shape)
    margins = stop_margin_m(
        planned.aircraft,
        _some(roll, worst, shape),
        planned.surface,
        touchdown_m=np.broadcast_to(begin_m, shape)[worst, 0],
        landing_distance_m=day.runway_of(turnaround).landing_distance_m,
        factor=day.station.stop_factor,
    )
    return float(np.sort(margins)[min(above, margins.size - 1)])


def _worst(
    roll: LandingRoll, begin_m: FloatArray, shape: tuple[int, ...]
) -> np.ndarray:
    """Pick samples that come nearest to the end, braked gently, hard, or not yet."""
    speed = np.asarray(roll.touchdown_speed_m_per_s)
    held = np.asarray(roll.deceleration_m_per_s2)
    scores = (
        begin_m + speed**2 / (2.0 * held),
        begin_m + speed**2 / (2.0 * _HARD_M_PER_S2),
        begin_m,
    )
    tops = [
        np.argsort(-np.broadcast_to(score, shape)[:, 0], kind="stable")[:_WORST]
        for score in scores
    ]
    return np.unique(np.concatenate(tops))


def _some(
    roll: LandingRoll, samples: np.ndarray, shape: tuple[int, ...]
) -> LandingRoll:
    """Roll of some samples, shape (some,)."""
    picked: dict[str, FloatArray] = {
        field.name: np.broadcast_to(
            np.asarray(getattr(roll, field.name), dtype=np.float64), shape
        )[samples, 0]
        for field in fields(roll)
    }
    return LandingRoll(**picked)
