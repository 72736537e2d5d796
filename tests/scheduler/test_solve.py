"""From a day to a verified plan."""

from dataclasses import replace

import pytest

from scheduler import verify
from scheduler.choices import choices_of
from scheduler.day import Curfew, Day
from scheduler.decisions import objective_of
from scheduler.errors import DayError, UnverifiedPlanError
from scheduler.model import objective, search
from scheduler.options import Limit, OptionTable
from scheduler.plan import Plan, Relaxation, Status, WaitsFor
from scheduler.solve import SolveConfig, decide, plan_day
from tests.benchmarks.plain_days import make_day
from tests.scheduler.small_days import (
    BruteForce,
    blow,
    day_of,
    fan,
    flight,
    random_day,
    still,
    table,
)

CONFIG = SolveConfig(seconds=10)


def plan_of(day: Day, *tables: OptionTable, published: Plan | None = None) -> Plan:
    heat = [(one, None) for one in tables]
    return plan_day(day, CONFIG, published, tables=heat).plan


@pytest.mark.parametrize("seed", range(60))
def test_brute_force_equals_solver(seed: int):
    """On small random days the solver's value is the best of all plans."""
    day, tables = random_day(seed)
    _, proof = decide(day, tables, CONFIG)
    assert proof.objective == proof.bound == BruteForce(day, tables).value()


@pytest.mark.parametrize("seed", range(0, 60, 2))
def test_brute_force_equals_solver_against_a_published_plan(seed: int):
    """The same holds with changes counted against the plan of yesterday's tables."""
    day, tables = random_day(seed)
    published = plan_of(day, *tables)
    _, others = random_day(seed + 1000)
    mixed = [*tables[:2], *others[2:]]
    _, proof = decide(day, mixed, CONFIG, published)
    best = BruteForce(day, mixed, published).value()
    assert proof.objective == proof.bound == best


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_stages_one_by_one_equal_the_folded_sum(
    seed: int, monkeypatch: pytest.MonkeyPatch
):
    """Where numbers grow too large to fold, freezing stages gives the same value."""
    day, tables = random_day(seed)
    _, folded = decide(day, tables, CONFIG)
    monkeypatch.setattr(objective, "LARGEST", 0)
    _, frozen = decide(day, tables, CONFIG)
    assert frozen.objective == frozen.bound == folded.objective


@pytest.mark.parametrize("seed", range(30))
def test_every_plan_passes_the_check(seed: int):
    """The solver's own plan of a random day is never rejected."""
    day, tables = random_day(seed)
    result = plan_day(day, CONFIG, tables=[(one, None) for one in tables])
    assert result.rejected == ()
    assert result.plan.status in (Status.OPTIMAL, Status.RELAXED)


def test_the_same_day_gives_the_same_plan():
    """One worker and one seed: all but the seconds is equal."""
    day, tables = make_day(12, 2, seed=3)
    first, second = (plan_of(day, *tables) for _ in range(2))
    seconds = replace(second.proof, seconds=first.proof.seconds)
    assert first == replace(second, proof=seconds)


def test_waves_of_aircraft_are_proved_better_than_first_come():
    """On a busy day the proved plan costs less than first come, first served."""
    day, tables = make_day(16, 2, seed=7)
    plan = plan_of(day, *tables)
    choices = choices_of(day, tables)
    from scheduler.greedy import first_come_of

    first = first_come_of(day, choices)
    assert plan.status is Status.OPTIMAL
    assert plan.proof.objective < objective_of(first, choices, day, {})


def test_no_answer_falls_back_to_first_come():
    """Without time the first-come plan comes back, verified, and says so."""
    day, tables = make_day(12, 2, seed=5)
    config = SolveConfig(seconds=0)
    plan = plan_day(day, config, tables=[(one, None) for one in tables]).plan
    assert plan.status in (Status.FALLBACK, Status.RELAXED)
    assert plan.proof.solver == "first come"
    assert any("first-come" in note for note in plan.notes)


def test_a_solver_that_fails_falls_back(monkeypatch: pytest.MonkeyPatch):
    """An exception of the solver ends in the first-come plan, not in a traceback."""

    class Broken:
        parameters = search.cp_model.CpSolver().parameters

        def solve(self, model: object) -> None:
            raise RuntimeError("broken")

    monkeypatch.setattr(search.cp_model, "CpSolver", Broken)
    assert plan_of(day_of(flight("a")), table("a", still(620))).status is (
        Status.FALLBACK
    )


def test_a_rejected_plan_is_replaced_and_told(monkeypatch: pytest.MonkeyPatch):
    """A plan that fails its check is never returned; the first-come plan is."""
    real = verify.check_decisions
    fault = verify.Violation(
        code=verify.Code.HEAT, turnaround_id="a", where="x", expected="y", got="z"
    )

    def once(
        day: Day, plan: Plan, published: Plan | None = None, **_: object
    ) -> tuple[object, ...]:
        is_solved = plan.proof.solver.startswith("CP-SAT")
        return (fault,) if is_solved else real(day, plan, published, with_heat=False)

    monkeypatch.setattr(verify, "check_decisions", once)
    heat = [(table("a", still(620)), None)]
    result = plan_day(day_of(flight("a")), CONFIG, tables=heat)
    assert result.rejected == (fault,)
    assert result.plan.status is Status.FALLBACK
    assert "rejected" in result.plan.notes[-1]


def test_no_plan_is_returned_unverified(monkeypatch: pytest.MonkeyPatch):
    """If even the first-come plan fails its check there is an error with the faults."""
    fault = verify.Violation(
        code=verify.Code.HEAT, turnaround_id="a", where="x", expected="y", got="z"
    )
    monkeypatch.setattr(verify, "check_decisions", lambda *_, **__: (fault,))
    with pytest.raises(UnverifiedPlanError, match="a: x: expected y, got z"):
        plan_of(day_of(flight("a")), table("a", still(620)))


