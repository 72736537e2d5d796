"""Heat that a tail's earlier turnaround leaves: which, how much, and checked apart."""

from dataclasses import replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case, network_of
from scheduler.cases.earlier import earlier_turnarounds
from scheduler.day import Day, Turnaround
from scheduler.readiness.carried import touchdown_k
from scheduler.readiness.stand import stand_heat
from scheduler.verify.witness import witness_of
from thermal.network import Network
from thermal.turnaround import arrival_s, start_k

DAY = sample_day()
FIRST = next(one for one in DAY.turnarounds if one.id == "SB105")
OTHER = next(one for one in DAY.turnarounds if one.tail != FIRST.tail)


def again(name: str, minutes: int, **landing: object) -> Turnaround:
    """The first turnaround once more, so many minutes later."""
    return replace(
        FIRST,
        id=name,
        in_block_minute=FIRST.in_block_minute + minutes,
        target_off_block_minute=FIRST.target_off_block_minute + minutes,
        landing=replace(FIRST.landing, **landing),
    )


STAY = FIRST.target_off_block_minute - FIRST.in_block_minute
SECOND, THIRD = again("SB205", STAY + 60), again("SB305", 2 * STAY + 120)


def day_with(*turnarounds: Turnaround) -> Day:
    return replace(DAY, turnarounds=turnarounds)


def case_of(day: Day, one: Turnaround, count: int = 64) -> Case:
    return build_case(day, one, sample_count=count, seed=5)


def ids(found: tuple[Turnaround, ...]) -> list[str]:
    return [one.id for one in found]


def test_earlier_turnarounds_of_the_same_tail_come_oldest_first() -> None:
    """In whatever order the day has them, and of no other tail."""
    day = day_with(THIRD, OTHER, SECOND, FIRST)
    assert ids(earlier_turnarounds(day, THIRD)) == ["SB105", "SB205"]
    assert ids(earlier_turnarounds(day, SECOND)) == ["SB105"]
    assert earlier_turnarounds(day, FIRST) == ()
    assert earlier_turnarounds(day, OTHER) == ()


def test_given_heat_cuts_the_chain() -> None:
    """Where heat at touchdown is given, nothing from before it counts."""
    given = again("SB205", STAY + 60, residual_k=330.0)
    day = day_with(FIRST, given, THIRD)
    assert earlier_turnarounds(day, given) == ()
    assert ids(earlier_turnarounds(day, THIRD)) == ["SB205"]
    case = case_of(day, given, 2)
    assert case.before == ()
    assert set(case.rows.residual_k.tolist()) == {330.0}


def test_times_that_leave_no_flight_are_not_joined() -> None:
    """Ten minutes from line-up to touchdown are the least."""
    taxi = DAY.taxi_out_minutes(FIRST) + DAY.taxi_in_minutes(FIRST)
    for minutes, count in ((9, 0), (10, 1)):
        close = again("SB205", STAY + taxi + minutes)
        assert len(earlier_turnarounds(day_with(FIRST, close), close)) == count
        assert len(case_of(day_with(FIRST, close), close, 2).before) == count


def test_sectors_fill_the_time_from_touchdown_to_touchdown() -> None:
    """Every row's sectors end where its own landing begins."""
    case = case_of(day_with(FIRST, SECOND, THIRD), THIRD)
    clock_s = 60.0 * FIRST.in_block_minute - arrival_s(case.before[0].rows)
    for sector in case.before:
        clock_s = clock_s + sector.duration_s
    touchdown_s = 60.0 * THIRD.in_block_minute - arrival_s(case.rows)
    assert clock_s == pytest.approx(touchdown_s)


