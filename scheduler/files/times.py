"""Times as the files write them: ISO 8601 with ``Z``, or ``HH:MM`` on a date.

``HH:MM+1`` is the day after, ``HH:MM-1`` the day before. A time that is clear but
written another way is refused with the text that belongs in the cell.
"""

import re
from datetime import UTC, date, datetime, time, timedelta

_ISO = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?Z")
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})([+-]\d)?")
_LOCAL_DATE = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4}|\d{2})(?:[ T,]+(.+))?")
EXPECTED_UTC = "UTC as 2026-07-14T14:05Z"
EXPECTED_CLOCK = 'a time as "05:00" or "00:40+1"'


class TimeTextError(ValueError):
    """A time that cannot be read; the message says what was expected."""


def clock_minutes(text: str) -> int:
    """Minutes since 00:00 of ``HH:MM`` (to 24:00), with ``+1`` or ``-1`` for days.

    Raises
    ------
    TimeTextError
        If the text has another form.
    """
    match = _CLOCK.fullmatch(text.strip())
    if not match:
        raise TimeTextError(EXPECTED_CLOCK)
    minutes = int(match[1]) * 60 + int(match[2])
    if int(match[2]) > 59 or minutes > 1440:
        raise TimeTextError(EXPECTED_CLOCK)
    return minutes + 1440 * int(match[3] or 0)


def instant(text: str, on: date | None) -> datetime:
    """Instant of a cell; ``on`` is the date that ``HH:MM`` refers to.

    Raises
    ------
    TimeTextError
        If it is not a UTC time; the message holds the corrected cell if there is one.
    """
    text = text.strip()
    if _CLOCK.fullmatch(text):
        return _on_date(text, on)
    if _ISO.fullmatch(text):
        try:
            return datetime.fromisoformat(text)
        except ValueError:
            raise TimeTextError(f"a date and time that exist, {EXPECTED_UTC}") from None
    corrected = _corrected(text)
    raise TimeTextError(f"UTC as {corrected}" if corrected else EXPECTED_UTC)


def calendar_date(text: str) -> date:
    """Date of a ``date`` cell, ISO 8601.

    Raises
    ------
    TimeTextError
        If it is another form; the message holds the corrected cell if there is one.
    """
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        pass
    local = _local_dates(text.strip())
    form = " or ".join(local) or "2026-07-14"
    raise TimeTextError(f"a date as {form}")


def _on_date(text: str, on: date | None) -> datetime:
    if on is None:
        raise TimeTextError(f"{EXPECTED_UTC}, or a date column beside HH:MM")
    midnight = datetime.combine(on, time(), tzinfo=UTC)
    return midnight + timedelta(minutes=clock_minutes(text))


def _corrected(text: str) -> str | None:
    """Rewrite a clear but differently written time, None where it is not clear."""
    match = _LOCAL_DATE.fullmatch(text)
    if match:
        clock = _clock_text(match[4] or "")
        return " or ".join(f"{day}T{clock}Z" for day in _local_dates(match[0])) or None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    if "T" not in text and " " not in text:
        return f"{found:%Y-%m-%d}THH:MMZ"
    found = found if found.tzinfo is None else found.astimezone(UTC)
    return f"{found:%Y-%m-%dT%H:%M}Z"


def _clock_text(text: str) -> str:
    try:
        minutes = clock_minutes(text.removesuffix("Z")[:5])
    except TimeTextError:
        return "HH:MM"
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _local_dates(text: str) -> list[str]:
    """ISO dates that a local date can mean: day first, and month first if valid."""
    match = _LOCAL_DATE.fullmatch(text)
    if not match:
        return []
    readings: list[str] = []
    for day, month in ((match[1], match[2]), (match[2], match[1])):
        try:
            found = date(_full_year(match[3]), int(month), int(day)).isoformat()
        except ValueError:
            continue
        if found not in readings:
            readings.append(found)
    return readings


def _full_year(digits: str) -> int:
    return int(digits) + (2000 if len(digits) == 2 else 0)
