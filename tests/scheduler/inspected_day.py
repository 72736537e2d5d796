"""Figures of a synthetic turnaround, and the list that follows from them."""

from dataclasses import replace

from scheduler.day import Basis, Day
from scheduler.inspection.closing import closed
from scheduler.inspection.figures import Figures
from scheduler.inspection.inspecting import STANDARD, _histories
from scheduler.inspection.item import Item
from scheduler.inspection.look import Look
from scheduler.inspection.reasons import items_of
from scheduler.inspection.stops import StopFigures
from tests.scheduler.heated_day import sample_day

ID = "SB103"


def landed_day(**changes) -> Day:
    """Sample day of which one aircraft has landed; more fields of the day replaced."""
    day = sample_day()
    (one,) = (one for one in day.turnarounds if one.id == ID)
    return replace(
        day,
        turnarounds=(replace(one, in_block_basis=Basis.ACTUAL),),
        **changes,
    )


def calm_figures(**changes) -> Figures:
    """Figures of brakes that did not get hot."""
    day = landed_day()
    positions = day.tail_of(day.turnarounds[0]).positions
    none = (0.0,) * len(positions)
    in_block = day.turnarounds[0].in_block_minute
    stop = StopFigures(
        energy_mj=tuple(20.0 for _ in positions),
        stack_peak_c=tuple(400.0 for _ in positions),
        wheel_peak_c=tuple(100.0 for _ in positions),
        plug_peak_c=tuple(90.0 for _ in positions),
        oxidation_dose=tuple(0.1 for _ in positions),
    )
    calm = Figures(
        turnaround_id=ID,
        positions=positions,
        approach_minute=in_block + 12,
        plug_peak_minute=in_block + 35,
        is_check_due=False,
        released=none,
        near_release=none,
        wheel_hot=none,
        stack_hot=none,
        stops=(stop,),
        foretold=(),
    )
    return replace(calm, **changes)


def listed(
    day: Day, figures: Figures, past=None, thresholds=STANDARD
) -> tuple[Item, ...]:
    """Items of the one turnaround, closed where the day has a finding."""
    one = day.turnarounds[0]
    histories = _histories(day, [one], {ID: figures}, past or {}, thresholds)
    look = Look(
        day=day,
        turnaround=one,
        figures=figures,
        histories=tuple(histories),
        thresholds=thresholds,
    )
    return tuple(closed(day, item, figures.positions) for item in items_of(look))
