"""Work spread over clean processes gives the same results in the same order."""

import os
import subprocess
import sys

from scheduler.readiness.spread import spread


def _half(number: int) -> float:
    return number / 2


def _die_elsewhere(parent: int) -> int:
    if os.getpid() != parent:
        os._exit(3)
    return parent


def test_results_keep_their_order() -> None:
    """Five calls on two processes come back in the order of their arguments."""
    arguments = [(number,) for number in range(5)]
    assert spread(_half, arguments, [1.0, 5.0, 2.0, 2.0, 1.0], 2) == [
        0.0,
        0.5,
        1.0,
        1.5,
        2.0,
    ]


def test_one_process_needs_no_worker() -> None:
    """With one process everything runs here."""
    assert spread(os.getpid, [(), ()], [1.0, 1.0], 1) == [os.getpid()] * 2


def test_a_dead_worker_costs_time_only() -> None:
    """The share of a worker that dies is done by this process."""
    parent = os.getpid()
    assert spread(_die_elsewhere, [(parent,)] * 4, [1.0] * 4, 2) == [parent] * 4


def test_a_script_without_main_guard_runs_once() -> None:
    """The caller's main module is not run again by the workers."""
    script = (
        "import math\n"
        "from scheduler.readiness.spread import spread\n"
        "print('once')\n"
        "print(spread(math.sqrt, [(4.0,), (9.0,)], [1, 1], 2))\n"
    )
    done = subprocess.run(
        [sys.executable, "-"], input=script, text=True, capture_output=True, check=True
    )
    assert done.stdout == "once\n[2.0, 3.0]\n"
