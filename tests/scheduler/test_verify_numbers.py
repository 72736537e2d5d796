"""Numbers of a plan that are none, or that mean nothing."""

from dataclasses import replace
from functools import partial

import pytest
from good_plan import make_day, make_heat, make_job, make_plan, with_row

from scheduler import verify
from scheduler.plan import Curve
from scheduler.verify import Code

check = partial(verify.check, with_heat=False)

DAY = make_day()
PLAN = make_plan(DAY)
NAN = float("nan")


def found(plan) -> list[tuple[Code, str]]:
    return [(fault.code, fault.where) for fault in check(DAY, plan)]


@pytest.mark.parametrize("value", [NAN, 640.0, "640", True])
def test_minute_that_is_no_integer(value: object):
    """A minute that is no whole number is the only fault that is told."""
    where = "plan.turnarounds[A1].off_block_minute"
    plan = with_row(PLAN, "A1", off_block_minute=value)
    assert found(plan) == [(Code.NUMBER, where)]


def test_minute_that_must_be_there():
    """In-block cannot be missing."""
    plan = with_row(PLAN, "A1", in_block_minute=None)
    assert found(plan) == [(Code.NUMBER, "plan.turnarounds[A1].in_block_minute")]


def test_fan_job_with_half_a_unit():
    """Units are whole."""
    plan = with_row(PLAN, "B2", fan_jobs=(make_job(units=1.5),))
    assert found(plan) == [(Code.NUMBER, "plan.turnarounds[B2].fan_jobs[0].units")]


@pytest.mark.parametrize("value", [NAN, float("inf"), None, "low"])
def test_probability_that_is_no_number(value: object):
    """A release probability that cannot be read is a fault, never a low risk."""
    heat = replace(make_heat(), release_probability=value)
    where = "plan.turnarounds[A1].heat.release_probability"
    assert found(with_row(PLAN, "A1", heat=heat)) == [(Code.NUMBER, where)]


def test_curve_with_a_hole():
    """One value of a curve that is none is a fault."""
    curve = Curve(
        position="2",
        minutes=(600, 601),
        stack_c=(400.0, NAN),
        wheel_c=(90.0, 91.0),
        plug_c=(80.0, 81.0),
        indicated_c=(200.0, 210.0),
    )
    heat = replace(make_heat(), curves=(curve,))
    where = "plan.turnarounds[A1].heat.curves[2].stack_c"
    assert found(with_row(PLAN, "A1", heat=heat)) == [(Code.NUMBER, where)]


def test_objective_of_fractions():
    """Stages are whole numbers."""
    proof = replace(PLAN.proof, objective=(0, 40.0, 0, 51))
    assert found(replace(PLAN, proof=proof)) == [(Code.NUMBER, "plan.proof.objective")]


@pytest.mark.parametrize(
    ("field", "value"), [("gap", -0.1), ("seconds", -1.0), ("gap", NAN)]
)
def test_proof_out_of_range(field: str, value: float):
    """A negative gap or time is a fault."""
    proof = replace(PLAN.proof, **{field: value})
    assert found(replace(PLAN, proof=proof)) == [(Code.NUMBER, f"plan.proof.{field}")]


def test_no_samples():
    """A plan from no sample at all is a fault."""
    assert found(replace(PLAN, sample_count=0)) == [(Code.NUMBER, "plan.sample_count")]


@pytest.mark.parametrize("value", [-0.1, 1.5])
def test_probability_out_of_range(value: float):
    """A probability lies between zero and one."""
    heat = replace(make_heat(), release_probability=value)
    where = "plan.turnarounds[A1].heat.release_probability"
    assert (Code.NUMBER, where) in found(with_row(PLAN, "A1", heat=heat))
