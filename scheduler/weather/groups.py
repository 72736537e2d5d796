"""Single groups of METAR and TAF to numbers in SI.

Code forms FM 15 and FM 51 (WMO-No. 306, Manual on Codes, Vol. I.1; ICAO Annex 3).
"""

import re
from dataclasses import dataclass

from thermal.units import KNOT_M_PER_S

INCH_OF_MERCURY_PA = 3386.389  # at 0 °C: NIST Special Publication 811, table B.8
_WIND = re.compile(r"(\d{3}|VRB|///)(P?\d{2,3}|//)(?:G(P?\d{2,3}|//))?(KT|MPS|KMH)")
_TEMPERATURE = re.compile(r"(M?\d{2}|//)/(M?\d{2}|//)?")
_PRESSURE = re.compile(r"(Q)(\d{4}|////)|(A)(\d{4}|////)")
_SPEED_UNITS = {"KT": KNOT_M_PER_S, "MPS": 1.0, "KMH": 1.0 / 3.6}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Mean wind; no direction where it is variable, calm or not measured.

    ``gust_m_per_s`` is what gusts are above the mean.
    """

    speed_m_per_s: float
    direction_deg: float | None
    gust_m_per_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTime:
    """Day of month and time as the messages give them (hour 24 ends the day)."""

    day: int
    hour: int
    minute: int


def wind(text: str) -> Wind | None:
    """Mean wind of a group; None where the station did not measure it.

    Only the mean cools; gusts are flown with more speed.

    Raises
    ------
    ValueError
        If the text is no wind group.
    """
    match = _WIND.fullmatch(text)
    if not match or (match[1].isdigit() and int(match[1]) > 360):
        raise ValueError(text)
    if match[2] == "//":
        return None
    speed = float(match[2].lstrip("P")) * _SPEED_UNITS[match[4]]
    known = match[1].isdigit() and speed > 0.0
    direction = float(match[1]) % 360.0 if known else None
    highest = float(match[3].lstrip("P")) if match[3] not in {None, "//"} else 0.0
    gust = max(highest * _SPEED_UNITS[match[4]] - speed, 0.0)
    return Wind(speed_m_per_s=speed, direction_deg=direction, gust_m_per_s=gust)


def temperature_c(text: str) -> float | None:
    """Air temperature of a temperature/dew-point group; None where it is missing.

    Raises
    ------
    ValueError
        If the text is no temperature group.
    """
    match = _TEMPERATURE.fullmatch(text)
    if not match:
        raise ValueError(text)
    return None if match[1] == "//" else signed(match[1])


def signed(text: str) -> float:
    """Whole degrees, ``M`` for minus."""
    return -float(text[1:]) if text.startswith("M") else float(text)


def pressure_pa(text: str) -> float | None:
    """QNH of a ``Q`` (hPa) or ``A`` (inches of mercury) group; None where missing.

    Raises
    ------
    ValueError
        If the text is no QNH group or no pressure of this planet.
    """
    match = _PRESSURE.fullmatch(text)
    if not match:
        raise ValueError(text)
    digits = match[2] or match[4]
    if digits == "////":
        return None
    unit_pa = 100.0 if match[1] else INCH_OF_MERCURY_PA / 100.0
    value = int(digits) * unit_pa
    if not 85_000.0 <= value <= 109_000.0:
        raise ValueError(text)
    return value


def day_time(digits: str) -> DayTime:
    """``ddhhmm`` or ``ddhh``.

    Raises
    ------
    ValueError
        If the digits are no day and time.
    """
    if not re.fullmatch(r"\d{4}|\d{6}", digits):
        raise ValueError(digits)
    found = DayTime(
        day=int(digits[:2]), hour=int(digits[2:4]), minute=int(digits[4:] or 0)
    )
    if not (1 <= found.day <= 31 and found.hour <= 24 and found.minute <= 59):
        raise ValueError(digits)
    return found
