"""First come, first served."""

import pytest

from scheduler.choices import choices_of
from scheduler.day import Curfew
from scheduler.decisions import Decisions, objective_of
from scheduler.errors import DayError
from scheduler.greedy import first_come, urgent_first_of
from scheduler.plan import Relaxation
from tests.scheduler.small_days import (
    blow,
    day_of,
    fan,
    flight,
    random_day,
    still,
    table,
)


def minutes(decisions: Decisions) -> list[int | None]:
    return [decision.off_block_minute for decision in decisions]


def test_a_cool_aircraft_leaves_at_its_target():
    """An aircraft that waits for nothing gets no fan and no delay."""
    day = day_of(flight("a"), fans=(fan(),))
    (decision,) = first_come(day, [table("a", still(605), blow(602, 603, 604))])
    assert (decision.off_block_minute, decision.option.fan) == (610, None)


def test_the_first_in_block_gets_the_only_fan():
    """Of two hot aircraft the one that came first is cooled, whatever it gains."""
    day = day_of(flight("b", 601), flight("a", 600), fans=(fan(),))
    tables = [
        table("a", still(620), blow(602, 612, 615)),
        table("b", still(640), blow(602, 612, 615)),
    ]
    decisions = first_come(day, tables)
    assert [one.turnaround_id for one in decisions] == ["b", "a"]
    assert minutes(decisions) == [640, 615]


def test_a_fan_is_used_again_after_it_was_moved():
    """A later job takes the fan when removal and move of the first are over."""
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    tables = [
        table("a", still(640), blow(602, 612, 613)),
        table("b", still(650), blow(614, 620, 622), blow(615, 620, 623)),
    ]
    assert first_come(day, tables)[1].option.start_minute == 615


def test_the_runway_is_shared_first_come():
    """Two aircraft with one target leave one spacing apart."""
    day = day_of(flight("a"), flight("b"))
    decisions = first_come(day, [table("a", still(600)), table("b", still(600))])
    assert minutes(decisions) == [610, 612]


def test_a_late_slot_is_named():
    """A take-off after the end of its slot is planned and called relaxed."""
    day = day_of(flight("a", ctot=610))
    (decision,) = first_come(day, [table("a", still(615))])
    assert decision.relaxed == (Relaxation.CTOT,)


def test_nobody_goes_without_a_ready_minute():
    """An aircraft whose brakes never allow it is held."""
    (decision,) = first_come(day_of(flight("a")), [table("a", still(None))])
    assert decision.off_block_minute is None
    assert decision.relaxed == (Relaxation.HELD,)


def test_urgent_aircraft_go_first_where_that_is_asked():
    """The second order gives the runway to the aircraft that has a slot to lose."""
    day = day_of(flight("a"), flight("b", ctot=610))
    tables = [table("a", still(600)), table("b", still(600))]
    assert minutes(first_come(day, tables)) == [610, 612]
    urgent = urgent_first_of(day, choices_of(day, tables))
    assert minutes(urgent) == [612, 610]


def test_a_missing_table_is_refused():
    """A turnaround to plan without an option table is an error that names it."""
    with pytest.raises(DayError, match="one for a"):
        first_come(day_of(flight("a")), [])


def test_a_curfew_is_waited_out():
    """The first minute after a curfew is taken if the horizon reaches it."""
    day = day_of(flight("a"), curfews=(Curfew(from_minute=600, to_minute=700),))
    (decision,) = first_come(day, [table("a", still(600))])
    assert decision.off_block_minute == 690


@pytest.mark.parametrize("seed", range(10))
def test_named_relaxations_are_those_of_the_objective(seed: int):
    """The weight of a plan is the weight of the relaxations that its rows name."""
    day, tables = random_day(seed)
    choices = choices_of(day, tables)
    decisions = first_come(day, tables)
    weight = sum(
        one.weight(found.off_block_minute)
        for one, found in zip(choices, decisions, strict=True)
    )
    assert objective_of(decisions, choices, day, {})[0] == weight
