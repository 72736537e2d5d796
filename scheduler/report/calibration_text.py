"""A calibration for people: values with spread, what is not told, a residual plot.

Enters: a `Fit` and its records. Leaves: lines of text, a rich table, a dictionary.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from rich import box
from rich.table import Table
from rich.text import Text

from thermal.calibrate import CoolDown, Fit
from thermal.units import MINUTE_S, celsius

_HIGH, _WIDE = 11, 60
_MARKS = "123456789abcdefghijklmnopqrstuvwxyz"
_SHOWN_STRENGTH = 0.05


def headline(fit: Fit, records: Sequence[CoolDown]) -> str:
    """How much was fitted, and how well."""
    told = sum(one.is_told for one in fit.directions)
    return (
        f"{fit.brake.name}: {fit.reading_k.size} readings of {len(records)} "
        f"cool-downs; residuals {fit.rms_k:.1f} K (noise of a reading "
        f"{fit.noise_k:g} K). They tell {told} of {len(fit.directions)} directions of "
        "the parameters better than the catalogue does."
    )


def parameter_table(fit: Fit) -> Table:
    """Values before and after, with their spread."""
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("Parameter", no_wrap=True)
    for header in ("Before", "Fitted", "± sd", "Spread\nleft"):
        table.add_column(header, justify="right", no_wrap=True)
    table.add_column("Told")
    for one in fit.parameters:
        end = ", at the end of its range" if one.at_bound else ""
        cells = (
            one.prior.key,
            f"{one.prior.value:.4g}",
            f"{one.value:.4g}",
            f"{one.sd:.2g}",
            f"{one.remaining:.0%}",
            f"{one.verdict}{end}",
        )
        table.add_row(*map(Text, cells))
    return table


def heat_lines(fit: Fit, records: Sequence[CoolDown]) -> Iterator[str]:
    """Heat of each landing as given and as fitted, with its residuals."""
    for place, one in enumerate(records):
        mine = fit.residual_k[fit.record == place]
        yield (
            f"{_MARKS[place % len(_MARKS)]}  {one.name}: {one.energy_j / 1e6:.1f} MJ ± "
            f"{one.energy_sd_fraction:.0%}, fitted {fit.heat_factor[place]:.2f} of it; "
            f"{mine.size} readings, residuals {float((mine**2).mean()) ** 0.5:.1f} K"
        )


def not_told_lines(fit: Fit) -> Iterator[str]:
    """Say what these readings cannot tell."""
    if fit.not_told:
        yield f"Not identifiable from these readings: {', '.join(fit.not_told)}."
    strengths = [f"{one.strength:.2g}" for one in fit.directions]
    yield f"Singular values, scaled by catalogue and noise: {', '.join(strengths)}."
    for one in fit.directions:
        if len(one.parts) > 1 and one.strength >= _SHOWN_STRENGTH:
            parts = " ".join(f"{weight:+.2f} {key}" for key, weight in one.parts)
            word = "told together" if one.is_told else "not told"
            yield f"{one.strength:6.2f}  {word}: {parts}"


def residual_plot(fit: Fit) -> Iterator[str]:
    """Plot residuals over the minutes after the stop; a mark per cool-down."""
    minutes = fit.time_s / MINUTE_S
    last = max(float(minutes.max()), 1.0)
    most = max(float(abs(fit.residual_k).max()), 2.0 * fit.noise_k)
    grid = [[" "] * _WIDE for _ in range(_HIGH)]
    middle = _HIGH // 2
    grid[middle] = ["·"] * _WIDE
    for minute, residual, record in zip(
        minutes, fit.residual_k, fit.record, strict=True
    ):
        column = min(int(minute / last * _WIDE), _WIDE - 1)
        row = middle - round(float(residual) / most * middle)
        mark = _MARKS[int(record) % len(_MARKS)]
        is_free = grid[row][column] in {" ", "·", mark}
        grid[row][column] = mark if is_free else "*"
    yield "Residuals, reading less fit, K (* several cool-downs)"
    for row, cells in enumerate(grid):
        label = f"{(middle - row) / middle * most:+5.0f}" if row % middle == 0 else ""
        yield f"{label:>5} |{''.join(cells)}".rstrip()
    yield f"{'':5} +{'-' * _WIDE}"
    yield f"{'':6}0{last:>{_WIDE - 1}.0f} minutes after the stop"


def fit_record(fit: Fit, records: Sequence[CoolDown]) -> dict[str, Any]:
    """Everything of a fit; temperatures in °C."""
    sizes = [one.time_s.size for one in records]
    ends = [0, *(sum(sizes[: place + 1]) for place in range(len(sizes)))]
    return {
        "brake": fit.brake.name,
        "noise_k": fit.noise_k,
        "rms_k": round(fit.rms_k, 3),
        "parameters": [
            {
                "key": one.prior.key,
                "what": one.prior.what,
                "unit": one.prior.unit,
                "before": one.prior.value,
                "low": one.prior.low,
                "high": one.prior.high,
                "value": one.value,
                "sd": one.sd,
                "spread_left": one.remaining,
                "verdict": one.verdict,
                "at_bound": one.at_bound,
            }
            for one in fit.parameters
        ],
        "directions": [
            {
                "strength": one.strength,
                "is_told": one.is_told,
                "parts": [{"key": key, "weight": part} for key, part in one.parts],
            }
            for one in fit.directions
        ],
        "not_identifiable": list(fit.not_told),
        "cool_downs": [
            {
                "name": one.name,
                "energy_mj": one.energy_j / 1e6,
                "energy_sd_fraction": one.energy_sd_fraction,
                "heat_factor": float(fit.heat_factor[place]),
                "readings": [
                    {
                        "minutes_after_stop": float(fit.time_s[k] / MINUTE_S),
                        "indicated_c": float(celsius(fit.reading_k[k])),
                        "fitted_c": round(float(celsius(fit.foretold_k[k])), 2),
                    }
                    for k in range(begin, end)
                ],
            }
            for place, (one, (begin, end)) in enumerate(
                zip(records, pairwise(ends), strict=True)
            )
        ],
        "refusals": list(fit.refusals),
    }
