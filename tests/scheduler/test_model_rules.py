"""Every rule: kept where that is possible, named or paid for where it is not."""

import pytest
from ortools.sat.python import cp_model

from scheduler.choices import choices_of
from scheduler.day import Curfew, CurfewEvent, Day, Runway
from scheduler.decisions import Decisions
from scheduler.model.build import build
from scheduler.model.capacity import Use, crowded_minutes
from scheduler.model.objective import Stage, folded, unfolded_bound
from scheduler.model.reduce import at_least_weight, without_dominated
from scheduler.options import OptionTable
from scheduler.plan import Relaxation
from scheduler.solve import SolveConfig, decide
from tests.scheduler.small_days import blow, day_of, fan, flight, still, table

CONFIG = SolveConfig(seconds=5)


def plan(day: Day, *tables: OptionTable) -> Decisions:
    decisions, proof = decide(day, tables, CONFIG)
    assert proof.objective == proof.bound
    return decisions


def minutes(decisions: Decisions) -> list[int | None]:
    return [decision.off_block_minute for decision in decisions]


def is_feasible(day: Day, *tables: OptionTable, **forced: int) -> bool:
    """Whether the model, rules alone, has a plan with these off-block minutes."""
    model = build(day, choices_of(day, tables), {}, may_hold=False)
    for one in model.variables.departures:
        name = one.choices.turnaround.id
        if name in forced:
            if forced[name] not in one.slots:
                return False
            model.cp.add(one.slots[forced[name]] == 1)
    return cp_model.CpSolver().solve(model.cp) == cp_model.OPTIMAL


def test_brake_ready_holds():
    """Off-block at brake-ready is feasible, a minute before it is not."""
    day = day_of(flight("a"))
    assert is_feasible(day, table("a", still(620)), a=620)
    assert not is_feasible(day, table("a", still(620)), a=619)


def test_brake_ready_depends_on_the_fan_job():
    """The early minute needs the fan: without a free unit it is not to be had."""
    hot = (still(620), blow(602, 610, 611))
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    tables = (table("a", *hot), table("b", *hot))
    assert is_feasible(day, *tables, a=611, b=620)
    assert not is_feasible(day, *tables, a=611, b=619)


def test_target_holds():
    """Nobody leaves before the target."""
    day = day_of(flight("a", target=610))
    assert is_feasible(day, table("a", still(600)), a=610)
    assert not is_feasible(day, table("a", still(600)), a=609)


def test_horizon_holds():
    """The last minute of the horizon can be used and none after it."""
    day = day_of(flight("a"), hold_minutes=30)
    assert minutes(plan(day, table("a", still(630)))) == [630]
    (late,) = plan(day, table("a", still(631)))
    assert late.relaxed == (Relaxation.HELD,)


def test_fan_capacity_counts_units():
    """Two units serve two aircraft at once; one unit serves one."""
    hot = (still(640), blow(602, 610, 613))
    tables = (table("a", *hot), table("b", *hot))
    two = plan(day_of(flight("a"), flight("b"), fans=(fan(units=2),)), *tables)
    one = plan(day_of(flight("a"), flight("b"), fans=(fan(units=1),)), *tables)
    assert sorted(minutes(two)) == [613, 615]
    assert sorted(minutes(one)) == [613, 640]


@pytest.mark.parametrize(("start", "off_block"), [(613, 640), (614, 622)])
def test_fan_capacity_counts_setup_removal_and_move(start: int, off_block: int):
    """A unit is free again only after removal and move, before the next set-up."""
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    first = table("a", still(690), blow(602, 611, 613))
    second = table("b", still(640), blow(start, 620, 622))
    assert minutes(plan(day, first, second)) == [613, off_block]


def test_more_units_than_there_are_cannot_be_sent():
    """A job of two units is no choice where the type has one."""
    day = day_of(flight("a"), fans=(fan(units=1),))
    decided = plan(day, table("a", still(640), blow(602, 610, 613, units=2)))
    assert minutes(decided) == [640]


@pytest.mark.parametrize(
    ("given", "off_block"),
    [
        ({"from_minute": 601, "to_minute": 611}, 613),
        ({"from_minute": 602}, 640),
        ({"to_minute": 610}, 640),
    ],
)
def test_service_hours_hold(given: dict[str, int], off_block: int):
    """Set-up starts and removal ends within the service hours."""
    day = day_of(flight("a"), fans=(fan(**given),))
    hot = table("a", still(640), blow(602, 610, 613))
    assert minutes(plan(day, hot)) == [off_block]


