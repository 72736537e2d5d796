"""Numbers and clock times on the command line; errors say what is expected."""

import re
from argparse import ArgumentTypeError
from collections.abc import Callable

from scheduler.clock import DAY_MINUTES

_LATEST_AFTER_MINUTES = DAY_MINUTES // 2
_CLOCK_TIME = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)


def number(low: float, high: float, unit: str = "") -> Callable[[str], float]:
    """Type of an argument: a number between two bounds."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if not low <= value <= high:
            expected = f"expected {low:g} to {high:g} {unit}".rstrip()
            raise ArgumentTypeError(f"{expected}, got {text!r}")
        return value

    return read


def whole(low: int, high: int, unit: str = "") -> Callable[[str], int]:
    """Type of an argument: a whole number between two bounds."""

    def read(text: str) -> int:
        value = int(text) if text.isascii() and text.isdigit() else low - 1
        if not low <= value <= high:
            expected = f"expected a whole number from {low} to {high} {unit}".rstrip()
            raise ArgumentTypeError(f"{expected}, got {text!r}")
        return value

    return read


def clock_minute(text: str) -> int | None:
    """Minute of the day of ``HH:MM``; None where it is no such time."""
    match = _CLOCK_TIME.fullmatch(text.removesuffix("Z"))
    return None if match is None else 60 * int(match[1]) + int(match[2])


def minute_after(minute: int, earlier: int) -> int:
    """Carry a minute of the day past midnight if that puts it soon after another."""
    later = minute + DAY_MINUTES
    past_midnight = minute < earlier and later - earlier <= _LATEST_AFTER_MINUTES
    return later if past_midnight else minute
