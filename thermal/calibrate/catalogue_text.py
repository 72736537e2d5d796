"""A fitted brake as the text of a catalogue file.

Enters: the brake it began from and the `Fit`. Leaves: TOML with every number's value,
unit, range and source. Fitted numbers get the fit's value, a range of two standard
deviations within the old one, and a source that says so; all others stay.
"""

import tomllib
from collections.abc import Mapping
from typing import Any

from thermal.calibrate.result import Fit, FittedParameter
from thermal.catalogue import brake_path
from thermal.errors import EstimationError

_DIGITS = 4


def catalogue_text(brake: str, fit: Fit, *, name: str, source: str) -> str:
    """Text of a new brake file.

    Parameters
    ----------
    brake : str
        Brake that was fitted: of the catalogue, or a path.
    name : str
        Of the new brake.
    source : str
        Of the readings, such as ``readings.csv, 64 readings of 4 landings``.

    Raises
    ------
    EstimationError
        If the fit may not be written; the message has every reason.
    """
    if fit.refusals:
        raise EstimationError("\n".join(fit.refusals))
    table = tomllib.loads(brake_path(brake).read_text("utf-8"))
    fitted = {one.prior.key: one for one in fit.parameters}
    _check_name(name)
    lines = [
        f"# {name}: fitted to recorded cool-downs, begun from {table['name']}.",
        f"# {source}.",
        f"# Residuals {fit.rms_k:.1f} K, noise of a reading {fit.noise_k:g} K.",
    ]
    table["name"] = name
    lines += _table_lines(table, "", fitted, fit, source)
    return "\n".join(lines) + "\n"


def _check_name(name: str) -> None:
    if not (name and name.isprintable()):
        raise EstimationError(f"name: expected printable text, got {name!r}")


def _table_lines(
    table: Mapping[str, Any],
    prefix: str,
    fitted: Mapping[str, FittedParameter],
    fit: Fit,
    source: str,
) -> list[str]:
    lines: list[str] = []
    inner: list[str] = []
    for key, entry in table.items():
        if isinstance(entry, dict) and "value" not in entry:
            inner += ["", f"[{key}]"]
            inner += _table_lines(entry, f"{key}.", fitted, fit, source)
            continue
        whole = f"{prefix}{key}"
        value = entry
        if isinstance(entry, dict):
            value = _entry(entry, whole, fitted.get(whole), fit, source)
        lines.append(f"{key} = {_toml(value)}")
    return lines + inner


def _entry(
    entry: Mapping[str, Any],
    key: str,
    one: FittedParameter | None,
    fit: Fit,
    source: str,
) -> dict[str, Any]:
    """One number: as it was, or as it was fitted."""
    if key == "probe.housing_fraction":
        # The rest of the probe's touch; what the other two take decides it.
        value = 1.0 - sum(
            _rounded(item)
            for item in (
                fit.brake.probe.end_stator_fraction,
                fit.brake.probe.tube_fraction,
            )
        )
        value = round(value, 6)
        low, high = min(entry["low"], value), max(entry["high"], value)
        text = f"what the other two leave, calibrated from {source}"
        return {**entry, "value": value, "low": low, "high": high, "source": text}
    if one is None:
        return dict(entry)
    value = _rounded(_value(fit, key))
    prior = one.prior
    low = max(prior.low, _rounded(value - 2.0 * one.sd))
    high = min(prior.high, _rounded(value + 2.0 * one.sd))
    return {
        **entry,
        "value": value,
        "low": min(low, value),
        "high": max(high, value),
        "source": (
            f"calibrated from {source}: {one.verdict}, {one.remaining:.0%} of the "
            f"spread before; was {prior.value:g}, {entry['source']}"
        ),
    }


def _value(fit: Fit, key: str) -> float:
    """Value in the fitted brake, in which the probe's touches sum to one."""
    holder: Any = fit.brake
    for name in key.split("."):
        holder = getattr(holder, name)
    return float(holder)


def _rounded(value: float) -> float:
    return float(f"{value:.{_DIGITS}g}")


def _toml(value: Any) -> str:
    """One value as TOML writes it."""
    if isinstance(value, dict):
        inner = ", ".join(f"{key} = {_toml(item)}" for key, item in value.items())
        return f"{{ {inner} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return f'"{escaped}"'
    return repr(value)