def test_a_finished_plan_is_checked_with_its_cautions():
    """What `finish` adds is in the plan that is checked and returned."""

    def finish(plan: Plan) -> Plan:
        return replace(plan, cautions=("Advisory only.",))

    heat = [(table("a", still(620)), None)]
    result = plan_day(day_of(flight("a")), CONFIG, tables=heat, finish=finish)
    assert result.plan.cautions == ("Advisory only.",)
    with pytest.raises(UnverifiedPlanError, match="cautions"):
        plan_day(day_of(flight("a")), CONFIG, tables=heat, finish=lambda plan: plan)


def test_an_impossible_day_names_rule_and_turnaround():
    """A day that no plan can keep comes back relaxed, with the rule at its row."""
    day = day_of(
        flight("a"),
        flight("b", ctot=600),
        curfews=(Curfew(from_minute=0, to_minute=2),),
    )
    plan = plan_of(day, table("a", still(610)), table("b", still(610)))
    assert plan.status is Status.RELAXED
    assert plan.of("b").relaxed == (Relaxation.CTOT,)
    assert plan.of("a").relaxed == ()


def test_a_published_plan_is_kept_where_that_costs_nothing():
    """Of two fan jobs that are equally good the published one stays."""
    day = day_of(flight("a"), fans=(fan(),))
    options = [still(640), blow(602, 606, 614), blow(603, 607, 614)]
    first = plan_of(day, table("a", options[0], options[2]))
    again = plan_of(day, table("a", *options), published=first)
    assert again.of("a").fan_jobs == first.of("a").fan_jobs
    assert again.proof.objective[2] == 0


def test_a_published_plan_does_not_cost_delay():
    """Less delay is worth any change."""
    day = day_of(flight("a"), fans=(fan(),))
    first = plan_of(day, table("a", still(640)))
    better = plan_of(day, table("a", still(640), blow(602, 606, 614)), published=first)
    assert better.of("a").off_block_minute == 614
    assert better.proof.objective[2] == 1


@pytest.mark.parametrize(
    ("tables", "expected"),
    [
        ([table("a", still(605))], WaitsFor.NOTHING),
        ([table("a", still(620))], WaitsFor.BRAKES),
        ([table("a", still(620, Limit.PLUG_CHECK))], WaitsFor.CHECK),
        ([table("a", still(None))], WaitsFor.BRAKES),
        ([table("a", still(None, Limit.PLUG_CHECK))], WaitsFor.CHECK),
    ],
)
def test_waits_for_follows_the_brakes(tables: list[OptionTable], expected: WaitsFor):
    """What a flight waits for when it has all fans and the runway to itself."""
    assert plan_of(day_of(flight("a")), *tables).of("a").waits_for is expected


def test_waits_for_a_fan_that_serves_another():
    """An aircraft that a free fan would have let go earlier waits for the fan."""
    day = day_of(flight("a"), flight("b"), fans=(fan(),))
    first = table("a", still(620), blow(602, 610, 613))
    second = table("b", still(650), blow(602, 610, 613))
    plan = plan_of(day, first, second)
    assert plan.of("a").waits_for is WaitsFor.FAN
    assert plan.of("b").waits_for is WaitsFor.BRAKES


def test_waits_for_the_runway_and_the_curfew():
    """Runway, slot and curfew are all a wait for a slot."""
    day = day_of(flight("a"), flight("b", target=611))
    plan = plan_of(day, table("a", still(600)), table("b", still(600)))
    assert plan.of("b").waits_for is WaitsFor.SLOT
    closed = day_of(flight("a"), curfews=(Curfew(from_minute=0, to_minute=1440),))
    assert plan_of(closed, table("a", still(600))).of("a").waits_for is WaitsFor.SLOT


@pytest.mark.parametrize(
    ("ready", "limit", "expected"),
    [
        (605, Limit.STOPPING, WaitsFor.SLOT),
        (614, Limit.PLUG_CHECK, WaitsFor.SLOT),
        (615, Limit.STOPPING, WaitsFor.BRAKES),
        (616, Limit.PLUG_CHECK, WaitsFor.CHECK),
        (620, Limit.TABLE, WaitsFor.BRAKES),
    ],
)
def test_the_larger_share_of_a_delay_counts(
    ready: int, limit: Limit, expected: WaitsFor
):
    """Target 610, curfew until 620: the brakes count from half of the delay on."""
    day = day_of(flight("a"), curfews=(Curfew(from_minute=0, to_minute=630),))
    plan = plan_of(day, table("a", still(ready, limit)))
    assert plan.of("a").off_block_minute == 620
    assert plan.of("a").waits_for is expected


def test_whoever_waits_is_told_each_step():
    """Heat is told only where it is computed; plan and check always are."""
    told: list[str] = []
    plan_day(
        day_of(flight("a")),
        CONFIG,
        tables=[(table("a", still(605)), None)],
        tell=told.append,
    )
    assert told == [
        "Looking for the plan that loses least",
        "Checking the plan with a second integration",
    ]
    told.clear()
    plan_day(day_of(), CONFIG, tell=told.append)
    assert told[0] == "Heat of 0 landings, 0 brake types"


@pytest.mark.parametrize(
    "wrong", [{"seconds": -1}, {"seconds": float("nan")}, {"workers": 0}]
)
def test_a_wrong_configuration_is_refused(wrong: dict[str, float]):
    """Times and counts that cannot be are refused at once."""
    with pytest.raises(DayError):
        SolveConfig(**wrong)  # type: ignore[arg-type]
