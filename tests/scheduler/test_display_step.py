"""A display that shows whole steps is believed no better than to a step."""

from dataclasses import replace
from datetime import date

import pytest

from scheduler.cases import build_case
from scheduler.clock import Clock
from scheduler.day import Reading
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.single import Question
from scheduler.single.evidence import MODEL_K, READING_K, weigh
from scheduler.single.question import TURNAROUND, day_of
from thermal.units import kelvin

LANDED = 14 * 60 + 2


def with_step(heat: StandHeat, step_k: float) -> StandHeat:
    """The same curves behind another display."""
    brake = heat.network.brake
    other = replace(brake, probe=replace(brake.probe, display_step_k=step_k))
    return replace(heat, network=replace(heat.network, brake=other))


@pytest.mark.parametrize(("step_k", "counted_k"), [(1.0, READING_K), (40.0, 40.0)])
def test_the_display_step_widens_what_a_reading_says(
    step_k: float, counted_k: float
) -> None:
    """Ten kelvin of the reading, or the step where that is coarser, and the model's."""
    reading = Reading(
        turnaround_id=TURNAROUND, minute=LANDED + 20, indicated_k=float(kelvin(180.0))
    )
    question = Question(
        clock=Clock(day=date(2026, 7, 14)),
        aircraft="twin-72",
        landed_minute=LANDED,
        readings=(reading,),
        ambient_k=float(kelvin(20.0)),
    )
    day = day_of(question)
    case = build_case(day, day.turnarounds[0], sample_count=512, seed=1)
    heat = stand_heat((case,), 60)
    _, evidence = weigh(with_step(heat, step_k), question.readings)
    assert evidence.used
    assert not evidence.at_edge
    assert evidence.sd_k == pytest.approx(counted_k + MODEL_K)
