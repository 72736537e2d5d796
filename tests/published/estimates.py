"""What readings tell of brakes of another model, as the benchmarks measured it.

The figures in ``estimates.json`` are those of ``tests.benchmarks.coverage`` and
``tests.benchmarks.detection``, as they print them with ``--json``.
"""

import json
from pathlib import Path
from typing import Any

FIGURES = Path(__file__).with_name("estimates.json")
LOOKS = ("3", "5", "10", "30")
# Figure, what it is called, how it is printed.
ROWS = (
    ("stack_coverage", "90 % interval holds the stack", "{:.1%}"),
    ("ready_coverage", "90 % interval holds brake-ready", "{:.1%}"),
    ("stack_rmse_k", "error of the stack, K", "{:.1f}"),
    ("stack_bias_k", "its mean, K", "{:+.1f}"),
    ("rmse_against_indication", "against taking the indication for it", "{:.2f}"),
    ("ready_median_error", "median error of brake-ready, min", "{:.1f}"),
    ("median_error_against_without", "against none read", "{:.2f}"),
    ("rmse_against_without", "root mean square against none read", "{:.2f}"),
    ("too_early_share", "safe bound before the truth", "{:.2%}"),
    ("too_early_lower_95", "at least, with 95 %", "{:.2%}"),
    ("median_excess_minutes", "median of bound less truth, min", "{:.1f}"),
)


def estimates_text() -> str:
    """The section as Markdown."""
    figures = json.loads(FIGURES.read_text(encoding="utf-8"))
    parts = [
        "\n## Readings: landings of another model\n\n"
        "The method and the other model: [estimate](estimate.md). Columns are minutes "
        "after the\nstop; brake-ready is counted from in-block. Errors are root mean "
        "squares.\n",
        *(_coverage(one) for one in figures["coverage"]),
        *(_detection(one) for one in figures["detection"]),
    ]
    return "".join(parts)


def _coverage(one: dict[str, Any]) -> str:
    looks = one["after_stop_minutes"]
    low, middle, high = (round(value) for value in one["ready_minutes"])
    head = (
        f"\n**{one['brake']}**, {one['landings']} landings, seed {one['seed']}, "
        f"{one['draws']} draws, brake-ready truly\nafter {middle} minutes "
        f"({low} to {high}).\n\n"
        "| | 3 | 5 | 10 | 30 |\n|---|---:|---:|---:|---:|\n"
    )
    lines = [
        f"| {label} | "
        + " | ".join(form.format(looks[look][name]) for look in LOOKS)
        + " |\n"
        for name, label, form in ROWS
    ]
    return head + "".join(lines)


def _detection(one: dict[str, Any]) -> str:
    named = ("0.1", "0.3", "0.5", "0.7", "0.9")
    minutes = ", ".join(f"{value:g}" for value in one["read_minutes_after_in_block"])
    head = (
        f"\n**Odd brakes**, {one['brake']}, {one['landings']} landings of "
        f"{one['brakes']} brakes, all read {minutes}\nminutes after in-block, seed "
        f"{one['seed']}. Columns are the probability from which a brake is\nnamed (0.5 "
        "unless told otherwise): share of landings in which the odd brake is found, "
        "and\nin which another is named. The row of 100 % has no odd brake.\n\n"
        f"| heat of the brake | {' | '.join(named)} |\n"
        f"|---|{'---:|' * len(named)}\n"
    )
    lines = [
        f"| {float(share):.0%} | "
        + " | ".join(_pair(row[at], is_even=float(share) == 1.0) for at in named)
        + " |\n"
        for share, row in one["by_share"].items()
    ]
    return head + "".join(lines)


def _pair(cell: dict[str, float], *, is_even: bool) -> str:
    if is_even:
        return f"– / {cell['any_named']:.1%}"
    return f"{cell['found']:.1%} / {cell['others_named']:.1%}"
