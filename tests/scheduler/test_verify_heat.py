"""The second integration of the heat finds departures and approaches that are early."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from heated_day import heated_day, heated_plan

from scheduler.cases import build_case
from scheduler.day import Basis
from scheduler.plan import Plan, PlannedTurnaround
from scheduler.verify import Code, check_decisions, heat
from scheduler.verify.departure_limits import TOLERANCE_K, Broken, broken_limits
from scheduler.verify.heat import heat_violations
from scheduler.verify.other_draws import hottest_rows, spare_samples
from scheduler.verify.witness import Witness, witness_of
from thermal.brake import Brake
from thermal.sampling import bound_rank

STILL = heated_day(with_fans=False)
BLOWN = heated_day(with_fans=True)


def still_plan() -> Plan:
    return heated_plan(with_fans=False)


def blown_plan() -> Plan:
    return heated_plan(with_fans=True)


def changed(plan: Plan, row: PlannedTurnaround, **values: object) -> Plan:
    """The plan with one row changed."""
    rows = [replace(r, **values) if r.id == row.id else r for r in plan.turnarounds]
    return replace(plan, turnarounds=tuple(rows))


def early(plan: Plan, row: PlannedTurnaround, minutes: int) -> Plan:
    """The plan with brake-ready and off-block of one row so much before brake-ready."""
    minute = row.brake_ready_minute - minutes
    return changed(
        plan,
        row,
        off_block_minute=minute,
        brake_ready_minute=minute,
        brake_ready_still_air_minute=minute,
    )


def found(day, plan: Plan) -> list[tuple[Code, str | None]]:
    return [(fault.code, fault.turnaround_id) for fault in heat_violations(day, plan)]


def test_a_clean_plan_keeps_every_limit():
    """Plans in still air and with fans pass the whole check, heat included."""
    assert check_decisions(STILL, still_plan()) == ()
    assert check_decisions(BLOWN, blown_plan()) == ()
    assert any(row.fan_jobs for row in blown_plan().turnarounds)


def test_leaving_ten_minutes_early_is_found():
    """Off-block and brake-ready moved together are no longer what the brakes allow."""
    plan = still_plan()
    for row in plan.turnarounds:
        faults = set(found(STILL, early(plan, row, 10)))
        assert faults == {(Code.HEAT, row.id)}


def test_an_early_departure_is_part_of_the_check():
    """The check that every plan goes through tells it too."""
    plan = still_plan()
    moved = early(plan, plan.turnarounds[0], 10)
    codes = {fault.code for fault in check_decisions(STILL, moved)}
    assert Code.HEAT in codes
    without = check_decisions(STILL, moved, with_heat=False)
    assert Code.HEAT not in {fault.code for fault in without}


def test_a_fan_that_never_came_is_found():
    """Without its air the off-block of a fan job is too early."""
    plan = blown_plan()
    row = next(row for row in plan.turnarounds if row.fan_jobs)
    assert (Code.HEAT, row.id) in found(BLOWN, changed(plan, row, fan_jobs=()))


def first_ones(failing: int) -> Callable[..., tuple[Broken, ...]]:
    """A judge that finds the first so many draws too hot."""
    calls = iter(range(100))

    def judge(*_: object) -> tuple[Broken, ...]:
        return (Broken.above("stack", 500.0, 600.0),) * (next(calls) < failing)

    return judge


@pytest.mark.parametrize("with_fan", [False, True])
def test_the_named_draw_has_to_keep_every_limit(
    monkeypatch: pytest.MonkeyPatch, with_fan: bool
):
    """It is the one that set brake-ready, in still air and behind a fan."""
    plan = blown_plan()
    row = next(row for row in plan.turnarounds if bool(row.fan_jobs) is with_fan)
    monkeypatch.setattr(heat, "broken_limits", first_ones(1))
    (fault,) = heat_violations(BLOWN, replace(plan, turnarounds=(row,)))
    assert fault.where.startswith("stack, brake")


@pytest.mark.parametrize(("failing", "is_found"), [(1, False), (2, True)])
def test_more_draws_have_to_be_above_the_approach_threshold_than_may(
    monkeypatch: pytest.MonkeyPatch, failing: int, is_found: bool
):
    """Of 512 draws one may be, and the named one can be that one."""
    plan = blown_plan()
    row = next(row for row in plan.turnarounds if row.fan_jobs)
    monkeypatch.setattr(heat, "above_threshold", first_ones(failing))
    alone = replace(plan, turnarounds=(row,))
    assert bool(heat_violations(BLOWN, alone)) is is_found


def test_leaving_beside_the_fan_is_found():
    """An indication that a fan still disturbs does not count."""
    plan = blown_plan()
    row = next(row for row in plan.turnarounds if row.fan_jobs)
    end = row.fan_jobs[0].end_minute
    moved = changed(plan, row, off_block_minute=end + 2)
    faults = heat_violations(BLOWN, moved)
    assert any("minutes after the fan's end" in fault.expected for fault in faults)


def test_people_at_a_wheel_above_the_threshold_are_found():
    """A stricter threshold makes the same set-up too early, unless it is remote."""
    plan = blown_plan()
    rule = replace(BLOWN.station.approach, max_stack_k=500.0)
    strict = replace(BLOWN, station=replace(BLOWN.station, approach=rule))
    faults = heat_violations(strict, plan)
    assert {fault.turnaround_id for fault in faults} == {
        row.id for row in plan.turnarounds if row.fan_jobs
    }
    assert all("stack while people handle fan" in fault.where for fault in faults)
    remote = tuple(replace(fan, remote=True) for fan in strict.station.fans)
    far = replace(strict, station=replace(strict.station, fans=remote))
    assert heat_violations(far, plan) == ()


def test_a_departure_without_a_summary_is_found():
    """A departure that no heat stands behind is a fault."""
    plan = still_plan()
    row = plan.turnarounds[0]
    assert found(STILL, changed(plan, row, heat=None)) == [(Code.HEAT, row.id)]


@pytest.mark.parametrize("values", [{"binding_position": "9"}, {"binding_sample": 512}])
def test_a_draw_that_is_not_there_is_found(values: dict[str, object]):
    """The named brake and draw have to be those of the turnaround."""
    plan = still_plan()
    row = plan.turnarounds[0]
    moved = changed(plan, row, heat=replace(row.heat, **values))
    assert found(STILL, moved) == [(Code.HEAT, row.id)]


@pytest.mark.parametrize(
    "values",
    [{"sample_count": 500}, {"seed": -1}, {"sample_count": 0}, {"sample_count": 256}],
)
def test_draws_that_cannot_be_made_again_are_found(values: dict[str, int]):
    """Seed and count have to give draws, and enough for the confidence."""
    assert found(STILL, replace(still_plan(), **values)) == [(Code.HEAT, None)]


def test_an_unknown_brake_is_a_violation_and_no_crash():
    """A type whose brake is in no catalogue cannot be integrated."""
    strange = tuple(replace(one, brake="unheard-of") for one in STILL.aircraft)
    faults = heat_violations(replace(STILL, aircraft=strange), still_plan())
    assert [fault.code for fault in faults] == [Code.HEAT] * 3
    assert all("unheard-of" in fault.got for fault in faults)


def test_gone_and_held_aircraft_are_left_out():
    """Only a departure that is still a decision is integrated."""
    plan = still_plan()
    gone, held = plan.turnarounds[:2]
    moved = changed(early(plan, gone, 12), held, off_block_minute=None, heat=None)
    day = replace(
        STILL,
        turnarounds=tuple(
            replace(one, off_block_basis=Basis.ACTUAL) if one.id == gone.id else one
            for one in STILL.turnarounds
        ),
    )
    assert found(day, moved) == []


@pytest.fixture(scope="module")
def leaving() -> tuple[Brake, Witness]:
    """One brake of the first turnaround, an hour after in-block."""
    given = STILL.turnarounds[0]
    case = build_case(STILL, given, sample_count=64, seed=1)
    return case.brake, witness_of(STILL, case, 5, (), given.in_block_minute + 60)


def after_stop_k(witness: Witness, line_up: float) -> float:
    """Temperature at the end of an accelerate-stop from an enthalpy at line-up."""
    return float(witness.history.stack_at_k(line_up + witness.stop_j_per_kg))


def reached(brake: Brake, witness: Witness) -> dict[str, float]:
    """What each limit of the brake is compared with, kelvin."""
    history, away = witness.history, slice(witness.off_block, None)
    hottest = history.enthalpy(history.hottest_k[witness.line_up])
    return {
        "disc_k": after_stop_k(witness, float(hottest)),
        "wheel_well_k": float(history.hottest_k[witness.retraction]),
        "indicated_k": float(history.node_k("indicator")[witness.off_block]),
        "housing_k": float(history.node_k("piston housing")[away].max()),
        "bead_k": float(history.node_k("tyre bead")[away].max()),
        "wheel_k": max(
            float(history.node_k(f"wheel {half}board")[away].max())
            for half in ("in", "out")
        ),
    }


@pytest.mark.parametrize(
    "name",
    ["disc_k", "wheel_well_k", "indicated_k", "housing_k", "bead_k", "wheel_k"],
)
def test_each_limit_is_looked_at(leaving: tuple[Brake, Witness], name: str):
    """A limit a little lower than what is reached breaks that limit alone."""
    brake, witness = leaving
    assert broken_limits(brake, witness, ()) == ()
    for below_k, count in ((TOLERANCE_K - 0.1, 0), (TOLERANCE_K + 0.1, 1)):
        limit_k = reached(brake, witness)[name] - below_k
        lower = replace(brake, limits=replace(brake.limits, **{name: limit_k}))
        assert len(broken_limits(lower, witness, ())) == count


def test_the_mean_stack_is_looked_at(leaving: tuple[Brake, Witness]):
    """The stack's enthalpy with the stop's share has its own limit."""
    brake, witness = leaving
    stack = witness.history.stack_j_per_kg[witness.line_up] + witness.stop_j_per_kg
    for share, count in ((0.999, 0), (0.99, 1)):
        limits = replace(brake.limits, stack_j_per_kg=float(stack) * share)
        broken = broken_limits(replace(brake, limits=limits), witness, ())
        assert len(broken) == count
        assert all(one.limit == "stack after an accelerate-stop" for one in broken)


def test_the_plug_is_looked_at_until_two_hours_after_retraction(
    leaving: tuple[Brake, Witness],
):
    """The plug's peak from off-block on is held against release less margin."""
    brake, witness = leaving
    plug_k = witness.history.node_k("plug")[witness.off_block :]
    after_s = witness.history.time_s[-1] - witness.history.time_s[witness.retraction]
    assert after_s == pytest.approx(7200.0)
    for below_k, count in ((TOLERANCE_K - 0.1, 0), (TOLERANCE_K + 0.1, 1)):
        release_k = float(plug_k.max()) + brake.plug.margin_k - below_k
        lower = replace(brake, plug=replace(brake.plug, release_k=release_k))
        assert len(broken_limits(lower, witness, ())) == count