@pytest.mark.parametrize(
    ("approach", "remote", "off_block"),
    [(601, False, 613), (602, False, 640), (602, True, 613), (None, True, 613)],
)
def test_approach_rule_holds(approach: int | None, remote: bool, off_block: int):
    """People are not sent before the approach minute; a remote fan needs none."""
    day = day_of(flight("a"), fans=(fan(remote=remote),))
    hot = table("a", still(640), blow(602, 610, 613), approach=approach)
    assert minutes(plan(day, hot)) == [off_block]


def test_nobody_is_sent_where_approach_is_never():
    """Without an approach minute only a remote fan is used."""
    day = day_of(flight("a"), fans=(fan(),))
    hot = table("a", still(640), blow(602, 610, 613), approach=None)
    assert minutes(plan(day, hot)) == [640]


@pytest.mark.parametrize(("in_block", "off_block"), [(601, 613), (602, 640)])
def test_no_fan_before_in_block(in_block: int, off_block: int):
    """Set-up starts at in-block or later, also for a remote fan."""
    day = day_of(flight("a", in_block=in_block), fans=(fan(remote=True),))
    hot = table("a", still(640), blow(602, 610, 613))
    assert minutes(plan(day, hot)) == [off_block]


@pytest.mark.parametrize(("ready", "off_block"), [(611, 611), (610, 640)])
def test_removal_is_over_at_brake_ready(ready: int, off_block: int):
    """A job that is still being removed at its own ready minute is no choice."""
    day = day_of(flight("a"), fans=(fan(),))
    hot = table("a", still(640), blow(602, 610, ready))
    assert minutes(plan(day, hot)) == [off_block]


def test_runway_spacing_holds_for_all_pairs():
    """Take-offs closer than the spacing are infeasible, also around a third one."""
    tables = [table(name, still(600)) for name in "abc"]
    day = day_of(
        *(flight(name) for name in "abc"),
        runways=(
            Runway(
                name="09", heading_deg=90, landing_distance_m=3000, spacing_minutes=3
            ),
        ),
    )
    assert is_feasible(day, *tables, a=610, b=613, c=616)
    assert not is_feasible(day, *tables, a=610, b=612)
    assert not is_feasible(day, *tables, a=610, b=613, c=615)


def test_departed_aircraft_keep_the_runway():
    """A planned take-off is spaced from one that is a fact; two facts are not."""
    day = day_of(
        flight("a", target=610, gone=True),
        flight("b", target=611, gone=True),
        flight("c", target=609),
    )
    tables = [table(name, still(600)) for name in "abc"]
    decided = plan(day, *tables)
    assert minutes(decided) == [610, 611, 613]
    assert not any(one.relaxed for one in decided)


def test_departed_aircraft_need_no_brakes():
    """What has left is planned as it left, with no fan and no table."""
    day = day_of(flight("a", gone=True), fans=(fan(),))
    (decision,) = plan(day)
    assert (decision.off_block_minute, decision.fan_jobs) == (610, ())


def test_ctot_opens_hard():
    """Take-off five minutes before the slot is feasible, six are not."""
    day = day_of(flight("a", ctot=630))
    assert is_feasible(day, table("a", still(600)), a=615)
    assert not is_feasible(day, table("a", still(600)), a=614)


@pytest.mark.parametrize(("ready", "relaxed"), [(630, ()), (631, (Relaxation.CTOT,))])
def test_ctot_closes_softly(ready: int, relaxed: tuple[Relaxation, ...]):
    """Ten minutes after the slot is good; after that a new slot is called for."""
    (decision,) = plan(day_of(flight("a", ctot=630)), table("a", still(ready)))
    assert (decision.off_block_minute, decision.relaxed) == (ready, relaxed)


def test_a_slot_is_worth_more_than_delay():
    """Others wait when that saves a slot."""
    day = day_of(flight("a"), flight("b", ctot=610))
    decided = plan(day, table("a", still(600)), table("b", still(600)))
    assert minutes(decided) == [612, 610]


@pytest.mark.parametrize(
    ("event", "off_block"), [(CurfewEvent.OFF_BLOCK, 660), (CurfewEvent.TAKE_OFF, 650)]
)
def test_curfew_holds_for_its_event(event: CurfewEvent, off_block: int):
    """The event that the curfew names is never inside it; the first minute after is."""
    curfew = Curfew(from_minute=605, to_minute=660, event=event)
    day = day_of(flight("a"), curfews=(curfew,))
    assert minutes(plan(day, table("a", still(600)))) == [off_block]
    assert not is_feasible(day, table("a", still(600)), a=off_block - 1)


