"""Plans against sampled days, as the benchmark measured them.

The figures in ``simulations.json`` are those of ``tests.benchmarks.simulation --part
limits``, as it prints them with ``--json``, without its rows.
"""

import json
from pathlib import Path
from typing import Any

from scipy.stats import beta

FIGURES = Path(__file__).with_name("simulations.json")
OPENING = """
## Plans by simulation

The plan of each shipped day carried out on days that are drawn plainly and with a seed
of their own, not with the points the plan was made of. Every aircraft still to go is
followed with its fan job, all brakes, to the tolerance of a curve, from touchdown to
two hours after take-off. Broken: any limit on any brake at the planned off-block, or a
plug that came within its margin of release at the stand where no check is planned or
logged. Bars: the exact lower 95 % bound (Clopper, Pearson 1934, doi
10.1093/biomet/26.4.404) of the share broken is at most 1 %; the median excess of
brake-ready over the first minute from which all limits hold is at most 15 minutes. That
minute waits for an indication that can be trusted; the last figure is without that
wait. Where a table or a plug check sets brake-ready the aircraft counts for the limits
alone.

The days come from the ranges and the heat model of the plan: what is shown is that
draws, bounds, rounding, fans and rows left out are on the safe side, not that the heat
model is true.

"""
HEADING = (
    "| day | aircraft-days | broken | share | at least, 95 % | bar | verdict "
    "| leaving at brake-ready: share | median excess, min | bar | verdict "
    "| quartiles | without the wait |\n"
    "|---|---:|---:|---:|---:|---:|---|---:|---:|---:|---|---|---:|\n"
)


def simulations_text() -> str:
    """The section as Markdown."""
    figures = json.loads(FIGURES.read_text(encoding="utf-8"))
    return OPENING + HEADING + "".join(map(_row, figures)) + _pooled(figures)


def _row(one: dict[str, Any]) -> str:
    low, high = one["excess_quartiles_minutes"]
    cells = (
        f"{one['scenario']}, {one['days']} days, seed {one['seed']}",
        f"{one['aircraft_days']}",
        f"{one['broken_with_stand']}",
        f"{one['broken_with_stand_share']:.2%}",
        f"{one['broken_with_stand_lower_95']:.2%}",
        f"{one['bar_share']:.0%}",
        _verdict(holds=one["broken_with_stand_lower_95"] <= one["bar_share"]),
        f"{one['broken_at_ready_share']:.2%}",
        f"{one['excess_median_minutes']:g}",
        f"{one['bar_excess_minutes']:g}",
        _verdict(holds=one["excess_median_minutes"] <= one["bar_excess_minutes"]),
        f"{low:g} to {high:g}",
        f"{one['excess_of_heat_median_minutes']:g}",
    )
    return "| " + " | ".join(cells) + " |\n"


def _verdict(*, holds: bool) -> str:
    return "met" if holds else "**not met**"


def _pooled(figures: list[dict[str, Any]]) -> str:
    hits = sum(one["broken_with_stand"] for one in figures)
    count = sum(one["aircraft_days"] for one in figures)
    low = float(beta.ppf(0.05, hits, count - hits + 1)) if hits else 0.0
    worst = max(figures, key=lambda one: one["worst_aircraft_lower_95"])
    above = [
        f"{name} {minutes:g}"
        for one in figures
        for name, minutes in one["excess_medians"].items()
        if minutes > one["bar_excess_minutes"] and name not in one["not_of_heat"]
    ]
    return (
        "\nThe bar is on all aircraft of a day together. Taken alone, these have a "
        "larger median\nexcess in minutes, all of them in still air:\n"
        f"{', '.join(above)}.\n"
        f"\nAll together {hits} of {count} aircraft-days are broken, "
        f"{hits / count:.2%}, at least {low:.2%}. The aircraft with\nthe most is "
        f"{worst['worst_aircraft']} of {worst['scenario']}: at least "
        f"{worst['worst_aircraft_lower_95']:.2%} of its days. What the plans cost on "
        "days that go\nwrong: "
        "[benchmarks](benchmarks.md#plans-on-days-that-go-wrong).\n"
    )