def test_an_indication_before_its_lag_does_not_count(leaving: tuple[Brake, Witness]):
    """The lag counts from the stop, so taxi-in is part of it."""
    brake, witness = leaving
    since_stop_s = 60.0 * (60 + witness.taxi_in_minutes)
    for lag_s, count in ((since_stop_s, 0), (since_stop_s + 1.0, 1)):
        limits = replace(brake.limits, indicated_valid_after_s=lag_s)
        assert len(broken_limits(replace(brake, limits=limits), witness, ())) == count


@pytest.mark.parametrize("count", [299, 512, 1024, 4096])
def test_spare_samples_match_the_bound(count: int):
    """As many may fail as lie above the sample that sets the bound."""
    assert spare_samples(count, 0.99, 0.95) == count - bound_rank(count, 0.99, 0.95)


def test_too_few_samples_spare_less_than_none():
    """298 samples cannot hold 99 % at 95 % (Wilks 1941: 299 is the least)."""
    assert spare_samples(298, 0.99, 0.95) == -1


def test_hottest_rows_are_other_samples_and_the_hottest():
    """The named sample is left out; heat per kilogram falls along the list."""
    case = build_case(STILL, STILL.turnarounds[0], sample_count=64, seed=1)
    rows = hottest_rows(case, 3, 8)
    brakes = len(case.positions)
    samples = [row // brakes for row in rows]
    assert len(set(samples)) == 8
    assert 3 not in samples
    heat = (case.rows.arrival_j + case.rows.stop_j) / case.rows.stack_fraction
    assert np.mean(heat[rows]) > np.quantile(heat, 0.8)
