"""The heat behind brake-ready, integrated again with another integrator."""

from scheduler.day import Day
from scheduler.plan import Plan
from scheduler.verify.violation import Violation


def heat_violations(day: Day, plan: Plan) -> tuple[Violation, ...]:
    """Find departures whose brakes do not keep their limits by a second integration.

    Nothing is integrated yet: the result is always empty, and the minutes that the
    heat gave (brake-ready, approach) are taken as they stand in the plan. What counts
    once networks are exported: for every planned departure the case that set
    brake-ready (``binding_position``, ``binding_sample``, the plan's seed) is built
    from the day, a stiff solver of scipy follows it from touchdown to take-off, and
    the limits must hold at off-block and at every later minute of the horizon, the
    approach threshold from ``approach_minute`` on. A departure without a heat summary
    is a violation.

    Parameters
    ----------
    day : Day
        What was given.
    plan : Plan
        What was decided.

    Returns
    -------
    violations : tuple of Violation
        Violations of code ``HEAT``.
    """
    del day, plan
    return ()
