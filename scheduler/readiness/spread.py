"""Work spread over processes that start clean, without the caller's main module.

Enters: a function of a module, its arguments. Leaves: results in their order. The
workers are fresh interpreters fed through pipes, so that a script without a main guard
can plan a day, and nothing of the caller runs twice.
"""

import os
import pickle
import subprocess
import sys
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

Result = TypeVar("Result")
_WORKER = f"from {__name__} import main; raise SystemExit(main())"


def spread(
    work: Callable[..., Result],
    arguments: Sequence[tuple[Any, ...]],
    weights: Sequence[float],
    processes: int,
) -> list[Result]:
    """Call ``work(*arguments[k])`` for every k, on so many processes.

    The heaviest go first, each to the process with the least to do so far; this
    process takes part, and does the share of a worker that died.
    """
    shares = _shares(weights, processes)
    workers = [_start(work, [arguments[k] for k in share]) for share in shares[1:]]
    try:
        results: dict[int, Result] = {k: work(*arguments[k]) for k in shares[0]}
        for worker, share in zip(workers, shares[1:], strict=True):
            found = _finish(worker) or [work(*arguments[k]) for k in share]
            results.update(zip(share, found, strict=True))
    finally:
        for worker in workers:
            _end(worker)
    return [results[k] for k in range(len(arguments))]


def _shares(weights: Sequence[float], processes: int) -> list[list[int]]:
    shares: list[list[int]] = [[] for _ in range(processes)]
    loads = [0.0] * processes
    for k in sorted(range(len(weights)), key=lambda k: -weights[k]):
        least = loads.index(min(loads))
        shares[least].append(k)
        loads[least] += weights[k]
    return shares


def processor_count() -> int:
    """Processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1


def _start(
    work: Callable[..., Any], arguments: list[tuple[Any, ...]]
) -> "subprocess.Popen[bytes]":
    path = os.pathsep.join(entry for entry in sys.path if entry) or "."
    worker = subprocess.Popen(
        [sys.executable, "-c", _WORKER],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": path},
    )
    if worker.stdin is not None:
        pickle.dump((work, arguments), worker.stdin)
        worker.stdin.close()
    return worker


def _finish(worker: "subprocess.Popen[bytes]") -> list[Any]:
    """Results of a worker; empty where it gave none."""
    if worker.stdout is None:
        return []
    try:
        found: list[Any] = pickle.load(worker.stdout)
    except (EOFError, pickle.UnpicklingError):
        return []
    return found


def _end(worker: "subprocess.Popen[bytes]") -> None:
    worker.kill()
    if worker.stdout is not None:
        worker.stdout.close()
    worker.wait()


def main() -> int:
    """Run one worker: arguments from standard input, results to standard output."""
    work, arguments = pickle.load(sys.stdin.buffer)
    pickle.dump([work(*given) for given in arguments], sys.stdout.buffer)
    return 0
