"""How large the page of a day is and how long it takes to draw it.

`python -m tests.benchmarks.page --turnarounds 60 200 [--plan FILE] [--json]`: made-up
plans with four brakes each, or a plan file; the least time of several runs, the plan
being read before.
"""

import argparse
import json
import sys
import time
from pathlib import Path

from scheduler.files.plan_file import read_plan
from scheduler.plan import Plan
from scheduler.report.page import page_text
from tests.drawn_plans import drawn_plan

RUNS = 5


def measured(plan: Plan, runs: int = RUNS) -> dict[str, float]:
    """Turnarounds, size in kB and the least seconds of several runs."""
    seconds, text = [], ""
    for _ in range(runs):
        begin = time.perf_counter()
        text = page_text(plan)
        seconds.append(time.perf_counter() - begin)
    return {
        "turnarounds": len(plan.turnarounds),
        "size_kb": round(len(text.encode()) / 1000, 1),
        "seconds": round(min(seconds), 3),
    }


def main() -> None:
    """Print one line a plan."""
    parser = argparse.ArgumentParser(description="Draw pages and measure them.")
    parser.add_argument("--turnarounds", type=int, nargs="*", default=[10, 60, 200])
    parser.add_argument("--plan", type=Path, nargs="*", default=[])
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    plans = [drawn_plan(count, 700) for count in given.turnarounds]
    plans += [read_plan(path) for path in given.plan]
    rows = [measured(plan) for plan in plans]
    if given.json:
        sys.stdout.write(json.dumps(rows) + "\n")
        return
    for row in rows:
        print(
            f"{row['turnarounds']:>4} turnarounds  {row['size_kb']:>7} kB  "
            f"{row['seconds']:.3f} s"
        )


if __name__ == "__main__":
    main()
