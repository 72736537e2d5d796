"""Options: windows that make sense, effort, and words for plug risk."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.errors import DayError
from scheduler.options import Limit, Option, OptionTable, PlugRisk

STILL_AIR = Option(ready_minute=690, binding=Limit.STOPPING)
FAN = Option(
    fan="cart",
    units=2,
    start_minute=620,
    end_minute=645,
    ready_minute=650,
    binding=Limit.STOPPING,
)


def test_effort_counts_every_unit():
    """Unit-minutes are units times minutes of air; still air has none."""
    assert FAN.fan_minutes == 50
    assert STILL_AIR.fan_minutes == 0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"units": 1}, "no window and no units without a fan"),
        ({"start_minute": 620}, "no window and no units without a fan"),
        ({"end_minute": 645}, "no window and no units without a fan"),
        ({"fan": "cart"}, "a start, an end and units with a fan"),
        (
            {"fan": "cart", "units": 1, "start_minute": 620},
            "a start, an end and units with a fan",
        ),
        (
            {"fan": "cart", "start_minute": 620, "end_minute": 645},
            "a start, an end and units with a fan",
        ),
        (
            {"fan": "cart", "units": 1, "start_minute": 645, "end_minute": 645},
            "start before end",
        ),
        (
            {"fan": "cart", "units": 1, "start_minute": 646, "end_minute": 645},
            "start before end",
        ),
    ],
)
def test_option_that_is_refused(changes: dict[str, object], words: str):
    """A fan without a window, or a window without a fan, is refused in words."""
    with pytest.raises(DayError, match=words):
        Option(**{"ready_minute": 690, "binding": None, **changes})


def test_option_without_a_ready_minute_is_told():
    """An option whose limits never hold says so with none."""
    assert Option(ready_minute=None, binding=Limit.PLUG_CHECK).ready_minute is None


def test_still_air_is_first():
    """The option without a fan can always be found."""
    table = OptionTable(
        turnaround_id="B2", approach_minute=612, options=(STILL_AIR, FAN)
    )
    assert table.still_air is STILL_AIR


@pytest.mark.parametrize("options", [(), (FAN,), (FAN, STILL_AIR)])
def test_table_without_still_air_first_is_refused(options: tuple[Option, ...]):
    """A table that does not begin with still air is refused."""
    with pytest.raises(DayError, match="options: expected still air first"):
        OptionTable(turnaround_id="B2", approach_minute=None, options=options)


@pytest.mark.parametrize(
    ("probability", "risk"),
    [
        (0.0, PlugRisk.LOW),
        (0.00999, PlugRisk.LOW),
        (0.01, PlugRisk.RAISED),
        (0.10, PlugRisk.RAISED),
        (0.10001, PlugRisk.HIGH),
        (1.0, PlugRisk.HIGH),
    ],
)
def test_words_for_plug_risk(probability: float, risk: PlugRisk):
    """Raised starts at 1 %, high above 10 %."""
    assert PlugRisk.of(probability) is risk


def test_a_probability_that_is_none_is_never_low():
    """What cannot be read counts as high."""
    assert PlugRisk.of(float("nan")) is PlugRisk.HIGH


@given(low=st.floats(0, 1), more=st.floats(0, 1))
def test_more_probable_is_never_a_milder_word(low: float, more: float):
    """The words are in order."""
    order = [PlugRisk.LOW, PlugRisk.RAISED, PlugRisk.HIGH]
    more = min(1.0, low + more)
    assert order.index(PlugRisk.of(low)) <= order.index(PlugRisk.of(more))


def test_release_is_an_event_not_a_probability():
    """No probability, not even one, is called released."""
    assert PlugRisk.of(1.0) is not PlugRisk.RELEASED
