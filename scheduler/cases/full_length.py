"""The landing that rolls to the last exit, for an aircraft that has not landed yet.

Enters: a turnaround's case. Leaves: the same case landed so, or None where nobody is to
be asked for it.

- Only before landing, where a nearer exit is planned, on a dry runway without defects.
- The gentlest of the automatic braking levels and the planned deceleration whose stop
  margin holds and that makes the exit; reverse, speed and touchdown point as planned.
- The taxi time stays as planned: a day has none by exit.
"""

from dataclasses import replace

from scheduler.cases.case import Case
from scheduler.cases.landing import Technique, landing_roll
from scheduler.cases.other_landing import draws_of, land_otherwise
from scheduler.cases.stopping import defect_of, stop_verdict, stops
from scheduler.day import Basis, Day, Exit, Turnaround

FULL_LENGTH = "full length"
# With less won the minutes are hardly worth asking for: engineering estimate.
WORTH_FRACTION = 0.98
_HELD = Technique(hold_level=True)


def may_roll_on(day: Day, turnaround: Turnaround) -> Exit | None:
    """Exit that a full-length rollout takes; None where there is none to ask for.

    Nor where it is too late to ask: the request has its minutes before landing.
    """
    runway = day.runway_of(turnaround)
    at = {one.name: one.distance_m for one in runway.exits}
    planned = at.get(turnaround.landing.exit or "")
    is_open = (
        turnaround.in_block_basis is not Basis.ACTUAL
        and turnaround.off_block_basis is not Basis.ACTUAL
        and not turnaround.cancelled
        and runway.condition.is_dry
        and defect_of(day, turnaround) is None
        and (
            day.now_minute is None
            or day.now_minute <= ask_by(day, turnaround)
            or turnaround.id in day.asked_rollouts
        )
    )
    if planned is None or not is_open:
        return None
    last = max(runway.exits, key=lambda one: one.distance_m)
    return last if last.distance_m > planned else None


def ask_by(day: Day, turnaround: Turnaround) -> int:
    """Minute by which a longer rollout has to be asked for."""
    return day.landing_minute(turnaround) - day.station.rollout_request_minutes


def full_length_case(day: Day, case: Case, *, seed: int, above: int) -> Case | None:
    """Land a case at the last exit with as little braking as its stop margin lets.

    Parameters
    ----------
    case : Case
        As planned, with the draws of the seed.
    above : int
        How many samples may lie beyond the safe bound.

    Returns
    -------
    case : Case or None
        With the same draws; None where no such rollout may be asked for, or where it
        spares the hottest brake hardly any heat.
    """
    turnaround = case.turnaround
    leave = may_roll_on(day, turnaround)
    if leave is None or case.rejected is not None:
        return None
    draws = draws_of(day, turnaround, sample_count=case.shape[0], seed=seed)
    for level in _levels(case):
        landing = replace(
            turnaround.landing, exit=leave.name, deceleration_m_per_s2=level
        )
        one = replace(turnaround, landing=landing)
        roll = landing_roll(day, one, draws.inputs, draws.serviceable, _HELD)
        if stops(day, one, level, roll, above).reason is not None:
            continue
        other = land_otherwise(day, case, one, draws, _HELD)
        found = stop_verdict(day, one, level, other.planned, other.heat, above)
        if found.reason is None:
            less = _heat_j(other.case) <= WORTH_FRACTION * _heat_j(case)
            return other.case if less else None
    return None


def _heat_j(case: Case) -> float:
    """Heat of the hottest brake, mean of the samples."""
    return float(case.energy_j.max(axis=1).mean())


def _levels(case: Case) -> list[float]:
    """Levels of automatic braking and the planned deceleration, gentlest first."""
    levels = set(case.aircraft.automatic_decelerations_m_per_s2)
    planned = case.turnaround.landing.deceleration_m_per_s2
    return sorted(levels if planned is None else {*levels, planned})
