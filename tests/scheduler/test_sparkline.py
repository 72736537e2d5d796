"""The stack's line in the table: true heights, its ends, plain where blocks lack."""

from dataclasses import replace

import pytest

from scheduler.plan import WaitsFor
from scheduler.report.day_table import LEGEND, legend
from scheduler.report.sparkline import (
    BLOCKS,
    PLAIN,
    blocks_of,
    sparkline,
    stack_line,
    top_of,
)
from tests.drawn_plans import drawn_plan

FALLING = ((0.0, 400.0), (100.0, 0.0))


def fanned():
    """First flight of an invented plan that has a fan and its curves."""
    plan = drawn_plan()
    return next(row for row in plan.turnarounds if row.fan_jobs and row.cooled)


def test_line_falls_as_the_temperature_does():
    """Eight stretches of a straight line are the eight blocks, hottest first."""
    drawn = sparkline(FALLING, (0.0, 100.0), 400.0, columns=8)
    assert drawn == BLOCKS[::-1]


def test_each_block_covers_the_hottest_of_its_stretch():
    """A peak inside a stretch shows, and nothing is drawn cooler than it is."""
    peak = ((0.0, 0.0), (49.0, 0.0), (50.0, 400.0), (51.0, 0.0), (100.0, 0.0))
    assert sparkline(peak, (0.0, 100.0), 400.0, columns=3) == "▁█▁"
    assert sparkline(((0.0, 201.0), (9.0, 201.0)), (0.0, 9.0), 400.0, columns=1) == "▅"


@pytest.mark.parametrize("span", [(5.0, 5.0), (9.0, 5.0)])
def test_no_time_is_no_line(span):
    """An aircraft that leaves as it comes has nothing to draw."""
    assert sparkline(FALLING, span, 400.0) == ""


def test_hotter_than_the_scale_stays_in_it():
    """A value above the top is a full block, no error."""
    assert sparkline(FALLING, (0.0, 10.0), 100.0, columns=2) == "██"


@pytest.mark.parametrize(
    ("encoding", "blocks"),
    [("utf-8", BLOCKS), ("ascii", PLAIN), ("latin-1", PLAIN), ("nonsense", PLAIN)],
)
def test_encoding_chooses_the_characters(encoding, blocks):
    """Blocks only where they can be written; both sets have a character a step."""
    assert blocks_of(encoding) == blocks
    assert len(set(PLAIN)) == len(BLOCKS)


def test_stack_line_spans_the_stay():
    """In-block to off-block; without heat nothing; held to the curve's end."""
    row = fanned()
    top = top_of([row])
    assert len(stack_line(row, top)) == 10
    assert stack_line(replace(row, heat=None), top) == ""
    longer = stack_line(replace(row, off_block_minute=None), top)
    assert longer[-1] <= stack_line(row, top)[-1]
    assert top_of([replace(row, heat=None)]) == 0.0


def test_legend_tells_the_scale_only_where_a_line_is_drawn():
    """Full height is named in degrees; a table without lines says nothing of them."""
    plan = drawn_plan()
    shown = [
        row
        for row in plan.turnarounds
        if row.fan_jobs or row.waits_for in (WaitsFor.BRAKES, WaitsFor.FAN)
    ]
    assert f"{top_of(shown):.0f} °C" in legend(plan)
    bare = tuple(replace(row, heat=None) for row in plan.turnarounds)
    assert legend(replace(plan, turnarounds=bare)) == LEGEND
