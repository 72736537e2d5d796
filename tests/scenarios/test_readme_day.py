"""The flights that the first page shows are those of the day it plans."""

import re

import pytest

from scheduler.day import Day
from scheduler.options import Option
from tests.scenarios.planned_day import SCENARIOS, Planned

PAGE = (SCENARIOS.parent / "README.md").read_text(encoding="utf-8")
BLOCK = re.compile(
    r"^ (?P<id>TF\d+) +(?P<stand>\S+) +(?P<in_block>\S+) +(?P<ready>\S+) +"
    r"(?P<limit>\w+(?: \w+)?)  +(?P<off_block>\S+) +(?P<delay>\d+) (?P<waits>\w+)\n"
    r" (?P<tail>\S+) +(?P<target>\S+) +(?:\((?P<still>\S+)\))?.*\n"
    r"(?P<more>(?:  .*\n)*)",
    re.MULTILINE,
)
SHOWN = {found["id"]: found for found in BLOCK.finditer(PAGE)}


def test_three_flights_are_shown() -> None:
    """The pattern reads what stands there."""
    assert len(SHOWN) == 3


@pytest.mark.parametrize("name", SHOWN)
def test_shown_flight_is_one_of_the_day(tarn_field: Planned, name: str) -> None:
    """Its row as given, its way to cool among the options; the search may choose."""
    shown, day = SHOWN[name], tarn_field.day
    given = next(one for one in day.turnarounds if one.id == name)
    short = day.clock.short
    assert shown["tail"] == given.tail
    assert shown["stand"] == given.stand
    assert shown["in_block"] == short(given.in_block_minute)
    assert shown["target"] == short(given.target_off_block_minute)
    table = tarn_field.tables[name]
    ways = {_told(day, option) for option in table.options}
    span = re.search(r"\d\d:\d\d–\d\d:\d\d", shown["more"])
    rollout = "full length" if "full length" in shown["more"] else None
    way = (shown["ready"], shown["limit"], span and span.group(), rollout)
    assert way in ways
    still = table.still_air.ready_minute
    assert still is not None
    assert (shown["still"] or shown["ready"]) == short(still)


def _told(day: Day, one: Option) -> tuple[str | None, ...]:
    short, ready = day.clock.short, one.ready_minute
    span = None
    if one.start_minute is not None and one.end_minute is not None:
        span = f"{short(one.start_minute)}–{short(one.end_minute)}"
    return (None if ready is None else short(ready), one.binding, span, one.rollout)
