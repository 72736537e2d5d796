"""What broken rules and requests weigh."""

from collections.abc import Iterable

from scheduler.plan import Relaxation

WEIGHT_OF = {
    Relaxation.HELD: 4,
    Relaxation.CURFEW: 4,
    Relaxation.CURFEW_BROKEN: 3,
    Relaxation.PIN: 2,
    Relaxation.CTOT: 1,
    Relaxation.STAND: 1,
    Relaxation.CREW: 1,
    Relaxation.ROTATION: 1,
}
CTOT_LATE_MINUTES = 10
REQUEST_EFFORT = 5
TOW_EFFORT = 10


def weight_of(relaxed: Iterable[Relaxation]) -> int:
    """Weight of the rules broken."""
    return sum(WEIGHT_OF[rule] for rule in relaxed)