def test_brakes_stay_the_same_and_landings_do_not() -> None:
    """What belongs to a brake is drawn once; other draws are paired by chance."""
    case = case_of(day_with(FIRST, SECOND), SECOND, 512)
    rows, before = case.rows, case.before[0].rows
    for name in ("joint_factor", "radiation_factor", "convection_factor"):
        np.testing.assert_array_equal(getattr(before, name), getattr(rows, name))
    share = [
        part.arrival_j.reshape(case.shape) / part.arrival_j.reshape(case.shape)[:, :1]
        for part in (rows, before)
    ]
    assert share[0] == pytest.approx(share[1])
    for name in ("residual_k", "roll_s", "taxi_in_j"):
        pair = [getattr(part, name)[:: case.shape[1]] for part in (rows, before)]
        assert abs(np.corrcoef(*pair)[0, 1]) < 0.2


def test_it_is_told_that_heat_is_computed() -> None:
    """In place of the range alone, which is still the least."""
    told = case_of(day_with(FIRST, SECOND), SECOND, 2).assumed
    (one,) = [text for text in told if "brake" in text and "above the air" in text]
    assert one == (
        "brake heat left from the sector before: computed, "
        "never less than 0 to 30 K above the air"
    )


def both_k(day: Day, one: Turnaround) -> tuple[Network, np.ndarray, np.ndarray]:
    """Temperatures at touchdown with and without the sectors before."""
    case = case_of(day, one)
    network, every = network_of(case.aircraft.brake), np.arange(case.rows.count)
    return network, touchdown_k(network, case, every), start_k(network, case.rows)


def test_a_short_rotation_leaves_heat_and_none_is_taken_away() -> None:
    """Discs, wheel and plug are warmer at the second touchdown, none is cooler."""
    network, carried, alone = both_k(day_with(FIRST, SECOND), SECOND)
    assert (carried >= alone).all()
    for node in ("rotor 2", "wheel inboard", "plug"):
        rise = (carried - alone)[:, network.index(node)]
        assert np.median(rise) > 10.0
    _, unchanged, same = both_k(day_with(SECOND), SECOND)
    np.testing.assert_array_equal(unchanged, same)


def test_a_third_sector_starts_from_the_second() -> None:
    """The chain is longer than one; what the first left still shows."""
    _, three, _ = both_k(day_with(FIRST, SECOND, THIRD), THIRD)
    _, two, _ = both_k(day_with(SECOND, THIRD), THIRD)
    assert np.median(three.max(axis=1) - two.max(axis=1)) > 0.2


def test_the_second_turnaround_is_hotter_than_alone() -> None:
    """Stack and plug peak higher at the stand, for the same landing."""
    heats = [
        stand_heat((case_of(day, SECOND),), 60)
        for day in (day_with(FIRST, SECOND), day_with(SECOND))
    ]
    for name in ("stack_k", "plug_k"):
        carried, alone = (getattr(heat.curve, name).max(axis=1) for heat in heats)
        assert np.median(carried - alone) > 10.0


def test_cases_with_and_without_heat_from_before_go_together() -> None:
    """In one batch each starts from its own temperatures."""
    day = day_with(FIRST, SECOND)
    cases = tuple(
        build_case(day, one, sample_count=16, seed=5, case=place)
        for place, one in enumerate(day.turnarounds)
    )
    joint = stand_heat(cases, 30)
    for place, case in enumerate(cases):
        alone = stand_heat((case,), 30)
        stack = joint.curve.stack_k[joint.rows_of(place)]
        assert stack == pytest.approx(alone.curve.stack_k, abs=0.7)


@pytest.mark.parametrize("row", [0, 5, 30])
def test_the_second_integration_carries_the_same_heat(row: int) -> None:
    """Followed by the other solver from the first touchdown, at every minute."""
    day = day_with(FIRST, SECOND, THIRD)
    case = case_of(day, THIRD)
    heat = stand_heat((case,), 60, every_brake=True)
    witness = witness_of(day, case, row, (), THIRD.in_block_minute + 60)
    minutes = heat.minute.astype(int)
    for node in ("rotor 2", "plug", "wheel inboard", "indicator"):
        ours = heat.curve.node_k(node)[row]
        theirs = witness.history.node_k(node)[minutes]
        assert theirs == pytest.approx(ours, abs=0.7)
