"""Which input moves brake-ready most, as lines with a bar each.

Loads the heat at its top: import it only once its command runs.
"""

import numpy as np

from scheduler.cli.terminal import write_line, write_wrapped
from scheduler.clock import later_minute
from scheduler.cooldown.one_brake import STOP_S
from thermal.ready import TAKE_OFF_FRACTION
from thermal.sensitivity import Influence, Sensitivity
from thermal.units import MINUTE_S
from thermal.variance import BIN_COUNT

_BAR_COLUMNS = 24


def tell_sensitivity(found: Sensitivity) -> None:
    """Print the minutes that came out, then the inputs from the most moving on."""
    write_line("\nWhat moves brake-ready most")
    write_wrapped(_minutes_text(found), "  ")
    for influence in found.influences:
        write_line(f"  {_line(influence)}")
    write_wrapped(_method_text(found), "  ")


def _minutes_text(found: Sensitivity) -> str:
    low, middle, high = (
        later_minute(float(minute) + STOP_S / MINUTE_S)
        for minute in np.percentile(found.ready_minute, (5.0, 50.0, 95.0))
    )
    text = (
        f"Plug, stopping at {TAKE_OFF_FRACTION:g} of the maximum take-off weight and "
        f"wheel well hold from minute {middle} after the brakes came on in the middle "
        f"of {found.ready_minute.size} samples, from {low} to {high} in nine of ten."
    )
    if found.late_count:
        text += f" {found.late_count} samples were not ready by the end of the look."
    if np.ptp(found.ready_minute) <= 0.0:
        text += " No input moves it."
    return text


def _line(influence: Influence) -> str:
    share, item = max(influence.share, 0.0), influence.input
    bar = "#" * round(_BAR_COLUMNS * min(share, 1.0))
    unit = "" if item.unit == "1" else f" {item.unit}"
    return (
        f"{item.name:22}{share:6.1%} ± {influence.error:4.1%}  {bar:{_BAR_COLUMNS}}  "
        f"{item.low:.4g} to {item.high:.4g}{unit}"
    )


def _method_text(found: Sensitivity) -> str:
    return (
        "First-order share of the variance of brake-ready with one standard error, "
        f"from the means in {BIN_COUNT} bins of each input over independent draws, "
        f"seed {found.seed}. What is left of 100 % comes from inputs together. It "
        "ranks inputs; its minutes are no bound to leave by."
    )
