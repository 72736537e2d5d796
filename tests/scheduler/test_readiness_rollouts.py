"""The full-length rollout beside the planned landing: tables, plan, second look."""

from dataclasses import dataclass, replace
from functools import cache

import pytest
from heated_day import EARLY, sample_day

from scheduler.cases.full_length import FULL_LENGTH
from scheduler.day import Basis, Day, Exit, Landing, Reverse, Runway
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan
from scheduler.readiness import tables_of
from scheduler.readiness.fan_jobs import WORTH_MINUTES
from scheduler.report.tradeoff_text import curve_headline
from scheduler.solve import SolveConfig, plan_day
from scheduler.tradeoff import Weigher
from scheduler.tradeoff.curve import bare_curve
from scheduler.verify import Code
from scheduler.verify.heat import heat_violations
from tests.benchmarks.readiness import HEAT_LIMITS, exact_minute

SAMPLE = sample_day()
RUNWAY = Runway(
    name="long",
    heading_deg=270.0,
    landing_distance_m=3600.0,
    exits=(
        Exit(name="near", distance_m=1500.0, speed_m_per_s=14.0),
        Exit(name="far", distance_m=3300.0, speed_m_per_s=14.0),
    ),
)
# Far enough to be worth asking, near enough that a fan helps all the same.
FOR_FANS = (RUNWAY.exits[0], replace(RUNWAY.exits[1], distance_m=1900.0))
GIVEN = next(one for one in SAMPLE.turnarounds if one.id == "SB105")
AIRCRAFT = SAMPLE.aircraft_of(GIVEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settings:
    seed: int = 1
    sample_count: int = 512


@cache
def day_with(basis: Basis = Basis.ESTIMATED, *, fans: bool = False) -> Day:
    """One heavy arrival to a near exit that has to leave soon; sooner with fans."""
    landing = Landing(
        weight_kg=0.97 * AIRCRAFT.maximum_landing_kg,
        runway="long",
        exit="near",
        reverse=Reverse.IDLE,
        deceleration_m_per_s2=2.4,
        touchdown_m=450.0,
    )
    one = replace(
        GIVEN,
        in_block_basis=basis,
        target_off_block_minute=GIVEN.in_block_minute + (3 if fans else 25),
        landing=landing,
        departure=replace(
            GIVEN.departure,
            ctot_minute=None,
            take_off_weight_kg=0.9 * AIRCRAFT.maximum_take_off_kg,
        ),
    )
    station = replace(
        SAMPLE.station,
        runways=(
            replace(RUNWAY, exits=FOR_FANS) if fans else RUNWAY,
            *SAMPLE.station.runways,
        ),
        fans=SAMPLE.station.fans if fans else (),
        approach=EARLY if fans else SAMPLE.station.approach,
    )
    return replace(SAMPLE, station=station, turnarounds=(one,))


@cache
def answer(
    basis: Basis = Basis.ESTIMATED, *, fans: bool = False
) -> tuple[OptionTable, HeatSummary]:
    found = tables_of(day_with(basis, fans=fans), [0], _Settings())
    return next(iter(found.values()))


@cache
def plan() -> Plan:
    return plan_day(day_with(), SolveConfig(seconds=5, sample_count=512)).plan


def test_it_is_offered_beside_the_planned_landing() -> None:
    """Earlier in still air, to be asked for in time, with heat of its own."""
    table, text = answer()
    longer = [option for option in table.options if option.rollout is not None]
    assert {option.rollout for option in longer} == {FULL_LENGTH}
    still, first = table.still_air.ready_minute, longer[0].ready_minute
    assert still is not None
    assert first is not None
    assert first <= still - WORTH_MINUTES
    day = day_with()
    landing = day.landing_minute(day.turnarounds[0])
    asked = landing - day.station.rollout_request_minutes
    assert table.rollout_deadline_minute == asked
    ((name, other),) = text.rollouts
    assert name == FULL_LENGTH
    assert other.plug_peak_c < text.plug_peak_c
    assert other.brakes[0].energy_mj < text.brakes[0].energy_mj


def test_fan_jobs_are_looked_at_for_both_landings() -> None:
    """Nobody goes to the wheels earlier than after the planned landing."""
    day, (table, _) = day_with(fans=True), answer(fans=True)
    assert table.approach_minute is not None
    for rollout in (None, FULL_LENGTH):
        starts = [
            option.start_minute - day.fan(option.fan).setup_minutes
            for option in table.options
            if option.rollout == rollout and option.fan and option.start_minute
        ]
        assert starts
        assert min(starts) >= table.approach_minute


def test_after_landing_nobody_is_asked() -> None:
    """The rollout is over."""
    table, text = answer(Basis.ACTUAL)
    assert {option.rollout for option in table.options} == {None}
    assert table.rollout_deadline_minute is None
    assert text.rollouts == ()


def test_brute_force_finds_the_same_minute() -> None:
    """Every sample and brake after the longer rollout, minute by minute."""
    day, (table, _) = day_with(), answer()
    option = next(one for one in table.options if one.rollout is not None)
    if option.binding not in HEAT_LIMITS:
        pytest.fail(f"a limit on heat is to bind, not {option.binding}")
    exact = exact_minute(day, day.turnarounds[0], option, _Settings())
    assert exact is not None
    assert 0 <= (option.ready_minute or 0) - exact <= 1


def test_the_plan_asks_and_the_second_integration_agrees() -> None:
    """Without a fan it is the only way to leave earlier; its heat is in the row."""
    (row,) = plan().turnarounds
    table, text = answer()
    assert row.rollout == FULL_LENGTH
    assert row.rollout_deadline_minute == table.rollout_deadline_minute
    assert row.brake_ready_still_air_minute == table.still_air.ready_minute
    assert row.heat is not None
    assert row.heat.rollouts == ()
    assert row.heat.plug_peak_c == text.rollouts[0][1].plug_peak_c
    assert heat_violations(day_with(), plan()) == ()


def test_the_second_integration_follows_the_landing_that_is_named() -> None:
    """The draw that binds after the planned landing: too hot then, and only then."""
    (row,) = plan().turnarounds
    sample, position = answer()[0].still_air.witness or (0, "")
    assert row.heat is not None
    heat = replace(row.heat, binding_sample=sample, binding_position=position)
    codes = []
    for rollout in (FULL_LENGTH, None):
        changed = replace(row, rollout=rollout, heat=heat)
        found = heat_violations(day_with(), replace(plan(), turnarounds=(changed,)))
        codes.append({one.code for one in found})
    assert codes == [set(), {Code.HEAT}]


@pytest.mark.parametrize("basis", [Basis.ACTUAL, Basis.ESTIMATED])
def test_a_rollout_nobody_may_ask_for_is_a_fault(basis: Basis) -> None:
    """After landing, or one that is not known."""
    (row,) = plan().turnarounds
    name = FULL_LENGTH if basis is Basis.ACTUAL else "somewhere"
    odd = replace(plan(), turnarounds=(replace(row, rollout=name),))
    (found,) = heat_violations(day_with(basis), odd)
    assert (found.code, found.where) == (Code.HEAT, "rollout")


def test_a_fan_after_the_peak_takes_no_check_away() -> None:
    """Plugs that came near release before its air are to be looked at all the same."""
    day = day_with()
    day = replace(day, station=replace(day.station, fans=SAMPLE.station.fans))
    table, _ = next(iter(tables_of(day, [0], _Settings()).values()))
    (check,) = table.duties
    late = [
        option
        for option in table.options
        if option.rollout is None and (option.start_minute or 0) > check.earliest_minute
    ]
    assert late
    assert all(option.needs_check for option in late)


def test_weights_land_as_the_plan_asks() -> None:
    """The weight curve of a flight with the rollout has the plan's brake-ready."""
    row = plan().turnarounds[0]
    day = day_with()
    weigher = Weigher(
        day,
        day.turnarounds[0],
        job=None,
        planned_minute=row.brake_ready_minute,
        sample_count=512,
        seed=1,
        rollout=row.rollout,
    )
    assert row.brake_ready_minute != row.brake_ready_still_air_minute
    assert weigher.shift_minutes == 0
    words = curve_headline(bare_curve(weigher))
    assert "after the full length rollout that the plan asks for" in words
    assert " UTC at the earliest" in words
