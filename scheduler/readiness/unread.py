"""Brake-ready before and after readings, told side by side.

Enters: tables of turnarounds of one brake type. Leaves: the same, where something was
read with a line that says what the minute in still air was before.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeAlias

from scheduler.day import Day
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary
from scheduler.readings import has_readings

Tables: TypeAlias = dict[str, tuple[OptionTable, HeatSummary]]
TablesOf: TypeAlias = Callable[[Day, list[int]], Tables]


def with_unread(
    day: Day, group: list[int], found: Tables, tables_of: TablesOf
) -> Tables:
    """Tell what brake-ready in still air was before the readings.

    Parameters
    ----------
    group : list of int
        Numbers of the turnarounds that ``found`` holds.
    tables_of : callable
        Tables of some turnarounds of a day.
    """
    read = [number for number in group if has_readings(day, day.turnarounds[number])]
    if not read:
        return found
    before = tables_of(replace(day, readings=()), read)
    told = dict(found)
    for name, (earlier, _) in before.items():
        table, heat = found[name]
        line = (
            "brake-ready in still air by the readings "
            f"{_minute(day, table)}, before them {_minute(day, earlier)}"
        )
        told[name] = table, replace(heat, assumed=(*heat.assumed, line))
    return told


def _minute(day: Day, table: OptionTable) -> str:
    ready = table.still_air.ready_minute
    return "not in sight" if ready is None else day.clock.short(ready)
