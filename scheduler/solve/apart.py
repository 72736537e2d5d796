"""The search in a process of its own.

Enters and leaves the same as `improve`. The worker is a fresh interpreter that sends
each better plan as soon as it has one. If it dies, or the person at the keyboard has
seen enough, the best plan so far is what comes out, with the bound known by then.
"""

import os
import pickle
import subprocess
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from time import perf_counter
from typing import IO

from scheduler.choices import Choices, choices_of
from scheduler.day import Day
from scheduler.decisions import Decisions, Objective, decision_of, published_rows
from scheduler.options import OptionTable
from scheduler.plan import Plan, PlannedDuty
from scheduler.solve.config import Outcome, SolveConfig
from scheduler.solve.improve import best_start, improve, outcome_of

_WORKER = f"from {__name__} import main; raise SystemExit(main())"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """A decision that survives the way from one process to another.

    ``way`` counts the usable options of the turnaround; None is still air as it is.
    """

    way: int | None
    off_block_minute: int | None
    duties: tuple[PlannedDuty, ...]
    towed: bool


def improve_apart(
    day: Day,
    tables: Iterable[OptionTable],
    config: SolveConfig,
    published: Plan | None = None,
) -> Outcome:
    """Improve the first-come decisions in a process of its own."""
    started = perf_counter()
    given = tuple(tables)
    choices, rows = choices_of(day, given), published_rows(published)
    best = best_start(day, choices, rows)
    bound: Objective | None = None
    worker = _start((day, given, replace(config, apart=False), published))
    try:
        while (news := _next(worker.stdout)) is not None:
            best, bound = _decisions(choices, news[0]), news[1]
    except KeyboardInterrupt:
        stopped = outcome_of(day, choices, rows, best, bound, started)
        return replace(stopped, is_fallback=False, is_interrupted=True)
    finally:
        _end(worker)
    return outcome_of(day, choices, rows, best, bound, started)


def _start(arguments: object) -> "subprocess.Popen[bytes]":
    path = os.pathsep.join(entry for entry in sys.path if entry) or "."
    worker = subprocess.Popen(
        [sys.executable, "-c", _WORKER],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": path},
        start_new_session=True,
    )
    if worker.stdin is not None:
        try:
            pickle.dump(arguments, worker.stdin)
            worker.stdin.close()
        except BrokenPipeError:
            pass
    return worker


def _next(pipe: IO[bytes] | None) -> tuple[tuple[Chosen, ...], Objective] | None:
    """Next better plan; None when the worker has ended, well or not."""
    if pipe is None:
        return None
    try:
        news: tuple[tuple[Chosen, ...], Objective] = pickle.load(pipe)
    except (EOFError, pickle.UnpicklingError):
        return None
    return news


def _end(worker: "subprocess.Popen[bytes]") -> None:
    worker.kill()
    if worker.stdout is not None:
        worker.stdout.close()
    worker.wait()


def _chosen(choices: Sequence[Choices], decisions: Decisions) -> tuple[Chosen, ...]:
    return tuple(
        Chosen(
            way=next(
                (
                    number
                    for number, way in enumerate(one.coolings)
                    if way.option is decision.option
                ),
                None,
            ),
            off_block_minute=decision.off_block_minute,
            duties=decision.duties,
            towed=decision.towed,
        )
        for one, decision in zip(choices, decisions, strict=True)
    )


def _decisions(choices: Sequence[Choices], chosen: Iterable[Chosen]) -> Decisions:
    return tuple(
        decision_of(
            one,
            one.still_air if it.way is None else one.coolings[it.way].option,
            it.off_block_minute,
            it.duties,
            towed=it.towed,
        )
        for one, it in zip(choices, chosen, strict=True)
    )


def main() -> int:
    """Run one search: arguments from standard input, better plans to the output."""
    day, tables, config, published = pickle.load(sys.stdin.buffer)
    choices = choices_of(day, tables)

    def send(decisions: Decisions, bound: Objective) -> None:
        pickle.dump((_chosen(choices, decisions), bound), sys.stdout.buffer)
        sys.stdout.buffer.flush()

    outcome = improve(day, tables, config, published, better=send)
    if not outcome.is_fallback:
        send(outcome.decisions, outcome.proof.bound)  # type: ignore[arg-type]
    return 0