def test_curfew_over_the_horizon_holds_the_aircraft():
    """An aircraft that only the curfew keeps is held and says so."""
    curfew = Curfew(from_minute=600, to_minute=900)
    day = day_of(flight("a"), curfews=(curfew,), hold_minutes=60)
    (decision,) = plan(day, table("a", still(600)))
    assert (decision.off_block_minute, decision.relaxed) == (None, (Relaxation.CURFEW,))


@pytest.mark.parametrize(("ready", "relaxed"), [(615, ()), (616, (Relaxation.STAND,))])
def test_stand_is_free_for_the_next_arrival(
    ready: int, relaxed: tuple[Relaxation, ...]
):
    """The stand is free five minutes before the next arrival, or that is said."""
    day = day_of(flight("a", stand="S1"), flight("b", 620, 660, stand="S1"))
    decided = plan(day, table("a", still(ready)), table("b", still(600)))
    assert decided[0].relaxed == relaxed
    assert decided[1].relaxed == ()


def test_a_held_aircraft_blocks_its_stand():
    """Held with a next arrival counts for both."""
    day = day_of(flight("a", stand="S1"), flight("b", 620, 660, stand="S1"))
    decided = plan(day, table("a", still(None)), table("b", still(600)))
    assert decided[0].relaxed == (Relaxation.HELD, Relaxation.STAND)


def test_fans_go_where_they_save_most():
    """The solver gives the only fan to the aircraft that gains more by it."""
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    first = table("a", still(620), blow(602, 610, 613))
    second = table("b", still(650), blow(602, 610, 613))
    assert minutes(plan(day, first, second)) == [620, 613]


def test_no_fan_for_nothing():
    """Of plans with the same delay the one with the least fan effort is taken."""
    day = day_of(flight("a"), fans=(fan(),))
    options = (still(640), blow(602, 612, 614), blow(602, 606, 614))
    (decision,) = plan(day, table("a", *options))
    assert decision.option.end_minute == 606


def test_dominated_options_are_dropped():
    """An option with a later end and no earlier ready goes; still air stays."""
    day = day_of(flight("a"), fans=(fan(units=2),))
    good, long, more, slow = (
        blow(602, 608, 615),
        blow(602, 609, 615),
        blow(602, 608, 615, units=2),
        blow(602, 605, 640),
    )
    (one,) = choices_of(day, [table("a", still(640), long, good, more, slow)])
    kept = [way.option for way in without_dominated(one).coolings]
    assert kept == [still(640), good]
    published = one.coolings[1].jobs
    kept = [way.option for way in without_dominated(one, published).coolings]
    assert kept == [still(640), long, good]


def test_minutes_that_break_more_than_needed_are_dropped():
    """With a plan that breaks nothing, minutes after the slot are not needed."""
    day = day_of(flight("a", ctot=610))
    (one,) = choices_of(day, [table("a", still(600))])
    assert at_least_weight(one).slots == tuple(range(610, 611))


def test_capacity_rows_are_enough():
    """Every minute's jobs are among those of a minute that has a row."""
    day = day_of(flight("a"), fans=(fan(),))
    jobs = [blow(s, s + n, 700) for s in range(602, 640, 3) for n in (2, 5, 9)]
    (one,) = choices_of(day, [table("a", still(720), *jobs)])
    ways = [way for way in one.coolings if way.option.fan]

    def at(minute: int) -> set[int]:
        return {
            index
            for index, way in enumerate(ways)
            if way.busy_from_minute <= minute < way.busy_to_minute
        }

    uses = [Use(way.busy_from_minute, way.busy_to_minute, 1, None) for way in ways]
    rows = [at(minute) for minute in crowded_minutes(uses)]
    assert all(any(at(minute) <= row for row in rows) for minute in range(590, 720))


def test_folded_stages_split_again():
    """A bound on the folded sum gives back each stage up to the first not proved."""
    stages = [Stage(constant=0, terms=(), reach=reach) for reach in (50, 3, 9)]
    sum_of_all = folded(stages)
    assert sum_of_all is not None
    assert sum_of_all.reach == 50 * 40 + 3 * 10 + 9
    assert unfolded_bound(7 * 40 + 2 * 10 + 5, stages, (7, 2, 5)) == (7, 2, 5)
    assert unfolded_bound(7 * 40 + 1 * 10 + 9, stages, (7, 2, 5)) == (7, 1, 0)
    assert unfolded_bound(6 * 40 + 39, stages, (7, 2, 5)) == (6, 0, 0)


def test_stages_too_large_to_fold_are_refused():
    """Numbers that the solver could not keep exact are not folded."""
    stages = [Stage(constant=0, terms=(), reach=2**30) for _ in range(2)]
    assert folded(stages) is None
