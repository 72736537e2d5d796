"""The minute grid: minutes, UTC and rounding to the safe side."""

from datetime import UTC, date, datetime, timedelta
from math import ceil, floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.clock import Clock, earlier_minute, later_minute

CLOCK = Clock(day=date(2026, 7, 14))
NOISE = 1e-9
MINUTES = st.integers(-3 * 1440, 3 * 1440)
REALS = st.floats(-1e5, 1e5)


def test_the_day_starts_at_midnight_utc():
    """Minute zero is 00:00 UTC."""
    assert CLOCK.start == datetime(2026, 7, 14, tzinfo=UTC)
    assert CLOCK.utc(0) == CLOCK.start


@pytest.mark.parametrize(
    ("minute", "text", "short"),
    [
        (0, "2026-07-14T00:00:00Z", "00:00"),
        (842, "2026-07-14T14:02:00Z", "14:02"),
        (1439, "2026-07-14T23:59:00Z", "23:59"),
        (1440, "2026-07-15T00:00:00Z", "00:00+1"),
        (2941, "2026-07-16T01:01:00Z", "01:01+2"),
        (-1, "2026-07-13T23:59:00Z", "23:59-1"),
        (-1441, "2026-07-12T23:59:00Z", "23:59-2"),
    ],
)
def test_texts_of_a_minute(minute: int, text: str, short: str):
    """A minute is written in ISO 8601, and short with a mark for other days."""
    assert CLOCK.text(minute) == text
    assert CLOCK.short(minute) == short


@given(minute=MINUTES, seconds=st.floats(0, 59.99))
def test_a_minute_contains_its_seconds(minute: int, seconds: float):
    """Every instant within a minute belongs to it, before the day as well as after."""
    instant = CLOCK.utc(minute) + timedelta(seconds=seconds)
    assert CLOCK.minute(instant) == minute


@given(minute=MINUTES)
def test_text_reads_back(minute: int):
    """The ISO text is the instant itself."""
    instant = datetime.fromisoformat(CLOCK.text(minute))
    assert CLOCK.minute(instant) == minute


def test_instants_of_another_zone_are_the_same_minute():
    """The offset of an instant is honoured."""
    assert CLOCK.minute(datetime.fromisoformat("2026-07-14T16:02:30+02:00")) == 842


@given(minutes=REALS)
def test_a_release_is_never_rounded_earlier(minutes: float):
    """A release goes to the next whole minute and less than one minute further."""
    rounded = later_minute(minutes)
    assert isinstance(rounded, int)
    assert rounded >= minutes - NOISE
    assert rounded < minutes + 1


@given(minutes=REALS)
def test_a_deadline_is_never_rounded_later(minutes: float):
    """A deadline goes to the whole minute before and less than one minute back."""
    rounded = earlier_minute(minutes)
    assert isinstance(rounded, int)
    assert rounded <= minutes + NOISE
    assert rounded > minutes - 1


@given(minute=MINUTES)
def test_whole_minutes_stay(minute: int):
    """A whole minute is rounded to itself in both directions."""
    assert later_minute(float(minute)) == earlier_minute(float(minute)) == minute


@given(minute=MINUTES, seconds=st.integers(1, 59))
def test_one_second_counts(minute: int, seconds: int):
    """A release a second late is a minute late; a deadline a second early, early."""
    assert later_minute(minute + seconds / 60) == minute + 1
    assert earlier_minute(minute - seconds / 60) == minute - 1


@given(minute=MINUTES)
def test_noise_of_arithmetic_costs_no_minute(minute: int):
    """Rounding noise of a division is not taken for a second."""
    assert later_minute(minute + 1e-10) == minute
    assert earlier_minute(minute - 1e-10) == minute
    assert later_minute(minute + 1e-8) == minute + 1
    assert earlier_minute(minute - 1e-8) == minute - 1


@given(minutes=REALS, more=st.floats(0, 100))
def test_rounding_keeps_the_order(minutes: float, more: float):
    """A later release is never rounded before an earlier one."""
    assert later_minute(minutes) <= later_minute(minutes + more)
    assert earlier_minute(minutes) <= earlier_minute(minutes + more)


@given(minutes=REALS)
def test_rounding_against_the_library(minutes: float):
    """Away from whole minutes both are the plain ceiling and floor."""
    if abs(minutes - round(minutes)) > 2 * NOISE:
        assert later_minute(minutes) == ceil(minutes)
        assert earlier_minute(minutes) == floor(minutes)


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_no_minute_without_a_number(value: float):
    """What is no finite number is refused, not rounded."""
    with pytest.raises((ValueError, OverflowError), match="cannot convert"):
        later_minute(value)
    with pytest.raises((ValueError, OverflowError), match="cannot convert"):
        earlier_minute(value)
