"""Readings of the indicator → what the brakes really are, with spread.

Enters: draws of one landing, readings, fans. Leaves: `Estimate`. Method and figures:
``docs/estimate.md``.
"""

from thermal.estimate.estimating import estimate
from thermal.estimate.records import (
    HOTTEST,
    Estimate,
    FanSpan,
    OddBrake,
    Oddity,
    OddReading,
    Readings,
)

__all__ = [
    "HOTTEST",
    "Estimate",
    "FanSpan",
    "OddBrake",
    "OddReading",
    "Oddity",
    "Readings",
    "estimate",
]
