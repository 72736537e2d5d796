"""The action list: everything needed, at the right minute, never to a hot wheel."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.day import Basis, Curfew, Day, PlugCheck
from scheduler.options import Limit
from scheduler.plan import (
    Action,
    FanJob,
    Plan,
    PlannedTurnaround,
    Relaxation,
    WaitsFor,
)
from scheduler.report import CAUTIONS, actions
from scheduler.verify.output import output_violations
from tests.sample_day import DAY, PLAN, at, heat, row

AT_A_WHEEL = ("Move", "take", "Check fuse plugs")


def planned(*rows: PlannedTurnaround) -> Plan:
    """Build a plan of these rows."""
    return replace(PLAN, turnarounds=rows)


def of(plan: Plan, who: str, day: Day = DAY) -> list[Action]:
    """Actions of one group of people."""
    return [action for action in actions(plan, day) if action.who == who]


def sends_to_a_wheel(action: Action) -> bool:
    """Whether somebody has to go to a wheel for it."""
    return any(word in action.what for word in AT_A_WHEEL)


def test_a_flight_on_time_needs_no_action() -> None:
    """No line for what happens anyway."""
    assert actions(planned(row(0)), DAY) == ()


def test_actions_are_sorted_by_time() -> None:
    """The list can be worked off from the top."""
    minutes = [action.minute for action in actions(PLAN, DAY)]
    assert minutes == sorted(minutes)
    assert len(set(minutes)) > 3


def test_every_action_is_due_at_its_start_or_later_on_its_stand() -> None:
    """Start, due time and stand fit together."""
    stands = {one.id: one.stand for one in DAY.turnarounds}
    for action in actions(PLAN, DAY):
        assert action.do_by_minute >= action.minute
        assert action.stand == stands[action.turnaround_id]
        assert action.missing_it


def test_the_check_of_the_output_accepts_the_actions() -> None:
    """Cautions and actions pass the check that every finished plan goes through."""
    whole = replace(PLAN, actions=actions(PLAN, DAY), cautions=CAUTIONS)
    assert list(output_violations(DAY, whole)) == []


def test_a_fan_starts_with_its_set_up_and_is_due_with_its_air() -> None:
    """Three minutes of set-up before 13:55, and the price of leaving it out."""
    start = of(PLAN, "fan crew")[0]
    assert (start.minute, start.do_by_minute) == (at(13, 52), at(13, 55))
    assert start.what == "Move 2 × blower to stand 2, start the air at 13:55"
    assert start.missing_it == (
        "without the fan the brakes are ready at 15:12: off-block 34 min later"
    )


def test_a_fan_is_stopped_at_its_end_and_away_after_the_removal() -> None:
    """Two minutes of removal after 14:25; before that nobody leaves."""
    stop = of(PLAN, "fan crew")[1]
    assert (stop.minute, stop.do_by_minute) == (at(14, 25), at(14, 27))
    assert stop.missing_it == "the aircraft cannot leave at 14:38 before it is away"


def test_a_late_removal_names_the_next_fan_job_of_that_type() -> None:
    """Units that another aircraft waits for are said to be late there."""
    job = FanJob(
        fan_type="blower", units=2, start_minute=at(14, 40), end_minute=at(15, 0)
    )
    plan = planned(PLAN.turnarounds[1], row(3, fan_jobs=(job,)))
    stop = next(a for a in of(plan, "fan crew") if a.minute == at(14, 25))
    assert "the fan job of LB104 on stand 4A at 14:40 starts late" in stop.missing_it


@pytest.mark.parametrize(
    ("start", "units"), [(at(14, 30), 2), (at(16, 0), 2), (at(14, 40), 1)]
)
def test_a_job_that_does_not_wait_for_these_units_is_not_named(
    start: int, units: int
) -> None:
    """Neither before they are free, nor long after, nor where a unit is spare."""
    job = FanJob(
        fan_type="blower", units=units, start_minute=start, end_minute=at(16, 30)
    )
    plan = planned(PLAN.turnarounds[1], row(3, fan_jobs=(job,)))
    stop = next(a for a in of(plan, "fan crew") if a.minute == at(14, 25))
    assert "LB104" not in stop.missing_it


def test_one_removal_is_told_for_each_job_that_needs_a_unit() -> None:
    """Three single fans come free one by one; each is named for one job only."""
    ends = (at(14, 20), at(14, 23), at(14, 26))
    first = tuple(
        FanJob(fan_type="blower", units=1, start_minute=at(13, 58), end_minute=end)
        for end in ends
    )
    then = FanJob(
        fan_type="blower", units=1, start_minute=at(14, 34), end_minute=at(15, 0)
    )
    plan = planned(
        *(row(index, fan_jobs=(job,)) for index, job in enumerate(first)),
        row(3, fan_jobs=(then,), approach_minute=at(14, 0)),
        row(5, fan_jobs=(replace(then, end_minute=at(15, 10)),)),
    )
    fans = (replace(DAY.station.fans[0], units=3),)
    day = replace(DAY, station=replace(DAY.station, fans=fans))
    told = [
        action.missing_it.split("the fan job of ")[1].split()[0]
        for action in of(plan, "fan crew", day)
        if "starts late" in action.missing_it
    ]
    assert told == ["LB104", "LB106"]


def test_a_fan_without_which_the_slot_is_missed_says_so() -> None:
    """The slot 14:40 of LB103 ends before its brakes are ready without a fan."""
    job = PLAN.turnarounds[1].fan_jobs
    still = {"brake_ready_still_air_minute": at(14, 39), "fan_jobs": job}
    start = of(planned(row(2, **still, off_block_minute=at(14, 30))), "fan crew")[0]
    assert start.missing_it == (
        "without the fan the brakes are ready at 14:39: it would miss its slot 14:40"
    )
    kept = planned(
        row(
            2,
            **{**still, "brake_ready_still_air_minute": at(14, 38)},
            off_block_minute=at(14, 30),
        )
    )
    assert of(kept, "fan crew")[0].missing_it.endswith("off-block 8 min later")


def test_a_fan_without_which_the_curfew_begins_says_so() -> None:
    """Take-off at 15:24 without the fan, and a curfew from 15:20."""
    curfews = (Curfew(from_minute=at(15, 20), to_minute=at(20, 0)),)
    day = replace(DAY, station=replace(DAY.station, curfews=curfews))
    start = of(PLAN, "fan crew", day)[0]
    assert start.missing_it == (
        "without the fan the brakes are ready at 15:12: it would fall into the curfew "
        "from 15:20"
    )


@pytest.mark.parametrize(
    ("still", "said"),
    [
        (None, "without the fan no off-block was found that meets the brake limits"),
        (
            at(14, 30),
            "without the fan the brakes are ready at 14:30, which costs no delay",
        ),
    ],
)
def test_what_leaving_the_fan_out_costs(still: int | None, said: str) -> None:
    """Nothing, or no departure at all, is said as such."""
    plan = planned(replace(PLAN.turnarounds[1], brake_ready_still_air_minute=still))
    assert of(plan, "fan crew")[0].missing_it == said


@pytest.mark.parametrize("approach", [None, at(13, 53)])
def test_no_fan_crew_goes_to_a_wheel_too_early(approach: int | None) -> None:
    """Set-up at 13:52 is no action where the threshold is met later, or never."""
    plan = planned(replace(PLAN.turnarounds[1], approach_minute=approach))
    assert of(plan, "fan crew") == []


def test_a_remote_fan_needs_nobody_at_the_wheel() -> None:
    """Without an approach minute a remote fan is still switched on and off."""
    fans = (replace(DAY.station.fans[0], remote=True),)
    day = replace(DAY, station=replace(DAY.station, fans=fans))
    plan = planned(replace(PLAN.turnarounds[1], approach_minute=None))
    what = [action.what for action in of(plan, "fan crew", day)]
    assert what == [
        "Switch on 2 × blower, start the air at 13:55",
        "Switch off 2 × blower at 14:25",
    ]


def test_a_plug_check_waits_for_the_approach_minute() -> None:
    """Maintenance goes at 15:05, although the flight was due at 14:30."""
    (check,) = of(PLAN, "maintenance")
    assert check.minute == check.do_by_minute == at(15, 5)
    assert check.what.startswith("Check fuse plugs and tyres")
    assert check.what.endswith("log the finding and plan again")
    assert check.missing_it.startswith("it stays held")


def test_a_plug_check_waits_for_the_hottest_plug() -> None:
    """A look before the peak at 15:20 says nothing, whatever the threshold allows."""
    plan = planned(replace(PLAN.turnarounds[3], heat=heat(0.034, at(15, 20))))
    (check,) = of(plan, "maintenance")
    assert check.minute == at(15, 20)


def test_a_plug_check_ends_by_off_block() -> None:
    """Twenty minutes before 14:50, not before a TOBT that is past."""
    late = {"binding_limit": Limit.PLUG_CHECK, "waits_for": WaitsFor.CHECK}
    plan = planned(row(0, **late, off_block_minute=at(14, 50)))
    (check,) = of(plan, "maintenance")
    assert DAY.station.plug_check_minutes == 20
    assert check.do_by_minute == at(14, 30)
    assert check.missing_it == "it leaves at 14:50 only if the check is logged by then"


def test_without_an_approach_minute_maintenance_gets_ready_elsewhere() -> None:
    """Nobody is sent to a wheel where the figures give no time for it."""
    plan = planned(replace(PLAN.turnarounds[3], approach_minute=None))
    (check,) = of(plan, "maintenance")
    assert check.what == "Get ready for a plug and tyre check, away from the aircraft"


def test_at_high_risk_a_wheel_change_is_made_ready_and_nobody_goes() -> None:
    """Above ten per cent wheel, jack and crew are called, away from the aircraft."""
    plan = planned(replace(PLAN.turnarounds[3], heat=heat(0.3, at(14, 12))))
    (change,) = of(plan, "maintenance")
    assert "wheel change, away from the aircraft" in change.what
    assert not any(sends_to_a_wheel(action) for action in actions(plan, DAY))


def test_a_check_that_binds_is_asked_for_even_on_time() -> None:
    """The limit decides, not only the delay that it causes."""
    (check,) = of(planned(row(0, binding_limit=Limit.PLUG_CHECK)), "maintenance")
    assert check.do_by_minute == at(13, 55)


def test_a_logged_check_is_not_asked_for_again() -> None:
    """What maintenance has done disappears from the list."""
    day = replace(DAY, checks=(PlugCheck(turnaround_id="LB104", minute=at(15, 10)),))
    assert of(PLAN, "maintenance", day) == []


def test_raised_risk_keeps_everyone_clear_from_in_block_on() -> None:
    """The stand hears of it when the aircraft comes in."""
    (clear,) = of(PLAN, "ground staff")
    assert clear.minute == clear.do_by_minute == at(13, 50)
    assert "until 15:05" in clear.what
    assert "raised, 3.4 %" in clear.missing_it


def test_a_missing_approach_minute_keeps_everyone_clear_at_low_risk_too() -> None:
    """When in doubt people stay away."""
    (clear,) = of(planned(row(0, approach_minute=None)), "ground staff")
    assert "give no time for an approach" in clear.what


def test_a_late_flight_is_told_to_gate_and_load_planner_before_its_target() -> None:
    """Told between in-block and TOBT, with the TOBT to set where the brakes decide."""
    tell = next(a for a in of(PLAN, "controller") if a.turnaround_id == "LB102")
    assert (tell.minute, tell.do_by_minute) == (at(13, 40), at(14, 20))
    assert "off-block 14:38, 18 min late" in tell.what
    assert "set the TOBT to 14:38" in tell.what
    assert "delay message" in tell.what


def test_a_short_delay_needs_no_delay_message() -> None:
    """The flight plan is looked at above fifteen minutes only."""
    late = {"waits_for": WaitsFor.BRAKES, "off_block_minute": at(14, 30)}
    (tell,) = of(planned(row(0, **late)), "controller")
    assert "delay message" not in tell.what


@pytest.mark.parametrize(
    ("late", "waits", "told"),
    [(2, WaitsFor.SLOT, 0), (3, WaitsFor.SLOT, 1), (2, WaitsFor.BRAKES, 1)],
)
def test_a_minute_or_two_for_a_slot_are_nobodys_action(
    late: int, waits: WaitsFor, told: int
) -> None:
    """Brakes need a new TOBT for any delay; a slot from three minutes on."""
    plan = planned(row(0, waits_for=waits, off_block_minute=at(14, 15) + late))
    assert len(of(plan, "controller")) == told


def test_waiting_for_a_slot_leaves_the_tobt_alone() -> None:
    """The aircraft is ready at its TOBT; only the slot is late."""
    tells = [a for a in of(PLAN, "controller") if a.turnaround_id == "LB103"]
    assert not any("set the TOBT" in action.what for action in tells)


def test_a_missed_ctot_is_asked_for_anew_by_the_last_minute_of_the_old_one() -> None:
    """CTOT 14:40 ends at 14:50; with 12 minutes of taxi that is 14:38 off-block."""
    ask = next(a for a in of(PLAN, "controller") if "new CTOT" in a.what)
    assert ask.do_by_minute == at(14, 38)
    assert "take-off 14:54 misses the slot 14:40, which ends 14:50" in ask.what


def test_a_held_aircraft_is_held_by_the_controller() -> None:
    """Gate and load planner hear that no time is known, and why."""
    hold = next(a for a in of(PLAN, "controller") if a.turnaround_id == "LB104")
    assert hold.what.startswith("Hold LB104, tell gate and load planner")
    assert "fuse plugs" in hold.what


def test_a_curfew_hold_asks_for_leave_or_a_night_stop() -> None:
    """The cause of the hold is the curfew, not the brakes."""
    held = {"off_block_minute": None, "relaxed": (Relaxation.CURFEW,)}
    (hold,) = of(planned(row(0, **held, waits_for=WaitsFor.SLOT)), "controller")
    assert "curfew or plan a night stop" in hold.what


def test_an_occupied_stand_sends_the_next_arrival_elsewhere() -> None:
    """LB106 comes to stand 2 at 15:30; another stand is needed five minutes before."""
    late = {"off_block_minute": at(15, 40), "relaxed": (Relaxation.STAND,)}
    plan = planned(row(1, **late, waits_for=WaitsFor.BRAKES))
    move = next(a for a in of(plan, "controller") if "another stand" in a.what)
    assert move.do_by_minute == at(15, 25)
    assert "LB106, in-block 15:30" in move.what


def test_an_aircraft_that_has_left_gets_no_action() -> None:
    """Neither a fan nor a check for an aircraft that is gone."""
    job = PLAN.turnarounds[1].fan_jobs
    gone = row(4, fan_jobs=job, binding_limit=Limit.PLUG_CHECK, approach_minute=None)
    assert DAY.turnarounds[4].off_block_basis is Basis.ACTUAL
    assert actions(planned(gone), DAY) == ()


@settings(max_examples=150, deadline=None)
@given(
    approach=st.none() | st.integers(at(13, 30), at(16, 0)),
    start=st.integers(at(13, 45), at(15, 0)),
    probability=st.floats(0.0, 1.0),
    limit=st.sampled_from(Limit),
    held=st.booleans(),
)
def test_nobody_is_ever_sent_to_a_wheel_before_the_approach_minute(
    approach: int | None, start: int, probability: float, limit: Limit, held: bool
) -> None:
    """Whatever a plan says, no action breaks the approach rule or says safe."""
    job = FanJob(fan_type="blower", units=1, start_minute=start, end_minute=start + 20)
    one = row(
        3,
        approach_minute=approach,
        fan_jobs=(job,),
        binding_limit=limit,
        heat=heat(probability, at(14, 0)),
        off_block_minute=None if held else at(15, 45),
    )
    for action in actions(planned(one), DAY):
        if sends_to_a_wheel(action):
            assert approach is not None
            assert action.minute >= approach
        assert "safe" not in f"{action.what} {action.missing_it}".lower()
