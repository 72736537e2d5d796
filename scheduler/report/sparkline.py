"""A temperature as a few characters: the higher the block, the hotter.

Enters: points in minutes and degrees Celsius. Leaves: text, one character for each
stretch of time, at the highest temperature within it. Characters are plain where the
encoding of the output lacks blocks.
"""

from collections.abc import Iterable, Sequence

from scheduler.plan import PlannedTurnaround
from scheduler.report.page.cooling import Point, cooling_of, part_of

BLOCKS, PLAIN = "▁▂▃▄▅▆▇█", ".:-=+*%#"
COLUMNS = 10
_STEP_C = 50


def blocks_of(encoding: str) -> str:
    """Characters from cool to hot that an encoding can write."""
    try:
        BLOCKS.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return PLAIN
    return BLOCKS


def sparkline(
    line: Sequence[Point],
    span: tuple[float, float],
    top_c: float,
    blocks: str = BLOCKS,
    columns: int = COLUMNS,
) -> str:
    """Draw a line over a span of minutes.

    Parameters
    ----------
    line : sequence of (minute, °C)
        By rising minute, two points or more.
    span : (float, float)
        First and last minute; nothing is drawn where the last is not after the first.
    top_c : float
        Temperature of the highest block; cooler ones get the block that covers them.
    blocks : str
        Characters from cool to hot.
    columns : int
        Characters to draw.

    Returns
    -------
    text : str
        One character for each stretch of equal length.
    """
    start, end = span
    if not (end > start and top_c > 0.0):
        return ""
    step = (end - start) / columns
    parts = (
        part_of(line, start + k * step, start + (k + 1) * step) for k in range(columns)
    )
    return "".join(_block(max(c for _, c in part) / top_c, blocks) for part in parts)


def stack_line(row: PlannedTurnaround, top_c: float, blocks: str = BLOCKS) -> str:
    """Stack of the brake that sets brake-ready from in-block to off-block.

    Empty where no heat was computed. Held aircraft are drawn to the curve's end.
    """
    cooling = cooling_of(row)
    if cooling is None:
        return ""
    line = cooling.points["stack"]
    end = line[-1][0] if row.off_block_minute is None else float(row.off_block_minute)
    return sparkline(line, (float(row.in_block_minute), end), top_c, blocks)


def top_of(rows: Iterable[PlannedTurnaround]) -> float:
    """Temperature that all lines of a table share as their highest; 0 without heat."""
    found = (cooling_of(row) for row in rows)
    peak = max(
        (max(c for _, c in one.points["stack"]) for one in found if one), default=0.0
    )
    return float(-(-peak // _STEP_C) * _STEP_C)


def _block(share: float, blocks: str) -> str:
    """Lowest block that covers a share of the highest."""
    level = int(-(-share * len(blocks) // 1)) - 1
    return blocks[min(max(level, 0), len(blocks) - 1)]
