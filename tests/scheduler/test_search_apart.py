"""The search in a process of its own: the same answer, and none lost when it dies."""

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from scheduler.plan import Status
from scheduler.solve import SolveConfig, apart, improve, plan_day
from tests.benchmarks.plain_days import make_day
from tests.scheduler.small_days import random_day

CONFIG = SolveConfig(seconds=20, apart=True)


def heat_of(tables):
    """Tables without heat summaries."""
    return [(one, None) for one in tables]


@pytest.mark.parametrize("seed", [1, 5])
def test_the_same_answer_as_in_one_process(seed: int):
    """Decisions find their way back from the other process."""
    day, tables = random_day(seed)
    there = apart.improve_apart(day, tables, CONFIG)
    here = improve(day, tables, CONFIG)
    assert there.decisions == here.decisions
    assert there.proof.objective == here.proof.objective
    assert there.proof.bound == here.proof.bound


def test_a_search_that_dies_leaves_the_first_come_plan(monkeypatch):
    """The plan says that it is a fallback, and it is checked."""
    monkeypatch.setattr(apart, "_WORKER", "import os; os.abort()")
    day, tables = make_day(8, 2, seed=3)
    plan = plan_day(day, CONFIG, tables=heat_of(tables)).plan
    assert plan.status is Status.FALLBACK
    assert any("first-come" in note for note in plan.notes)


def test_a_search_that_is_stopped_keeps_the_best_so_far(monkeypatch):
    """Ctrl-C after the first better plan: that one comes out, verified."""
    day, tables = make_day(8, 2, seed=3)
    real, calls = apart._next, []

    def stop_at_the_second(pipe):
        if calls:
            raise KeyboardInterrupt
        calls.append(1)
        return real(pipe)

    monkeypatch.setattr(apart, "_next", stop_at_the_second)
    plan = plan_day(day, CONFIG, tables=heat_of(tables)).plan
    assert plan.status in (Status.FEASIBLE, Status.OPTIMAL)
    assert any("stopped by hand" in note for note in plan.notes)


def test_what_a_lost_solver_was_given_can_be_run_again(tmp_path: Path):
    """A process killed while it solves leaves model, hint, parameters and log."""
    folder = tmp_path / "rescue"
    code = f"""
from pathlib import Path
from scheduler.solve import SolveConfig, improve
from tests.benchmarks.plain_days import make_day
import scheduler.model.search as search
import os
search.cp_model.CpSolver.solve = lambda self, model: os.abort()
day, tables = make_day(8, 2, seed=3)
improve(day, tables, SolveConfig(seconds=20, rescue=Path({str(folder)!r})))
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, cwd=Path.cwd()
    )
    assert done.returncode == -signal.SIGABRT
    names = {path.name for path in folder.iterdir()}
    assert names == {"model.pb", "parameters.txt", "solver.log"}
    assert (folder / "model.pb").stat().st_size > 1000


def test_a_solver_that_comes_back_leaves_nothing(tmp_path: Path):
    """The folder goes when there is an answer."""
    day, tables = make_day(6, 2, seed=3)
    folder = tmp_path / "rescue"
    improve(day, tables, SolveConfig(seconds=20, rescue=folder))
    assert not folder.exists()
